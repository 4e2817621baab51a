"""Samples and checks as the pages of quality assurance show them."""

from django.core.paginator import Page

from inspections.models import Inspection, QualityCheck, QualitySample
from inspections.queries.inspections import RELIED_ON, authors_of
from inspections.queries.quality import could_repeat
from inspections.rules import lifecycle
from inspections.vocabulary.states import QualityState
from inventory.models import Agency, Event, Person
from inventory.queries.inspection_policy import policy_of

SHOWN_EVENTS = 20


def sample_blocks(page: Page) -> list[dict]:
    """Each sample with its checks and how far they are."""
    return [_block(sample) for sample in page]


def _block(sample: QualitySample) -> dict:
    lines = []
    for check in sample.checks.all():
        differences = list(check.differences.all())
        lines.append(
            {
                "check": check,
                "owner": _owner(check),
                "count": len(differences),
                "larger": sum(1 for each in differences if each.counts),
                "open": sum(1 for each in differences if each.closed_at is None),
            }
        )
    closed = sum(1 for line in lines if line["check"].state == QualityState.CLOSED)
    return {"sample": sample, "lines": lines, "closed": closed, "is_open": closed < len(lines)}


def check_context(check: QualityCheck, person: Person) -> dict:
    """One check: the two inspections side by side, their differences, who may do what."""
    differences = list(check.differences.select_related("closed_by"))
    first_authors = authors_of(check.inspection)
    return {
        "check": check,
        "first": check.inspection,
        "second": check.repeated,
        "structure": check.inspection.structure,
        "owner": _owner(check),
        "policy": policy_of(check.sample.agency),
        "differences": differences,
        "open_count": sum(1 for each in differences if each.closed_at is None),
        "first_people": people_of(check.inspection),
        "second_people": people_of(check.repeated) if check.repeated else [],
        "is_author": person.pk in first_authors,
        "second_is_in": check.repeated is not None and check.repeated.state in RELIED_ON,
        "could_repeat": could_repeat(check) if check.state == QualityState.DRAWN else [],
        "events": Event.objects.filter(structure=check.inspection.structure_id, detail__quality_check=check.pk)
        .select_related("by")
        .order_by("-at", "-pk")[:SHOWN_EVENTS],
    }


def people_of(inspection: Inspection) -> list[str]:
    """Everyone who entered any part of it."""
    people = Person.objects.filter(pk__in=authors_of(inspection)).order_by("last_name", "first_name", "username")
    return [str(person) for person in people]


def policy_words(agency: Agency) -> dict:
    """The county's share and how far ratings may lie apart."""
    policy = policy_of(agency)
    return {"share_pct": policy.qa_sample_pct, "rating_differs": policy.qa_rating_differs}


def _owner(check: QualityCheck) -> str:
    return lifecycle.OWNERS[lifecycle.QUALITY][QualityState(check.state)].words
