"""One voice for the commands: short lines, and a refusal that is one sentence."""

import sys
from typing import NoReturn


def tell(line: str = "") -> None:
    """Print a line at once, whatever the terminal's encoding can show."""
    print(line, flush=True)


def refuse(sentence: str, code: int = 1) -> NoReturn:
    """Leave with one sentence on the error stream."""
    print(sentence, file=sys.stderr, flush=True)
    raise SystemExit(code)


def plain_streams() -> None:
    """A machine with an old locale gets question marks, not a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
