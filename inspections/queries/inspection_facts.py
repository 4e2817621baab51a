"""What the inspection clocks are told, for many structures in a fixed number of queries."""

from collections import defaultdict
from datetime import date

from django.db.models import Q
from django.utils import timezone

from inspections.models import Inspection, InspectionNeed, OwedVisit
from inspections.queries.inspections import RELIED_ON
from inspections.rules.clocks import (
    AGENCY_FIELDS,
    POLICY_FIELDS,
    InspectionFacts,
    NeedFact,
    Policy,
    VisitFact,
)
from inspections.rules.clocks.inspection_facts import COMPONENTS, WATER_PARTS
from inspections.vocabulary.findings import InspectionKind, VisitCause
from inspections.vocabulary.states import InspectionState, VisitState
from inventory.models import Agency, InspectionPolicy, Structure

# An inspection counts from the day its field portion was finished, once it was handed in and unless it was sent back.
RESTARTS_ROUTINE = (InspectionKind.ROUTINE.value, InspectionKind.INITIAL.value)
RATED_PARTS = (*COMPONENTS, *WATER_PARTS)


def clock_policy(agency: Agency, held: InspectionPolicy) -> Policy:
    """The agency's policy as the clocks read it."""
    values = {name: getattr(held, name) for name in POLICY_FIELDS}
    return Policy(**values, **{name: getattr(agency, name) for name in AGENCY_FIELDS})


def inspection_facts(structures: list[Structure]) -> dict[int, InspectionFacts]:
    """Facts by structure id."""
    ids = [structure.pk for structure in structures]
    inspected, needs, visits = _inspected(ids), _needs(ids), _visits(ids)
    return {
        structure.pk: _facts(structure, inspected[structure.pk], needs[structure.pk], visits[structure.pk])
        for structure in structures
    }


def _inspected(ids: list[int]) -> dict[int, list[dict]]:
    """Finished inspections of each structure, the latest first."""
    rows = (
        Inspection.objects.filter(structure__in=ids, state__in=RELIED_ON, field_completed_on__isnull=False)
        .order_by("structure", "-field_completed_on", "-id")
        .values("structure_id", "kind", "field_completed_on", *(f"{name}_rating" for name in RATED_PARTS))
    )
    by_structure = defaultdict(list)
    for row in rows:
        by_structure[row["structure_id"]].append(row)
    return by_structure


def _needs(ids: list[int]) -> dict[int, list[NeedFact]]:
    by_structure = defaultdict(list)
    for row in InspectionNeed.objects.filter(structure__in=ids, ended_on__isnull=True):
        by_structure[row.structure_id].append(
            NeedFact(
                kind=row.kind,
                interval_months=row.interval_months,
                reason=row.reason,
                set_on=timezone.localdate(row.set_at),
                first_due_on=row.first_due_on,
            )
        )
    return by_structure


def _visits(ids: list[int]) -> dict[int, list[VisitFact]]:
    by_structure = defaultdict(list)
    # A visit whose inspection was sent back is owed until it is handed in again, or another answers it.
    undone = Q(state=VisitState.DONE.value, inspection__state=InspectionState.SENT_BACK.value)
    rows = OwedVisit.objects.filter(Q(state=VisitState.OPEN.value) | undone, structure__in=ids)
    for row in rows.order_by("due_on", "id"):
        by_structure[row.structure_id].append(
            VisitFact(
                kind=row.kind,
                cause=VisitCause.label_of(row.cause),
                happened_on=row.happened_on,
                due_on=row.due_on,
                words=row.words,
            )
        )
    return by_structure


def _facts(structure: Structure, inspected: list[dict], needs, visits) -> InspectionFacts:
    def latest(*kinds: str) -> date | None:
        return next((row["field_completed_on"] for row in inspected if row["kind"] in kinds), None)

    return InspectionFacts(
        registered_on=timezone.localdate(structure.created_at),
        is_federal=structure.is_bridge_length is not False,
        opened_on=structure.installed_on,
        built_on=structure.installed_on or _start_of(structure.year_built),
        last_routine_on=latest(*RESTARTS_ROUTINE),
        last_underwater_on=latest(InspectionKind.UNDERWATER.value),
        last_in_depth_on=latest(InspectionKind.IN_DEPTH.value),
        last_special_on=latest(InspectionKind.SPECIAL.value),
        last_damage_on=latest(InspectionKind.DAMAGE.value),
        last_scour_on=latest(InspectionKind.SCOUR.value),
        ratings=_last_ratings(inspected),
        interval_on_record_months=structure.interval_months,
        needs=tuple(needs),
        visits=tuple(visits),
    )


def _start_of(year: int | None) -> date | None:
    """The first day of a year that can be one; a year of the record that cannot tells no age."""
    return date(year, 1, 1) if year and 1700 <= year <= 2200 else None


def _last_ratings(inspected: list[dict]) -> tuple[tuple[str, int], ...]:
    """The code last given to each part. One last coded N (not applicable) is not there any more."""
    found = {}
    for name in RATED_PARTS:
        code = next((row[f"{name}_rating"] for row in inspected if row[f"{name}_rating"]), "")
        if code.isdigit():
            found[name] = int(code)
    return tuple(found.items())
