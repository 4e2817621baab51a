"""The whole schedule of one structure: every kind of inspection with its interval, reason, last one and next due."""

from dataclasses import dataclass
from datetime import date, timedelta

from inspections.vocabulary.findings import InspectionKind
from inspections.vocabulary.states import ReminderKind

from .bars import bar_dues, last_read_on
from .inspection import inspection_clocks
from .inspection_facts import COMPONENTS
from .inspection_interval import standing_in
from .months import add_months, month_end
from .structure import StructureFacts
from .terms import Due, Policy, count
from .visits import VISIT_KINDS, answered_on, visit_dues
from .words import Lateness, lateness

INSPECTION_OF = {
    ReminderKind.INSPECTION: InspectionKind.ROUTINE,
    ReminderKind.UNDERWATER: InspectionKind.UNDERWATER,
    ReminderKind.IN_DEPTH: InspectionKind.IN_DEPTH,
    ReminderKind.SPECIAL: InspectionKind.SPECIAL,
    ReminderKind.DAMAGE: InspectionKind.DAMAGE,
    ReminderKind.SCOUR: InspectionKind.SCOUR,
    ReminderKind.BAR_CHECK: InspectionKind.BAR_CHECK,
}
"""The inspection that answers a reminder of each kind; a first routine one is entered as initial."""
NOT_ASKED = {
    InspectionKind.UNDERWATER: "None on record and none asked for. Set one here where parts in the water cannot be "
    "seen or probed at low water.",
    InspectionKind.IN_DEPTH: "None asked for, and the county sets none by age.",
    InspectionKind.SPECIAL: "None asked for. Set one here to watch a known or suspected defect.",
    InspectionKind.DAMAGE: "Nothing happened that asks for one.",
    InspectionKind.SCOUR: "No high water reported that asks for it. After high water the plan of action comes first.",
    InspectionKind.BAR_CHECK: "No stressing bars.",
}


@dataclass(frozen=True, kw_only=True)
class ScheduleLine:
    """One kind of inspection. `interval` and `why` in words; `due` and `stands` None where nothing is owed."""

    kind: InspectionKind
    interval: str
    why: str
    last_on: date | None
    due: Due | None
    stands: Lateness | None

    @property
    def tolerance_until(self) -> date | None:
        """The end of the tolerance where there is one."""
        return self.due.late_after if self.due and self.due.late_after > self.due.due_on else None


def schedule_lines(facts: StructureFacts, policy: Policy, as_of: date) -> list[ScheduleLine]:
    """Every kind, in the order of the national standards, the county's own bar check last."""
    lines = []
    for clock in inspection_clocks(facts.inspection, policy):
        if clock.asked is None:
            lines.append(_line(clock.kind, "", NOT_ASKED[clock.kind], clock.last_on, None, as_of))
        else:
            interval = f"{count(clock.asked.months, 'month')}, {clock.asked.basis}"
            lines.append(_line(clock.kind, interval, clock.due.reason, clock.last_on, clock.due, as_of))
    return lines + _visits(facts, as_of) + _bars(facts, policy, as_of)


def _visits(facts: StructureFacts, as_of: date) -> list[ScheduleLine]:
    lines = []
    owed = visit_dues(facts.inspection)
    for kind, reminder in VISIT_KINDS.items():
        last_on = answered_on(facts.inspection, kind)
        mine = sorted((due for due in owed if due.kind == reminder), key=lambda due: due.due_on)
        lines += [_line(kind, "after an event", due.reason, last_on, due, as_of) for due in mine]
        if not mine:
            lines.append(_line(kind, "after an event", NOT_ASKED[kind], last_on, None, as_of))
    return lines


def _bars(facts: StructureFacts, policy: Policy, as_of: date) -> list[ScheduleLine]:
    kind = InspectionKind.BAR_CHECK
    if not facts.bars:
        return [_line(kind, "", NOT_ASKED[kind], None, None, as_of)]
    checks = [due for row in facts.bars for due in bar_dues(row, policy, as_of) if due.kind == ReminderKind.BAR_CHECK]
    first = min(checks, key=lambda due: due.due_on)
    last_on = max(filter(None, map(last_read_on, facts.bars)), default=None)
    interval = f"{count(policy.bar_check_months, 'month')}, county's own"
    return [_line(kind, interval, first.reason, last_on, first, as_of)]


def _line(kind, interval: str, why: str, last_on: date | None, due: Due | None, as_of: date) -> ScheduleLine:
    stands = (
        lateness(kind=due.kind, due_on=due.due_on, late_after=due.late_after, as_of=as_of) if due is not None else None
    )
    return ScheduleLine(kind=kind, interval=interval, why=why, last_on=last_on, due=due, stands=stands)


def schedule_notes(facts: StructureFacts, policy: Policy) -> list[str]:
    """What a reader of the schedule must know besides its lines."""
    notes = []
    special = facts.inspection.need(InspectionKind.SPECIAL)
    serious = facts.inspection.rated_at_most(policy.serious_rating, COMPONENTS)
    if special is not None and serious and standing_in(facts.inspection, policy) is None:
        parts = " and ".join(part for part, _ in serious)
        notes.append(
            f"The special inspection does not serve instead of the reduced routine one: for that its reason names the "
            f"{parts} and the local defect, its interval is at most {policy.routine_reduced_months} months, and "
            "observed scour is not serious."
        )
    return notes


def record_entry_due(field_completed_on: date, policy: Policy) -> date:
    """The last day to have the data of an inspection in the inventory: the end of the third month after the month in
    which its field work was finished (23 CFR 650.315, checked; months by the policy)."""
    return month_end(add_months(field_completed_on.replace(day=1), policy.record_months))


def rating_due(field_completed_on: date, policy: Policy) -> date:
    """The last day to rate the loads anew where an inspection asks for it (23 CFR 650.313(k): 3 months, memory)."""
    return add_months(field_completed_on, policy.rating_months)


def visit_due_on(kind: str, happened_on: date, policy: Policy) -> date:
    """The day by which a visit after an event is made, by the county's policy."""
    days = policy.scour_visit_days if kind == InspectionKind.SCOUR else policy.damage_visit_days
    return happened_on + timedelta(days=days)
