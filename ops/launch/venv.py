"""The virtual environment `.venv`, made from a lock with hashes. A stamp says which lock it holds."""

import hashlib
import importlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys

from . import machine
from .places import PYTHON, ROOT, VENV, Lock, child_environment
from .say import refuse, tell

RUNTIME_LOCK = ROOT / "ops" / "requirements.lock"
CHECK_LOCK = ROOT / "ops" / "requirements-check.lock"
STAMP = VENV / "spanledger-stamp.json"


def fingerprint(path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def holds(lock) -> bool:
    """Whether `.venv` was completed from this lock, by the Python that made it, and still runs."""
    try:
        stamp = json.loads(STAMP.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return fingerprint(lock) in stamp.get("locks", []) and _runs()


def _runs() -> bool:
    if not PYTHON.exists():
        return False
    ask = [str(PYTHON), "-c", "import sys, pip; sys.exit(sys.version_info < (3, 11))"]
    return subprocess.run(ask, capture_output=True, stdin=subprocess.DEVNULL).returncode == 0


def base_python() -> str:
    """The interpreter outside any virtual environment, so that one does not grow out of another."""
    if sys.prefix != sys.base_prefix:
        return getattr(sys, "_base_executable", sys.executable)
    return sys.executable


def _can_make() -> bool:
    importlib.invalidate_caches()
    found = [importlib.util.find_spec(name) for name in ("venv", "ensurepip")]
    return all(spec is not None and spec.origin for spec in found)


def _ensure_venv_module() -> None:
    if _can_make() or (machine.can_install() and machine.install("python3-venv") and _can_make()):
        return
    refuse(
        "This machine's Python cannot make a virtual environment: install the package python3-venv "
        "(as root: apt-get install python3-venv) and start again."
    )


def _make() -> None:
    _ensure_venv_module()
    shutil.rmtree(VENV, ignore_errors=True)
    made = subprocess.run(
        [base_python(), "-m", "venv", str(VENV)], capture_output=True, text=True, stdin=subprocess.DEVNULL
    )
    if made.returncode != 0:
        last = (made.stdout + made.stderr).strip().splitlines()[-1:] or ["no reason given"]
        refuse(f"{VENV} could not be made ({last[0]}): see that the folder may be written and the disk has room.")


def _install(lock) -> bool:
    command = [str(PYTHON), "-m", "pip", "install", "--quiet", "--no-input", "--disable-pip-version-check"]
    # Wheels only: a bare machine has no compiler, and a source archive would run code while it is installed.
    # The lock is whole, so nothing is looked for beside it: an older pip would take a package asked for with an extra
    # ("coverage[toml]") for an unpinned one as soon as a newer release is out.
    command += ["--require-hashes", "--no-deps", "--only-binary", ":all:", "-r", str(lock)]
    environment = child_environment()
    environment.pop("PIP_USER", None)
    done = subprocess.run(
        command, cwd=ROOT, env=environment, stdin=subprocess.DEVNULL, text=True, stderr=subprocess.PIPE
    )
    if done.returncode != 0:
        print("\n".join(done.stderr.strip().splitlines()[-8:]), file=sys.stderr)
    return done.returncode == 0


def ensure(lock=RUNTIME_LOCK) -> None:
    """Leave a `.venv` that holds the lock; nothing is done where it already does."""
    with Lock(ROOT / ".state" / "venv.lock").take(wait=True):
        if holds(lock):
            return
        tell(f"Making .venv from {lock.relative_to(ROOT)} (once; a minute or two).")
        fresh = not _runs()
        if fresh:
            _make()
        done = _install(lock)
        if not done and not fresh:
            # What stood there was half made or of another kind: start over once.
            _make()
            done = _install(lock)
        if not done:
            refuse(
                f"The packages named in {lock.relative_to(ROOT)} could not be installed (the reason stands above): "
                "this needs a network, or a folder of wheels named in pip's own configuration."
            )
        # The check lock holds everything the running site needs, so one environment serves both commands.
        locks = {fingerprint(lock)} | ({fingerprint(RUNTIME_LOCK)} if lock == CHECK_LOCK else set())
        partial = STAMP.with_suffix(".part")
        partial.write_text(json.dumps({"locks": sorted(locks)}), encoding="utf-8")
        os.replace(partial, STAMP)
