"""What a site writes is its owner's alone, whichever program writes first."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


def test_a_new_state_folder_is_closed_to_others(tmp_path):
    state = tmp_path / "state"
    environment = os.environ | {"SPANLEDGER_STATE": str(state)}
    environment.pop("SPANLEDGER_SECRET_KEY", None)
    command = [sys.executable, "-c", "import os; os.umask(0o022); import ops.settings"]
    subprocess.run(command, cwd=ROOT, env=environment, check=True, timeout=60)
    assert state.stat().st_mode & 0o077 == 0
    assert (state / "secret-key").stat().st_mode & 0o077 == 0
