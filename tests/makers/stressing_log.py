"""A crew for tests: logs pulls of a released day as the plan asks for them, or as a deck of known truth answers."""

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from uuid import uuid4

from inspections.actions.stressing.log_pull import Logged, log_pull
from inspections.assembly.stressing_log import day_log
from inspections.models import StressingDay
from inspections.rules.stressing.order import Slot, next_slot, planned
from inspections.rules.stressing.stops import PullSeen
from inventory.mechanics.bars.jacking import compatibility_matrix, forces_after_pull
from inventory.mechanics.bars.jacking.terms import StressingPlan
from inventory.models import Person


def plan_of(day: StressingDay) -> StressingPlan:
    day.refresh_from_db()
    return StressingPlan.from_dict(day.plan)


def coming(day: StressingDay) -> Slot | None:
    day.refresh_from_db()
    log = day_log(day)
    return next_slot(log.plan, log.logged)


def log_one(day: StressingDay, by: Person, at: datetime, slot: Slot | None = None, identity=None, **seen) -> Logged:
    """One bar logged; the gauge as planned where none is given."""
    slot = slot or coming(day)
    seen.setdefault("gauge_psi", planned(plan_of(day), slot)[1].gauge_psi)
    return log_pull(
        day=day,
        identity=identity or uuid4(),
        pull_number=slot.pull_number,
        bar_index=slot.bar_index,
        seen=PullSeen(**seen),
        by=by,
        at=at,
    )


def log_all(day: StressingDay, by: Person, at: datetime, most: int = 400) -> int:
    """Every pull as planned, one minute apart, until none is left or the day is held; how many were logged."""
    for count in range(most):
        day.refresh_from_db()
        slot = coming(day)
        if slot is None or day.state == "held":
            return count
        log_one(day, by, at + timedelta(minutes=count), slot)
    raise AssertionError("the day does not come to an end")


@dataclass
class TrueDeck:
    """A deck whose wood is known to the test only: what its bars do at each pull, and what a crew reads of it."""

    day: StressingDay
    wood_factor: float = 1.0
    force_lb: tuple[float, ...] = ()
    matrix: object = field(init=False)

    def __post_init__(self):
        given = plan_of(self.day).given
        self.matrix = compatibility_matrix(deck=replace(given.deck, wood_factor=self.wood_factor), bars=given.bars)
        self.force_lb = self.force_lb or tuple(bar.standing_lb for bar in given.bars)
        self.seating_in = given.seating_in

    def pull(self, slot: Slot) -> dict:
        """Pull one bar to its gauge; what is read: neighbours on both sides before and after, the force locked off."""
        plan = plan_of(self.day)
        asked = planned(plan, slot)[1]
        kit = next(jack for jack in plan.given.jacks if jack.name == asked.jack)
        before = self.force_lb
        self.force_lb = forces_after_pull(
            matrix=self.matrix,
            force_lb=before,
            pulled=(slot.bar_index,),
            set_lb=(asked.gauge_psi * kit.ram_area_in2 * kit.efficiency,),
            seating_in=self.seating_in,
        )
        beside = [index for index in (slot.bar_index - 1, slot.bar_index + 1) if 0 <= index < len(before)]
        return {
            "gauge_psi": asked.gauge_psi,
            "locked_lb": self.force_lb[slot.bar_index],
            "force_method": "lift_off",
            "neighbours": tuple((index, before[index], self.force_lb[index]) for index in beside),
        }
