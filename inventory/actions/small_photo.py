"""A small copy of a photograph for devices that carry it into the field; made once, kept beside the clean copy.

The copies can be thrown away at any time: they are drawn anew when they are next asked for.
"""

import io
import os
import tempfile
from pathlib import Path
from typing import BinaryIO

from django.conf import settings
from PIL import Image

from inventory.models import Document

LONGEST_SIDE = 480


def small_photo(document: Document) -> BinaryIO | None:
    """The copy, longest side 480 pixels, opened for reading; None where the clean copy is not on the disk."""
    kept = Path(settings.MEDIA_ROOT) / "small" / f"{document.sha256}.jpg"
    if kept.is_file():
        return kept.open("rb")
    try:
        with document.served.open() as served, Image.open(served, formats=("JPEG",)) as picture:
            picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
            small = picture.convert("RGB")
    except (OSError, ValueError):
        return None
    small.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    made = io.BytesIO()
    small.save(made, "JPEG", quality=78)
    _keep(kept, made.getvalue())
    made.seek(0)
    return made


def _keep(path: Path, data: bytes) -> None:
    """Whole or not at all: two requests may draw the same copy at once."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
    os.chmod(name, 0o640)
    os.replace(name, path)
