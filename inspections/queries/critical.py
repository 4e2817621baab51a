"""Critical findings a person may see, and the facts their clocks read."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import F, Max, Min, Q, QuerySet
from django.utils import timezone

from inspections.models import CriticalFinding
from inspections.rules.clocks.critical import CriticalFact, CriticalTerms
from inspections.vocabulary.states import CriticalState
from inventory.models import Agency, Document, InspectionPolicy, Person, Structure
from inventory.queries.people import agencies_of, agencies_permitting
from inventory.vocabulary.people import ContactRole
from inventory.vocabulary.roles import Permit

OPEN = (CriticalState.REPORTED.value, CriticalState.MADE_SAFE.value)
TO_STATE = Q(notices__role=ContactRole.STATE.value)


def with_notices(rows: QuerySet[CriticalFinding]) -> QuerySet[CriticalFinding]:
    """With the moments the clocks read: the State first told, the last report sent, the last person told."""
    return rows.annotate(
        told_state_at=Min("notices__told_at", filter=TO_STATE),
        status_at=Max("notices__told_at", filter=TO_STATE & Q(notices__is_status_report=True)),
        told_at=Max("notices__told_at"),
    )


def critical_for(person: Person) -> QuerySet[CriticalFinding]:
    """All critical findings of the person's agencies."""
    rows = CriticalFinding.objects.filter(structure__agency__in=agencies_of(person))
    return with_notices(rows.select_related("structure__agency", "found_by", "posting", "photo"))


def open_critical(rows: QuerySet[CriticalFinding]) -> QuerySet[CriticalFinding]:
    """Those not closed, the longest open first."""
    return rows.filter(state__in=OPEN).order_by("found_at", "id")


def critical_handled_by(person: Person) -> QuerySet[CriticalFinding]:
    """Where the person answers for it: still open, or closed without a word to the State."""
    agencies = agencies_permitting(person, Permit.HANDLE_CRITICAL)
    rows = CriticalFinding.objects.filter(structure__agency__in=agencies).select_related("structure__agency")
    return with_notices(rows).filter(Q(state__in=OPEN) | Q(told_state_at__isnull=True)).order_by("found_at", "id")


def still_clocked() -> QuerySet[CriticalFinding]:
    """Of every agency: what still has a clock running, for the sweep that warns."""
    rows = with_notices(CriticalFinding.objects.select_related("structure__agency"))
    return rows.filter(Q(state__in=OPEN) | Q(told_state_at__isnull=True)).order_by("found_at", "id")


def critical_of_structure(structure: Structure) -> QuerySet[CriticalFinding]:
    """All of one structure, the newest first."""
    return with_notices(CriticalFinding.objects.filter(structure=structure)).order_by("-found_at", "-id")


def critical_terms(agencies: Iterable[Agency | int]) -> dict[int, CriticalTerms]:
    """Agency id to its settings; an agency that set none works by the defaults."""
    ids = {getattr(agency, "pk", agency) for agency in agencies}
    policies = InspectionPolicy.objects.in_bulk(ids)
    return {pk: _terms(policies.get(pk) or InspectionPolicy()) for pk in ids}


def _terms(policy: InspectionPolicy) -> CriticalTerms:
    return CriticalTerms(
        tell_hours=policy.critical_tell_hours,
        plan_days=policy.critical_plan_days,
        status_days=policy.critical_status_days,
    )


def fact_of(finding: CriticalFinding, terms: CriticalTerms, *, is_nhs: bool) -> CriticalFact:
    """What the clocks read of a row that `with_notices` gave, in the county's own time."""
    moments = (finding.told_at, finding.planned_at, finding.made_safe_at, finding.closed_at)
    return CriticalFact(
        kind=finding.kind,
        found_at=timezone.localtime(finding.found_at),
        terms=terms,
        told_state_at=_local(finding.told_state_at),
        planned_at=_local(finding.planned_at),
        status_at=_local(finding.status_at),
        closed_at=_local(finding.closed_at),
        done_at=_local(max((moment for moment in moments if moment is not None), default=None)),
        is_nhs=is_nhs,
    )


def _local(moment: datetime | None) -> datetime | None:
    return None if moment is None else timezone.localtime(moment)


def critical_facts(structure_ids: Iterable[int]) -> dict[int, tuple[CriticalFact, ...]]:
    """Facts of every critical finding by structure id, in a fixed number of queries."""
    rows = CriticalFinding.objects.filter(structure__in=list(structure_ids)).annotate(
        agency_pk=F("structure__agency_id"), on_nhs=F("structure__is_nhs")
    )
    rows = list(with_notices(rows).order_by("structure", "found_at", "id"))
    terms = critical_terms({row.agency_pk for row in rows}) if rows else {}
    facts: dict[int, tuple[CriticalFact, ...]] = {}
    for row in rows:
        fact = fact_of(row, terms[row.agency_pk], is_nhs=row.on_nhs)
        facts[row.structure_id] = (*facts.get(row.structure_id, ()), fact)
    return facts


def photos_to_choose(structure: Structure, most: int = 24) -> QuerySet[Document]:
    """The newest photographs of a structure that can be shown."""
    return structure.documents.filter(kind="photo").exclude(served="").order_by("-at", "-id")[:most]
