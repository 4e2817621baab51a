"""Whether the one who led an inspection was qualified on its day, for the pages that show it."""

from inspections.models import Inspection
from inspections.rules.clocks.terms import day as day_words
from inspections.rules.lifecycle import EDITABLE
from inventory.queries.qualifications import leader_answer
from inventory.rules.qualifications import LEADER_ON_SITE

NOBODY = "No team leader is named, and this kind of inspection needs one on site (23 CFR 650.313 [memory])."


def leader_note(inspection: Inspection) -> str:
    """A sentence where the leader was not qualified on the day, or none is named where one is needed; else "".

    It says what the registry holds and refuses nothing: the inspection was made, and what was seen counts. A draft
    without its day is not judged yet; one that came with a federal record names nobody.
    """
    if inspection.from_record or inspection.kind not in LEADER_ON_SITE or inspection.field_completed_on is None:
        return ""
    if inspection.leader is None:
        # Inspections from before leaders were named are not all marked.
        return NOBODY if inspection.state in EDITABLE else ""
    on = inspection.field_completed_on
    answer = leader_answer(inspection.leader, inspection.structure.agency, inspection.kind, on)
    if answer.may:
        return ""
    word = _word(inspection)
    return answer.words + (f" {word}" if word else "")


def _word(inspection: Inspection) -> str:
    """A named person's word for that leader on that day, where one was given on the field plan."""
    days = inspection.structure.field_stops.filter(
        day__on=inspection.field_completed_on, day__leader=inspection.leader_id, day__override_by__isnull=False
    ).select_related("day__override_by")
    stop = days.first()
    if stop is None:
        return ""
    return f"Led all the same on {day_words(stop.day.on)}, by {stop.day.override_by}: {stop.day.override_reason}"
