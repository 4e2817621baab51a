"""What the invented county asked for beyond its calendar: own intervals, past in-depth and diving work, a flood."""

from datetime import timedelta

from dateutil.relativedelta import relativedelta

from inspections.actions.schedule import set_need
from inspections.actions.visits import owe_visits
from inspections.models import Inspection
from inventory.actions.inspection_policy import start_inspection_policy

# (system, year built) of the bridges whose schedule tells something of its own.
LOCAL_DEFECT = ("sawn_stringer", 1963)
YEARLY = ("sawn_stringer", 1966)
DIVED = ("glulam_stringer", 1992)
FLOODED = ("sawn_stringer", 2004)
# Months since the last in-depth inspection; the second is late within its tolerance.
IN_DEPTH = {("sawn_stringer", 1961): 40, ("spike_laminated", 1982): 61, ("glulam_stringer", 1978): 22}

NOTES = {
    "in_depth": "Sample drilling at the bearings and caps: sound.",
    "underwater": "Bent 1 by diver: piles sound to the bed, bed as at the last visit.",
    "special": "Stringer at midspan drilled again: no deeper than before.",
}


def start_policy(*, agency, at) -> None:
    """The county watches its defects twice a year."""
    start_inspection_policy(agency=agency, values={"special_months": 6}, at=at)


def own_schedules(made, day) -> None:
    """Needs set by the engineer, inspections of other kinds on record, and one visit still open."""
    by_kind = {(item.plan.system, item.plan.year): item.structure for item in made}
    inspector, engineer = day.people["m.sorrel"], day.people["engineer"]
    for place, months in IN_DEPTH.items():
        _on_record(by_kind[place], "in_depth", day.today - relativedelta(months=months), inspector)
    _on_record(by_kind[DIVED], "underwater", day.today - relativedelta(months=30), inspector)
    at = day.at(day.today - timedelta(days=12))
    _on_record(by_kind[LOCAL_DEFECT], "special", day.today - relativedelta(months=5), inspector)
    needs = (
        (LOCAL_DEFECT, "special", 6, "Local decay at midspan: one stringer of the superstructure, the deck over it"),
        (YEARLY, "in_depth", 12, "Posted: sample drilling of the stringers every year"),
        (DIVED, "underwater", 48, "Bent 1 stands in 5 ft of water all year"),
    )
    for place, kind, months, reason in needs:
        set_need(structure=by_kind[place], kind=kind, interval_months=months, reason=reason, by=engineer, at=at)
    owe_visits(
        structures=[by_kind[FLOODED]],
        kind="scour",
        cause="flood",
        happened_on=day.today - timedelta(days=4),
        words="Water to the caps overnight, drift against bent 2",
        by=inspector,
        at=day.at(day.today - timedelta(days=3), 8),
    )


def _on_record(structure, kind: str, on, inspector) -> None:
    Inspection.objects.create(
        structure=structure,
        kind=kind,
        state="accepted",
        field_completed_on=on,
        inspector=inspector,
        channel_rating="6" if kind == "underwater" else "",
        underwater_rating="6" if kind == "underwater" else "",
        notes=NOTES[kind],
    )
