"""The engineer releases the rest of a held day."""

from datetime import datetime

from django.db import transaction

from inspections.actions.lock import day_of, require_move
from inspections.assembly.stored_plan import stored_plan
from inspections.assembly.stressing_basis import sheet_faults
from inspections.assembly.stressing_log import day_log
from inspections.models import StressingDay
from inspections.rules import lifecycle
from inspections.rules.refusals import Refused
from inspections.rules.stressing.order import greatest_left_lb, highest_allowed_lb, pass_to_learn, slots_left
from inspections.vocabulary.states import PullState, StressingState
from inventory.models import Person
from inventory.vocabulary.roles import Permit

from .day_in_hand import hold_day, save_day, tell
from .learn import plan_again, plan_the_rest


@transaction.atomic
def resume(
    *,
    day: StressingDay,
    revision: int,
    reason: str,
    by: Person,
    at: datetime,
    most_lb: float | None = None,
    plan_before: bool = False,
    leave_out: tuple[int, ...] = (),
) -> StressingDay:
    """Let the crew go on. `most_lb` raises (or lowers) the greatest pull; `plan_before` goes back to the plan that
    stood before the last revision; `leave_out` are bars (indexes) that are pulled no more today.

    Refused without a reason, while the sheet itself may not be used, where the greatest is above what bars and jacks
    allow, and where the plan in use still asks for more than the greatest.
    """
    _structure, held, permits = hold_day(day, by=by, permit=Permit.RELEASE_STRESSING, revision=revision)
    require_move(lifecycle.STRESSING, held.state, StressingState.UNDER_WAY, permits)
    if not reason.strip():
        raise Refused("Say what was found and why the crew may go on; it is kept with the day.")
    if unfit := sheet_faults(held, day_of(at)):
        raise Refused(*unfit)
    if plan_before:
        _go_back(held)
    _set_greatest(held, most_lb)
    held.state, held.held_reason = StressingState.UNDER_WAY.value, ""
    said = f"Rest of the day released, greatest pull {held.released_most_lb:,.0f} lb: {reason.strip()}"
    tell(held, "resume_stressing", said, by=by, at=at, detail={"most_lb": held.released_most_lb})
    if not plan_before:
        _plan_from_here(held, leave_out, by, at)
    _still_within(held)
    save_day(held)
    return held


def _go_back(day: StressingDay) -> None:
    if not day.learned:
        raise Refused("The plan of this day was not made again, so there is no earlier one to go back to.")
    last = day.learned[-1]
    if last.get("is_dropped"):
        raise Refused("The plan before the last revision is in use already.")
    day.plan = last["plan_before"]
    day.learned = [*day.learned[:-1], last | {"is_dropped": True}]


def _set_greatest(day: StressingDay, most_lb: float | None) -> None:
    plan = stored_plan(day.plan)
    if most_lb is None:
        return
    highest, why = highest_allowed_lb(plan)
    if not 0 < most_lb <= highest:
        raise Refused(f"The greatest pull must be above 0 and at most {highest:,.0f} lb ({why}): enter it again.")
    day.released_most_lb = most_lb


def _plan_from_here(day: StressingDay, leave_out: tuple[int, ...], by: Person, at: datetime) -> None:
    """Plan the rest again where a bar is left out or a pull was stopped since, else where a pass was completed."""
    log = day_log(day)
    bars = log.plan.given.bars
    if any(not 0 <= index < len(bars) for index in leave_out):
        raise Refused("A bar to leave out is not in this row: open the page again.")
    looked_at = set(day.learned[-1]["entries"]) if day.learned else set()
    stopped = [entry for entry in log.entries if entry.state == PullState.STOPPED and entry.pk not in looked_at]
    if not (leave_out or stopped):
        plan_the_rest(day, log, by=by, at=at)
        return
    passes = [each["after_pass"] for each in day.learned]
    after = pass_to_learn(log.plan, log.logged, passes) or max(passes, default=0)
    names = ", ".join(bars[index].name for index in leave_out)
    why = f"without bar {names}" if names else "after the stop"
    plan_again(day, log, after=after, why=why, by=by, at=at, leave_out=leave_out)


def _still_within(day: StressingDay) -> None:
    """No crew is sent on with a plan above the greatest that was just released, or one that may not be used."""
    log = day_log(day)
    if log.plan.refusals and slots_left(log.plan, log.logged):
        raise Refused(
            f"The plan in use may not be used: {' '.join(log.plan.refusals)} Leave bars out, go back to the plan "
            "before, or end the day as it stands."
        )
    left = greatest_left_lb(log.plan, log.logged)
    tolerance = 1e-6 * day.released_most_lb
    if left > day.released_most_lb + tolerance:
        raise Refused(
            f"The plan in use still asks for {left:,.0f} lb, above the greatest pull of {day.released_most_lb:,.0f} "
            "lb: release a greater pull, go back to the plan before, or end the day as it stands."
        )
    if day.state == StressingState.HELD:
        raise Refused(f"The rest cannot be released: {day.held_reason}")
