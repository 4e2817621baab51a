"""What may be set for one structure: its own interval for a kind of inspection; and what may be said to have happened.

Refusals are sentences. The most a federal bridge may have is the county's policy (23 CFR 650.311).
"""

from datetime import date, timedelta

from inspections.rules.clocks import Policy
from inspections.rules.clocks.intervals import UNDERWATER_MOST_MONTHS
from inspections.rules.clocks.terms import day
from inspections.vocabulary.findings import InspectionKind, VisitCause

NEED_KINDS = (InspectionKind.ROUTINE, InspectionKind.UNDERWATER, InspectionKind.IN_DEPTH, InspectionKind.SPECIAL)
EVENT_KINDS = (InspectionKind.SCOUR, InspectionKind.DAMAGE)
MOST_MONTHS = 240
# An event longer ago than this is history, not a visit: enter the inspection that answered it.
OLDEST_EVENT = timedelta(days=366)


def need_faults(
    *,
    kind: str,
    months: int | None,
    first_due_on: date | None,
    reason: str,
    is_federal: bool,
    policy: Policy,
    today: date,
) -> list[str]:
    """Why an interval may not be set so; empty where it may."""
    if kind not in NEED_KINDS:
        labels = ", ".join(each.label.lower() for each in NEED_KINDS)
        return [f"Choose the kind of inspection: one of {labels}."]
    label = InspectionKind.label_of(kind)
    most = _most(kind, is_federal, policy)
    faults = []
    if months is None or not 1 <= months <= MOST_MONTHS:
        faults.append(f"Interval: enter whole months from 1 to {most}.")
    elif months > most:
        faults.append(
            f"{label}: {months} months is longer than the {most} months that the rule and the county's policy allow a "
            "structure longer than 20 ft. Enter less, or change the policy first, with the State's approval."
        )
    if not reason.strip():
        faults.append("Reason: say which defect or detail asks for it; it is kept and shown with every date.")
    if first_due_on is not None and not today - OLDEST_EVENT <= first_due_on <= date(today.year + 25, 12, 31):
        faults.append(f"First due: {day(first_due_on)} cannot be; enter a day from a year back on, or leave it empty.")
    return faults


def _most(kind: str, is_federal: bool, policy: Policy) -> int:
    if is_federal and kind == InspectionKind.ROUTINE:
        return policy.routine_most_months
    if is_federal and kind == InspectionKind.UNDERWATER:
        return max(policy.underwater_months, UNDERWATER_MOST_MONTHS)
    return MOST_MONTHS


def event_faults(*, kind: str, cause: str, happened_on: date | None, words: str, today: date) -> list[str]:
    """Why an event cannot set off a visit as it was entered; empty where it can."""
    faults = []
    if cause not in {each.value for each in VisitCause}:
        faults.append("What happened: choose one from the list.")
    if kind not in EVENT_KINDS:
        faults.append("What is owed: choose scour monitoring or a damage inspection.")
    if happened_on is None:
        faults.append("Day: enter the day on which it happened.")
    elif happened_on > today:
        faults.append(f"Day: {day(happened_on)} is in the future; enter the day on which it happened.")
    elif happened_on < today - OLDEST_EVENT:
        faults.append(
            f"Day: {day(happened_on)} is more than a year ago; enter the inspection that answered it instead, or a "
            "special inspection in the structure's schedule."
        )
    if cause == VisitCause.OTHER and not words.strip():
        faults.append("In words: say what happened.")
    return faults
