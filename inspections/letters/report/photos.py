"""Photographs of a report: which, in what order, with which caption; sized for print from the clean copy."""

import io
from collections.abc import Sequence

from django.utils import timezone
from PIL import Image

from inspections.models import Inspection
from inspections.rules.clocks.terms import day
from inventory.models import Document

from .findings import Numbered

LONGEST_SIDE = 900
"""Pixels; 3.4 in wide on paper is then 265 to the inch."""
QUALITY = 78


def photo_list(inspection: Inspection, rows: Sequence[Numbered]) -> list[dict]:
    """Number, document id, caption and the number of the finding it shows (0 for the whole), each photograph once."""
    by_identity = {row.finding.identity: row.number for row in rows if row.finding.identity}
    shown: dict[int, dict] = {}
    for link in inspection.photos.select_related("document"):
        finding = by_identity.get(link.finding_identity, 0)
        shown[link.document_id] = _photo(link.document, link.caption or link.document.title, finding)
    for row in rows:
        if row.finding.photo_id:
            kept = shown.setdefault(
                row.finding.photo_id, _photo(row.finding.photo, row.finding.photo.title, row.number)
            )
            kept["finding"] = kept["finding"] or row.number
    return [photo | {"number": number} for number, photo in enumerate(shown.values(), start=1)]


def _photo(document: Document, caption: str, finding: int) -> dict:
    taken = timezone.localdate(document.taken_at) if document.taken_at else document.taken_on
    return {
        "document": document.pk,
        "caption": caption.strip().rstrip(".") + ".",
        "taken": f"taken {day(taken)}" if taken else "day not on record",
        "finding": finding,
    }


def printed_photo(document: Document) -> bytes | None:
    """The clean copy as a small JPEG; None where its file cannot be read."""
    if not document.served:
        return None
    try:
        with document.served.open() as kept, Image.open(kept) as opened:
            opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
            picture = opened.convert("RGB")
            picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
            made = io.BytesIO()
            picture.save(made, "JPEG", quality=QUALITY)
    except (OSError, ValueError):
        return None
    return made.getvalue()
