"""A received photograph: what is taken, and the clean copy that is shown.

The copy is drawn anew from the decoded picture, so nothing hidden in the received file (scripts, places, thumbnails) is
ever served. Limits are our own: a phone's picture is under 15 MB and 60 million pixels.
"""

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps

from .refusals import Refused

MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 60_000_000
LONGEST_SIDE = 1800
FORMATS = ("JPEG", "PNG", "WEBP")


@dataclass(frozen=True)
class CleanPhoto:
    jpeg: bytes
    width: int
    height: int


def clean_photo(data: bytes) -> CleanPhoto:
    """The picture re-encoded as JPEG, upright, at most 1,800 pixels long; refused with a sentence otherwise."""
    if not data:
        raise Refused({"photo": "The file is empty. Choose the photograph again."})
    if len(data) > MOST_BYTES:
        raise Refused({"photo": f"The file is larger than {MOST_BYTES // 2**20} MB. Send a smaller copy."})
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    raise Refused({"photo": "The picture has more than 60 million pixels. Send a smaller copy."})
                opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
                upright = ImageOps.exif_transpose(opened).convert("RGB")
            upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
            # A fresh picture carries no metadata over.
            fresh = Image.new("RGB", upright.size)
            fresh.paste(upright)
            kept = io.BytesIO()
            fresh.save(kept, "JPEG", quality=86)
    except Refused:
        raise
    except Exception:
        # Damaged files make the decoder raise errors of many kinds, not only its own.
        raise Refused(
            {"photo": "This is not a photograph that can be read (JPEG, PNG or WebP), or it is damaged. Send another."}
        ) from None
    return CleanPhoto(kept.getvalue(), *fresh.size)
