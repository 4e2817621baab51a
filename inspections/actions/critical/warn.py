"""Those who answer are warned before a clock of a critical finding runs out, and told again once it has."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from inspections.actions.lock import lock_structure
from inspections.models import CriticalFinding
from inspections.queries.critical import critical_terms, fact_of, still_clocked
from inspections.rules.clocks.critical import critical_clocks

from .messages import message_those_who_answer

LOUD = ("warn", "late")


def warn_of_clocks(*, at: datetime) -> int:
    """One message a person for each clock and grade; safe to run as often as wanted. Returns messages written."""
    rows = list(still_clocked())
    terms = critical_terms({row.structure.agency_id for row in rows}) if rows else {}
    sent = 0
    for row in rows:
        fact = fact_of(row, terms[row.structure.agency_id], is_nhs=row.structure.is_nhs)
        for clock in critical_clocks(fact, timezone.localtime(at)):
            if clock.grade in LOUD:
                sent += _warn(row, f"{clock.name}:{clock.due_at:%Y%m%d%H%M}:{clock.grade}", clock.words, at)
    return sent


@transaction.atomic
def _warn(row: CriticalFinding, what: str, words: str, at: datetime) -> int:
    structure = lock_structure(row.structure_id)
    said = f"{words[0].upper()}{words[1:]}."
    return message_those_who_answer(structure=structure, finding=row, what=what, words=said, at=at)
