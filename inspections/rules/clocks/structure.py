"""Everything one structure owes, and how an old reminder is closed."""

from dataclasses import dataclass
from datetime import date

from inspections.vocabulary.states import ReminderKind
from inventory.vocabulary.structures import Status

from .bars import BarsFacts, bar_dues, last_read_on
from .critical import CriticalFact, critical_dues, critical_settled_on
from .inspection import inspection_dues
from .inspection_facts import InspectionFacts
from .signs import PostingFacts, ProposalFacts, posting_dues, sign_dues
from .terms import Due, Policy, clip, day
from .upkeep import SurfaceFacts, TreatmentFacts, last_surfaced_on, last_treated_on, surface_due, treatment_due
from .visits import visit_dues

# Kinds whose work can be done on the very day the clock was started.
SAME_DAY = frozenset(
    {ReminderKind.SIGN, ReminderKind.POSTING, ReminderKind.DAMAGE, ReminderKind.SCOUR, ReminderKind.CRITICAL}
)
# Where several spans ask for the same work, one visit serves: the earliest date governs.
ONE_VISIT = frozenset({ReminderKind.BAR_CHECK, ReminderKind.RETENSION})

DONE_WORDS = {
    ReminderKind.INSPECTION: "an inspection completed",
    ReminderKind.UNDERWATER: "an underwater inspection completed",
    ReminderKind.IN_DEPTH: "an in-depth inspection completed",
    ReminderKind.SPECIAL: "a special inspection completed",
    ReminderKind.DAMAGE: "a damage inspection completed",
    ReminderKind.SCOUR: "the scour monitoring completed",
    ReminderKind.CRITICAL: "somebody told or something done",
    ReminderKind.BAR_CHECK: "bars read",
    ReminderKind.RETENSION: "bars stressed",
    ReminderKind.RESURFACING: "surfacing laid",
    ReminderKind.TREATMENT: "timber treated",
    ReminderKind.SIGN: "a sign confirmed",
    ReminderKind.POSTING: "a posting decided",
}


@dataclass(frozen=True, kw_only=True)
class StructureFacts:
    """All that the clocks of one structure read."""

    inspection: InspectionFacts
    treatment: TreatmentFacts
    status: str = Status.IN_SERVICE.value
    surface: SurfaceFacts | None = None
    bars: tuple[BarsFacts, ...] = ()
    posting: PostingFacts | None = None
    proposal: ProposalFacts | None = None
    posting_decided_on: date | None = None
    critical: tuple[CriticalFact, ...] = ()


def all_dues(facts: StructureFacts, policy: Policy, as_of: date) -> list[Due]:
    """Everything owed, by date, one per kind and date. A structure not in service owes nothing."""
    if facts.status != Status.IN_SERVICE:
        return []
    dues = inspection_dues(facts.inspection, policy) + visit_dues(facts.inspection)
    dues += [due for system in facts.bars for due in bar_dues(system, policy, as_of)]
    surface = surface_due(facts.surface, policy) if facts.surface else None
    dues += [due for due in (surface, treatment_due(facts.treatment, policy)) if due]
    dues += sign_dues(facts.posting, policy) + posting_dues(facts.proposal, policy)
    dues += critical_dues(facts.critical)
    return _joined(dues)


def _joined(dues: list[Due]) -> list[Due]:
    """One due per kind and date, the reasons put together; one date for kinds where one visit serves all spans."""
    groups: dict[tuple, list[Due]] = {}
    for due in sorted(dues, key=lambda due: (due.due_on, due.kind, due.reason)):
        key = (due.kind,) if due.kind in ONE_VISIT else (due.kind, due.due_on)
        groups.setdefault(key, []).append(due)
    joined = [
        Due(
            kind=group[0].kind,
            due_on=group[0].due_on,
            late_after=min(due.late_after for due in group),
            counted_from=min(due.counted_from for due in group),
            reason=clip(" ".join(dict.fromkeys(due.reason for due in group))),
        )
        for group in groups.values()
    ]
    return sorted(joined, key=lambda due: (due.due_on, due.kind))


def settled_on(facts: StructureFacts) -> dict[ReminderKind, date]:
    """The last day on which work of each kind was done, where it ever was."""
    seen = facts.inspection
    signs = facts.posting.signs if facts.posting else ()
    days = {
        ReminderKind.INSPECTION: seen.last_routine_on,
        ReminderKind.UNDERWATER: seen.last_underwater_on,
        ReminderKind.IN_DEPTH: seen.last_in_depth_on,
        ReminderKind.SPECIAL: seen.last_special_on,
        ReminderKind.DAMAGE: seen.last_damage_on,
        ReminderKind.SCOUR: seen.last_scour_on,
        ReminderKind.CRITICAL: critical_settled_on(facts.critical),
        ReminderKind.BAR_CHECK: max(filter(None, map(last_read_on, facts.bars)), default=None),
        ReminderKind.RETENSION: max((on for system in facts.bars for on in system.stressed_on), default=None),
        ReminderKind.RESURFACING: last_surfaced_on(facts.surface) if facts.surface else None,
        ReminderKind.TREATMENT: last_treated_on(facts.treatment),
        ReminderKind.SIGN: max((sign.confirmed_on for sign in signs if sign.confirmed_on), default=None),
        ReminderKind.POSTING: facts.posting_decided_on,
    }
    return {kind: on for kind, on in days.items() if on is not None}


def closing(kind: ReminderKind, counted_from: date | None, facts: StructureFacts, dues: list[Due]) -> tuple[bool, str]:
    """How a reminder that is no longer owed ends: (done, sentence).

    Done where the record holds work of its kind later than the fact its clock was started by; otherwise no longer
    owed, because the structure left service, an interval changed, or an entry was withdrawn.
    """
    if facts.status != Status.IN_SERVICE:
        return False, f"No longer owed: the structure is {Status.label_of(facts.status).lower()}."
    done_on = settled_on(facts).get(kind)
    if done_on is not None and counted_from is not None:
        if done_on > counted_from or (kind in SAME_DAY and done_on == counted_from):
            return True, f"Closed by the record: {DONE_WORDS[kind]} on {day(done_on)}."
    later = next((due for due in dues if due.kind == kind), None)
    if later is not None:
        return False, f"No longer owed on this date: by the record it now falls due on {day(later.due_on)}."
    return False, "No longer owed: the record does not ask for it any more."
