"""Where things lie, and the surroundings every child process gets."""

import fcntl
import os
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"


def state_folder() -> Path:
    """The folder a running site writes to, made readable by its owner only."""
    folder = Path(os.environ.get("SPANLEDGER_STATE") or ROOT / ".state").absolute()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def child_environment(**more: str) -> dict[str, str]:
    """The environment of children: UTF-8 whatever the machine's locale says, and our settings."""
    own = dict(os.environ)
    # A variable of another virtual environment must not leak into ours.
    for name in ("PYTHONHOME", "PYTHONPATH", "VIRTUAL_ENV", "__PYVENV_LAUNCHER__"):
        own.pop(name, None)
    own.update(
        PYTHONUTF8="1",
        PYTHONUNBUFFERED="1",
        LC_ALL="C.UTF-8",
        DJANGO_SETTINGS_MODULE="ops.settings",
        SPANLEDGER_STATE=str(state_folder()),
        PATH=f"{VENV / 'bin'}{os.pathsep}{own.get('PATH', os.defpath)}",
    )
    own.update(more)
    return own


class Held(Exception):
    """Another process holds the lock; the text is what that process wrote into it."""


class Lock:
    """An advisory lock on a file. The system lets go of it when the process ends, however it ends."""

    def __init__(self, path: Path):
        self.path = path
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.handle = open(path, "a+", encoding="utf-8")

    def take(self, wait: bool = False) -> "Lock":
        try:
            fcntl.flock(self.handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
        except OSError:
            self.handle.seek(0)
            raise Held(self.handle.read().strip()) from None
        return self

    def write(self, text: str) -> None:
        self.handle.seek(0)
        self.handle.truncate()
        self.handle.write(text)
        self.handle.flush()

    def release(self) -> None:
        self.write("")
        self.handle.close()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.release()
