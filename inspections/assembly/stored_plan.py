"""A plan kept with its stressing day, read again: in words where another version of this software kept it otherwise.

A plan that cannot be read whole is not read in part: a limit or a pull that falls out unseen could hurt a crew.
"""

from inspections.models import StressingDay
from inspections.rules.refusals import Refused
from inventory.mechanics.bars.jacking.terms import Relearned, StressingPlan


class PlanUnreadable(Refused):
    """A stored plan, or what was learned on its day, does not hold what this version needs to know of it."""


def stored_plan(plain: dict) -> StressingPlan:
    """The kernel's plan from its JSON; `PlanUnreadable` where a field is missing, unknown or of another kind."""
    return _read(StressingPlan, plain)


def stored_learned(plain: dict) -> Relearned:
    """What was learned of the interaction, from its JSON; `PlanUnreadable` as for a plan."""
    return _read(Relearned, plain)


def plan_faults(day: StressingDay) -> tuple[str, ...]:
    """Why what is kept with a day cannot be read, at most one sentence; empty where it can."""
    kept = [day.plan]
    if day.released_plan is not None and day.released_plan != day.plan:
        kept.append(day.released_plan)
    try:
        for plain in kept:
            stored_plan(plain)
        for each in day.learned:
            stored_learned(each.get("relearned"))
            if each.get("plan_before"):
                stored_plan(each["plan_before"])
    except PlanUnreadable as refusal:
        return refusal.sentences
    return ()


def _read(kind: type, plain: dict):
    try:
        return kind.from_dict(plain)
    except ValueError as reason:
        why = str(reason).split(";")[0].rstrip(".")
        raise PlanUnreadable(
            f"The plan of this day was kept by another version of this software and cannot be read here ({why}). "
            "Nothing may be pulled from it: the engineer plans the day again."
        ) from reason
