"""Child processes kept alive a bounded number of times, and stopped together."""

import ctypes
import os
import signal
import subprocess
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from .places import ROOT
from .say import tell

RESTARTS_ALLOWED = 3
RESTART_WINDOW_S = 120
STOP_GRACE_S = 15
LOG_KEPT_BYTES = 5_000_000


def _die_with_parent() -> None:
    """On Linux, a child whose supervisor is killed outright gets SIGTERM: no orphan is left (prctl(2))."""
    try:
        ctypes.CDLL(None).prctl(1, signal.SIGTERM)
    except (OSError, AttributeError):
        pass


@dataclass
class Child:
    """One process of the site. `kept_fds` stay open in it."""

    name: str
    command: list[str]
    environment: dict[str, str]
    log: Path
    kept_fds: tuple[int, ...] = ()
    process: subprocess.Popen | None = None
    starts: list[float] = field(default_factory=list)

    def start(self) -> None:
        if self.log.exists() and self.log.stat().st_size > LOG_KEPT_BYTES:
            os.replace(self.log, self.log.with_suffix(".log.1"))
        self.starts.append(time.monotonic())
        with open(self.log, "ab") as log:
            self.process = subprocess.Popen(
                self.command,
                cwd=ROOT,
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=subprocess.STDOUT,
                pass_fds=self.kept_fds,
                # Its own session: Ctrl-C in the terminal reaches the supervisor only, which stops all in order.
                start_new_session=True,
                preexec_fn=_die_with_parent,
            )

    @property
    def is_alive(self) -> bool:
        return self.process is not None and self.process.poll() is None

    def may_restart(self) -> bool:
        recent = [moment for moment in self.starts if time.monotonic() - moment < RESTART_WINDOW_S]
        return len(recent) <= RESTARTS_ALLOWED

    def last_lines(self, count: int = 5) -> str:
        try:
            lines = self.log.read_text(encoding="utf-8", errors="replace").strip().splitlines()
        except OSError:
            return ""
        return "\n".join(f"    {line}" for line in lines[-count:])


def _signal_group(child: Child, number: int) -> None:
    try:
        os.killpg(child.process.pid, number)
    except (ProcessLookupError, PermissionError):
        pass


def stop(children: list[Child], hurry: Callable[[], bool] = lambda: False) -> None:
    """Stop the children last started first; what does not end in time, or after a second Ctrl-C, is killed."""
    for child in reversed(children):
        if child.process is None:
            continue
        if child.is_alive:
            child.process.terminate()
            end = time.monotonic() + STOP_GRACE_S
            while child.is_alive and time.monotonic() < end and not hurry():
                time.sleep(0.05)
        # The leader is gone or stuck: whoever is left of its group goes too.
        _signal_group(child, signal.SIGKILL)
        child.process.wait()


def keep(children: list[Child], is_asked_to_stop: Callable[[], bool]) -> str | None:
    """Watch until asked to stop (None), or until a child fails too often (the sentence that says so)."""
    while not is_asked_to_stop():
        for child in children:
            if child.is_alive or is_asked_to_stop():
                continue
            code = child.process.poll()
            _signal_group(child, signal.SIGKILL)
            if not child.may_restart():
                return (
                    f"The {child.name} stopped {len(child.starts)} times (last code {code}), so everything was "
                    f"stopped; the end of {child.log}:\n{child.last_lines()}"
                )
            tell(f"The {child.name} stopped (code {code}); starting it again.")
            child.start()
        time.sleep(0.2)
    return None
