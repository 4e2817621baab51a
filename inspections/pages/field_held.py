"""Records held from the field, in words: what came, from whom, why it waits, what differs."""

from dataclasses import dataclass

from inspections.models import PhotoUpload, Receipt
from inspections.queries.field_received import receipts_to_settle
from inspections.vocabulary.findings import CriticalKind, FindingKind, InspectionKind
from inventory.models import Person

HELD_WORDS = {
    "meeting": "Two people changed it",
    "missing": "Structure not in the register",
    "refused": "The rules refuse it as it is",
    "format": "This site cannot read all of it",
}
SHOWN_FINDINGS = 12


@dataclass(frozen=True, kw_only=True)
class HeldRow:
    """One held record as the page shows it."""

    receipt: Receipt
    what: str
    entered_by: str
    why: str
    differs: list
    their_name: str
    holds: list[str]
    is_meeting: bool
    asks_structure: bool


def held_count(person: Person) -> int:
    """The number beside the door."""
    return receipts_to_settle(person).count()


def held_row(receipt: Receipt) -> HeldRow:
    answer = receipt.answer or {}
    theirs = answer.get("theirs") or {}
    return HeldRow(
        receipt=receipt,
        what=_what(receipt),
        entered_by=_entered_by(receipt),
        why=HELD_WORDS.get(receipt.held_for, "Held"),
        differs=answer.get("differs") or [],
        their_name=theirs.get("by") or "the other",
        holds=_holds(receipt.body),
        is_meeting=bool(theirs) and receipt.inspection is not None,
        asks_structure=receipt.structure_id is None,
    )


def refused_photo_words(upload: PhotoUpload) -> str:
    """Where the bytes of a refused photograph are, for whoever looks after the site."""
    return f"files/{upload.path}" if upload.path else "not received"


def _what(receipt: Receipt) -> str:
    part = receipt.body.get(receipt.kind)
    code = part.get("kind") if isinstance(part, dict) else ""
    if receipt.kind == "inspection":
        return f"{InspectionKind.label_of(code) or 'An'} inspection"
    if receipt.kind == "critical":
        return f"Critical finding: {CriticalKind.label_of(code)}"
    return "A sign seen" if receipt.kind == "sign" else "A record of an unknown kind"


def _entered_by(receipt: Receipt) -> str:
    made_by = receipt.body.get("made_by")
    name = str(made_by.get("name") or "") if isinstance(made_by, dict) else ""
    sender = str(receipt.person)
    if not name or name == sender:
        return f"entered and sent by {sender}"
    verb = "brought as a file" if receipt.way == "file" else "sent"
    return f"entered by {name[:80]}, {verb} by {sender}"


def _holds(body: dict) -> list[str]:
    """What is in the record, in a few words each; it may be of any shape."""
    said = []
    findings = body.get("findings")
    rows = [row for row in findings if isinstance(row, dict)] if isinstance(findings, list) else []
    for row in rows[:SHOWN_FINDINGS]:
        place = f", span {row.get('span_index')}" if row.get("span_index") else ""
        note = f": {row['note']}" if isinstance(row.get("note"), str) and row["note"] else ""
        said.append(f"{FindingKind.label_of(str(row.get('kind'))) or 'Finding'}{place}{note}"[:200])
    if len(rows) > SHOWN_FINDINGS:
        said.append(f"and {len(rows) - SHOWN_FINDINGS} more findings")
    for name in ("elements", "photos", "channel"):
        count = len(body[name]) if isinstance(body.get(name), list) else 0
        if count:
            words = {"elements": "element row", "photos": "photograph", "channel": "channel section"}[name]
            said.append(f"{count} {words}{'' if count == 1 else 's'}")
    critical = body.get("critical")
    if isinstance(critical, dict) and isinstance(critical.get("words"), str):
        said.append(critical["words"][:300])
    return said
