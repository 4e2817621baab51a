"""What was seen, told better once there is time: words and a photograph after the two taps on the road."""

from datetime import datetime

from django.db import transaction

from inspections.actions.lock import lock_row, lock_structure, require_permit
from inspections.models import CriticalFinding
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import CriticalState
from inventory.actions.tell import tell_event
from inventory.models import Document, Person
from inventory.vocabulary.roles import Permit

from .held import needed_words, own_photo


@transaction.atomic
def describe_critical(
    *, finding: CriticalFinding, revision: int, words: str, photo: Document | None, by: Person, at: datetime
) -> CriticalFinding:
    """Put better words in place of those on record (the event keeps the old), and a photograph where one is given.

    For whoever may report; a closed finding stays as it is.
    """
    structure = lock_structure(finding.structure_id)
    require_permit(by, structure, Permit.REPORT_CRITICAL)
    finding = lock_row(finding, revision, "this critical finding")
    if finding.state == CriticalState.CLOSED:
        raise Refused("This critical finding is closed and stays as it is; what comes up later is a new one.")
    words = needed_words(words, "Say what you see, and where.")
    photo = own_photo(structure, photo) or finding.photo
    if words == finding.words and photo == finding.photo:
        return finding
    before = "" if words == finding.words else f" Before: {finding.words}"
    shown = "" if photo == finding.photo else " A photograph was added."
    finding.words, finding.photo = words, photo
    finding.revision += 1
    finding.save(update_fields=["words", "photo", "revision"])
    tell_event(
        verb="describe_critical",
        sentence=f"Critical finding described: {words}{shown}{before}",
        at=at,
        by=by,
        structure=structure,
        detail={"critical": finding.pk},
    )
    return finding
