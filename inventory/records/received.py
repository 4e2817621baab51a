"""A received file kept on disk between its preview and its import, bound to the person who sent it."""

import re
import secrets
import time
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

from .record_file import checksum_of
from .record_source import NotARecordFile, check_size

KEPT_SECONDS = 24 * 3600
_TOKEN = re.compile(r"[0-9]+-[A-Za-z0-9_-]{20,60}")


@dataclass(frozen=True)
class Received:
    token: str
    sha256: str


def folder() -> Path:
    """Where received files wait; made when first needed, readable by the site only."""
    place = Path(settings.STATE_DIR) / "received-records"
    place.mkdir(mode=0o700, parents=True, exist_ok=True)
    return place


def keep(chunks: Iterable[bytes], person_id: int, *, max_bytes: int) -> Received:
    """Write the bytes under a name nobody can guess; stop with a sentence where they exceed the limit."""
    _drop_old()
    token = f"{person_id}-{secrets.token_urlsafe(24)}"
    path, size = folder() / token, 0
    try:
        with path.open("xb") as out:
            for chunk in chunks:
                size += len(chunk)
                check_size(size, max_bytes)
                out.write(chunk)
    except NotARecordFile:
        path.unlink(missing_ok=True)
        raise
    return Received(token, checksum_of(path))


def path_of(received: Received, person_id: int) -> Path:
    """The kept file, if it is this person's and still the same bytes; otherwise a sentence."""
    path = folder() / received.token
    if not _TOKEN.fullmatch(received.token) or not received.token.startswith(f"{person_id}-") or not path.is_file():
        raise NotARecordFile("The file you sent is no longer kept here: send it again.")
    if checksum_of(path) != received.sha256:
        raise NotARecordFile("The kept file is not the one that was looked at: send it again.")
    return path


def drop(received: Received) -> None:
    """Forget a file that was imported or given up."""
    if _TOKEN.fullmatch(received.token):
        (folder() / received.token).unlink(missing_ok=True)


def _drop_old() -> None:
    for path in folder().iterdir():
        try:
            if time.time() - path.stat().st_mtime > KEPT_SECONDS:
                path.unlink()
        except FileNotFoundError:
            continue
