"""What a structure's schedule page shows, and the list to tick after high water."""

from dataclasses import dataclass
from datetime import date

from inspections.models import Inspection
from inspections.queries.clock_facts import clock_facts
from inspections.queries.inspection_facts import clock_policy
from inspections.queries.schedule import (
    closed_visits,
    found_by_words,
    needs_ended,
    needs_in_force,
    open_visits,
    over_water,
    structures_to_report,
)
from inspections.queries.scour import scour_facts
from inspections.rules.clocks import rating_due, record_entry_due, schedule_lines, schedule_notes
from inspections.rules.clocks.terms import day
from inspections.rules.scour import scour_duties
from inventory.models import Person, Structure
from inventory.queries.inspection_policy import policy_of
from inventory.vocabulary.structures import Status

CLOSED_SHOWN = 12
LISTED = 200


def schedule_context(structure: Structure, as_of: date) -> dict:
    """Every kind with interval, reason, last done, next due and state; what people set; visits."""
    facts, policy = clock_facts([structure.pk])[structure.pk]
    in_service = structure.status == Status.IN_SERVICE
    return {
        "structure": structure,
        "in_service": in_service,
        "lines": schedule_lines(facts, policy, as_of) if in_service else [],
        "notes": [*schedule_notes(facts, policy), *scour_duties(scour_facts(structure, as_of)).sentences],
        "is_federal": facts.inspection.is_federal,
        "needs": list(needs_in_force(structure)),
        "ended": list(needs_ended(structure)[:CLOSED_SHOWN]),
        "visits": list(open_visits(structure)),
        "closed_visits": list(closed_visits(structure)[:CLOSED_SHOWN]),
        "special_months": policy.special_months,
    }


@dataclass(frozen=True, kw_only=True)
class ReportList:
    """Structures to tick: the ticked ones first, then those found; `more` says that the list was cut."""

    rows: list[Structure]
    ticked: set[int]
    more: bool


def report_list(person: Person, *, words: str, water_only: bool, ticked: set[int]) -> ReportList:
    """The structures a person may report on, narrowed by words and to those over water; what is ticked stays."""
    own = structures_to_report(person)
    chosen = list(own.filter(pk__in=ticked)) if ticked else []
    found = found_by_words(over_water(own) if water_only else own, words)
    rest = list(found.exclude(pk__in=[row.pk for row in chosen])[: LISTED + 1])
    return ReportList(rows=chosen + rest[:LISTED], ticked={row.pk for row in chosen}, more=len(rest) > LISTED)


def record_words(inspection: Inspection, as_of: date) -> list[str]:
    """By when the inspection's data must stand in the inventory, and by when a new load rating is owed where it asks
    for one; nothing where its day is not known or it came from the inventory."""
    done_on = inspection.field_completed_on
    if done_on is None or inspection.from_record:
        return []
    agency = inspection.structure.agency
    policy = clock_policy(agency, policy_of(agency))
    due_on = record_entry_due(done_on, policy)
    passed = " That day has passed: check that it was entered." if due_on < as_of else ""
    told = [f"In the State's inventory by {day(due_on)} (23 CFR 650.315).{passed}"]
    if not inspection.ratings.exists():
        told.append(f"Where it asks for a new load rating: by {day(rating_due(done_on, policy))} (23 CFR 650.313).")
    return told
