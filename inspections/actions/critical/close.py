"""A critical finding is closed: only with what was done and a photograph of it."""

from datetime import datetime

from django.db import transaction

from inspections.models import CriticalFinding
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import CriticalKind
from inspections.vocabulary.states import CriticalState
from inventory.actions.tell import tell_event
from inventory.models import Document, Person

from .held import hold_critical, needed_words, own_photo


@transaction.atomic
def close_critical(
    *, finding: CriticalFinding, revision: int, words: str, photo: Document | None, by: Person, at: datetime
) -> CriticalFinding:
    """Close it. Refused without words, without a photograph, with the one it was reported with, or with one that was
    here before the damage was found: that cannot show what was done."""
    structure, finding = hold_critical(finding, revision, by, CriticalState.CLOSED)
    words = needed_words(words, "Say what was done: a critical finding is not closed without it.")
    if own_photo(structure, photo) is None:
        raise Refused("Add a photograph of what was done: a critical finding is not closed without one.")
    if photo.pk == finding.photo_id:
        raise Refused("That photograph shows what was found. Add one that shows what was done.")
    if photo.at < finding.found_at:
        raise Refused("That photograph was here before this was found. Add one that shows what was done.")
    finding.closed_words, finding.closing_photo = words, photo
    finding.closed_at, finding.closed_by, finding.state = at, by, CriticalState.CLOSED
    finding.revision += 1
    finding.save(update_fields=["closed_words", "closing_photo", "closed_at", "closed_by", "state", "revision"])
    tell_event(
        verb="close_critical",
        sentence=f"Critical finding closed ({CriticalKind.label_of(finding.kind)}): {words}",
        at=at,
        by=by,
        structure=structure,
        detail={"critical": finding.pk, "photo": photo.pk},
    )
    return finding
