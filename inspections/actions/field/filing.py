"""What the filing of one record takes and gives."""

from dataclasses import dataclass, field
from datetime import datetime

from inspections.models import CriticalFinding, Inspection, Receipt
from inspections.vocabulary.states import ReceiptState
from inventory.models import Person, Sign, Structure
from inventory.vocabulary.roles import Permit

MEETING, MISSING, REFUSED, FORMAT = "meeting", "missing", "refused", "format"


@dataclass(frozen=True, kw_only=True)
class Filing:
    """A kept record about to be filed.

    `by` is signed in and answers for it; `author` entered it. They differ where the office files what it held or
    brings a file; nothing is submitted then, so that the author looks at it first.
    """

    receipt: Receipt
    record: dict
    structure: Structure
    by: Person
    author: Person
    at: datetime
    permit: Permit | None = None
    """In place of the permit the act itself needs, where the office files what it held or brings a file."""
    choice: str = ""
    """mine, theirs or both, where a person settles a meeting."""
    settles: bool = False
    """The office has seen what stands there now and decides over it."""

    @property
    def error_s(self) -> float | None:
        return self.receipt.clock_off_s

    @property
    def is_own(self) -> bool:
        """Whether the one who is signed in entered it. A record that names somebody who is no more of the agency is
        nobody's own."""
        named = self.record.get("made_by")
        named_id = named.get("id") if isinstance(named, dict) else None
        return self.by.pk == self.author.pk and named_id in (None, self.by.pk)


@dataclass(kw_only=True)
class Filed:
    """What became of a record."""

    state: ReceiptState = ReceiptState.FILED
    held_for: str = ""
    sentences: list[str] = field(default_factory=list)
    inspection: Inspection | None = None
    critical: CriticalFinding | None = None
    sign: Sign | None = None
    theirs: dict | None = None
    differs: list[dict] = field(default_factory=list)


def held(why: str, *sentences: str, **more) -> Filed:
    return Filed(state=ReceiptState.HELD, held_for=why, sentences=list(sentences), **more)
