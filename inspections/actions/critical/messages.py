"""Everyone who answers for critical findings is told, once for each thing."""

from datetime import datetime

from inspections.models import CriticalFinding, OwedMessage
from inspections.vocabulary.findings import CriticalKind
from inventory.models import Structure
from inventory.queries.people import people_with
from inventory.vocabulary.roles import ALLOWED, Permit


def message_those_who_answer(
    *, structure: Structure, finding: CriticalFinding, what: str, words: str, at: datetime
) -> int:
    """A message to every supervisor and engineer of the agency; `what` makes the same thing the same."""
    key = f"critical:{finding.identity}:{what}"
    label = CriticalKind.label_of(finding.kind)
    sentence = f"CRITICAL at {structure.number} {structure.title}: {label}. {words}"[:400]
    people = people_with(structure.agency, *ALLOWED[Permit.HANDLE_CRITICAL]).values_list("pk", flat=True)
    told = set(OwedMessage.objects.filter(key=key).values_list("person_id", flat=True))
    rows = [
        OwedMessage(person_id=pk, structure=structure, sentence=sentence, key=key, created_at=at)
        for pk in people
        if pk not in told
    ]
    OwedMessage.objects.bulk_create(rows, ignore_conflicts=True)
    return len(rows)
