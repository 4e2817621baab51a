"""Visits that an inspection has answered become done; found again from the rows each time, so safe to run twice."""

from datetime import datetime

from inspections.models import OwedVisit
from inspections.queries.schedule import visits_inspected
from inspections.rules.clocks import day
from inspections.vocabulary.findings import InspectionKind, VisitCause
from inspections.vocabulary.states import VisitState
from inventory.models import Event


def answered_visits(structure_ids: list[int]) -> list[OwedVisit]:
    """Open visits with the inspection that answered each."""
    return list(visits_inspected(structure_ids))


def close_answered(visits: list[OwedVisit], agency_of: dict[int, int], at: datetime) -> list[Event]:
    """Mark them done; the events to write. The caller holds the structures."""
    events = []
    for row in visits:
        row.state, row.inspection_id = VisitState.DONE.value, row.answered_by
        row.state_reason = f"Inspected on {day(row.answered_on)}."
        row.revision += 1
        sentence = (
            f"{InspectionKind.label_of(row.kind)} after {VisitCause.label_of(row.cause).lower()} on "
            f"{day(row.happened_on)}: inspected on {day(row.answered_on)}."
        )
        events.append(
            Event(
                agency_id=agency_of[row.structure_id],
                structure_id=row.structure_id,
                verb="visit_inspected",
                sentence=sentence,
                detail={"visit": row.pk, "inspection": row.answered_by},
                by=None,
                at=at,
            )
        )
    OwedVisit.objects.bulk_update(visits, ["state", "inspection", "state_reason", "revision"], batch_size=100)
    return events
