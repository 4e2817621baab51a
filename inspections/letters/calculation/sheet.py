"""What a calculation sheet is made of: plain values of one rating, from a row or from a file."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

SAFETY = (
    "An aid to a licensed professional engineer, never an order. The State's manual governs where it differs and the "
    "engineer of record decides; a posting counts when it is adopted and its signs stand."
)
"""Stands on every page."""


@dataclass(frozen=True, kw_only=True)
class SheetData:
    """One rating in plain values.

    ``number``, ``title``, ``route``, ``agency`` and ``place`` name the structure, '' where not known. ``cases`` are the
    spans as ``SpanCase.as_dict()`` gives them, ``caps`` the pile caps and ``policy`` likewise; ``results`` is what a
    rating keeps: governing, spans (label, method, results), posting, notes, cautions, relied_on and, where they were
    kept, load_factor, governing_cases and pressed. ``trace`` is a list of {span, heading, steps}. ``versions`` maps a
    table to its version. ``made_at`` is the moment of the rating: the sheet carries no other time, so two prints are
    the same bytes.
    """

    number: str
    title: str
    rating_number: str
    as_of: date
    made_at: datetime
    digest: str
    kernel_version: str
    cases: Sequence[Mapping]
    policy: Mapping
    results: Mapping
    trace: Sequence[Mapping]
    caps: Sequence[Mapping] = ()
    versions: Mapping[str, str] = field(default_factory=dict)
    route: str = ""
    agency: str = ""
    place: str = ""
    made_by: str = ""
    cause: str = ""
    is_rated: bool = True
    reasons: Sequence[str] = ()
    flags: Sequence[str] = ()

    @property
    def file_name(self) -> str:
        """ASCII letters, digits and dashes of the structure's number, and the rating's."""
        words = "".join(c if c.isascii() and c.isalnum() else "-" for c in f"{self.number}-{self.rating_number}")
        kept = "-".join(part for part in words.split("-") if part)[:80]
        return f"calculation-{kept}.pdf" if kept else "calculation.pdf"
