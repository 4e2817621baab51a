"""Months between inspections of each kind, and why: regular, reduced by a rating, or this structure's own.

23 CFR 650.311, rule of 2022. The numbers are the county's policy, whose table gives each its source and mark; which
ratings reduce an interval is checked-2nd for components and scour, memory for channel, protection and underwater parts.
"""

from dataclasses import dataclass, replace

from inspections.vocabulary.findings import InspectionKind

from .inspection_facts import COMPONENTS, SCOUR, WATER_PARTS, InspectionFacts, NeedFact, part_words
from .intervals import UNDERWATER_MOST_MONTHS
from .terms import Policy, count

REGULAR, REDUCED, OWN, COUNTY, RECORD, MOST, STANDS_IN = (
    "regular", "reduced", "this structure's own", "county's own", "on record", "capped", "special inspection serves"
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Asked:
    """An interval in whole months, one phrase of why, and its basis in a word; `need` where a person set it."""

    months: int
    why: str
    basis: str
    need: NeedFact | None = None


def routine_interval(facts: InspectionFacts, policy: Policy) -> tuple[int, str]:
    """Months between routine inspections, and why."""
    asked = routine_asked(facts, policy)
    return asked.months, asked.why


def routine_asked(facts: InspectionFacts, policy: Policy) -> Asked:
    """The routine interval.

    Reduced (12 months, checked-2nd) where deck, superstructure, substructure, culvert or observed scour is serious or
    worse. Otherwise what a person set for this structure; else the shorter of the county's interval and the one on
    record; for a structure longer than 20 ft never above the most a timber span may have (24, derived). Where a special
    inspection limited to the defect is asked for, it serves instead of the reduced one (memory).
    """
    asked = _unreduced(facts, policy)
    if facts.is_federal and asked.months > policy.routine_most_months:
        asked = Asked(
            months=policy.routine_most_months, why="the most a timber span may have under 23 CFR 650.311", basis=MOST
        )
    serious = facts.rated_at_most(policy.serious_rating, (*COMPONENTS, SCOUR))
    if not serious or asked.months <= policy.routine_reduced_months:
        return asked
    part, code = serious[0]
    rated = f"the {part_words(part)} is rated {code}, serious or worse"
    special = standing_in(facts, policy)
    if special is None:
        return Asked(months=policy.routine_reduced_months, why=rated, basis=REDUCED)
    why = (
        f"{asked.why}; {rated}, and the special inspection of that defect, every "
        f"{count(special.interval_months, 'month')}, serves instead of a routine one after "
        f"{count(policy.routine_reduced_months, 'month')}"
    )
    return replace(asked, why=why, basis=STANDS_IN)


def _unreduced(facts: InspectionFacts, policy: Policy) -> Asked:
    need = facts.need(InspectionKind.ROUTINE)
    if need is not None:
        return Asked(months=max(1, need.interval_months), why=f"set for this structure: {need.reason}", basis=OWN,
                     need=need)  # fmt: skip
    if facts.is_federal:
        asked = Asked(months=max(1, policy.routine_months), why="the county's regular interval", basis=REGULAR)
    else:
        why = "the county's own interval for structures not longer than 20 ft"
        asked = Asked(months=max(1, policy.short_months), why=why, basis=COUNTY)
    on_record = facts.interval_on_record_months
    if on_record and on_record < asked.months:
        return Asked(months=on_record, why="the interval on record", basis=RECORD)
    return asked


def standing_in(facts: InspectionFacts, policy: Policy) -> NeedFact | None:
    """The special inspection that may serve instead of the reduced routine one; None where it may not.

    650.311(a)(1) [memory]: where the rating comes from a local defect. Here: its reason names every component that is
    serious or worse, its interval is not longer than the reduced one, and observed scour is not serious (scour is no
    local defect of a component; ours, on the careful side).
    """
    special = facts.need(InspectionKind.SPECIAL)
    serious = facts.rated_at_most(policy.serious_rating, (*COMPONENTS, SCOUR))
    if special is None or not serious or special.interval_months > policy.routine_reduced_months:
        return None
    words = special.reason.lower().replace(",", " ").replace(".", " ").replace(":", " ").split()
    return special if all(part != SCOUR and part in words for part, _ in serious) else None


def underwater_asked(facts: InspectionFacts, policy: Policy) -> Asked | None:
    """The underwater interval (650.311(b)), reduced where a part in the water is serious or worse; None where the
    structure never had one and nobody asked for one."""
    need = facts.need(InspectionKind.UNDERWATER)
    if need is None and facts.last_underwater_on is None:
        return None
    if need is not None:
        most = max(policy.underwater_months, UNDERWATER_MOST_MONTHS) if facts.is_federal else need.interval_months
        why = f"set for this structure: {need.reason}"
        asked = Asked(months=min(need.interval_months, most), why=why, basis=OWN, need=need)
    else:
        asked = Asked(months=max(1, policy.underwater_months), why="the county's regular interval", basis=REGULAR)
    serious = facts.rated_at_most(policy.serious_rating, WATER_PARTS)
    if not serious or asked.months <= policy.underwater_reduced_months:
        return asked
    part, code = serious[0]
    why = f"the {part_words(part)} is rated {code}, serious or worse"
    return Asked(months=policy.underwater_reduced_months, why=why, basis=REDUCED)


def in_depth_asked(facts: InspectionFacts, policy: Policy) -> Asked | None:
    """The in-depth interval: set for this structure, or the county's from an age on; None where neither asks."""
    need = facts.need(InspectionKind.IN_DEPTH)
    if need is not None:
        why = f"set for this structure: {need.reason}"
        return Asked(months=max(1, need.interval_months), why=why, basis=OWN, need=need)
    return in_depth_by_age(policy)


def in_depth_by_age(policy: Policy) -> Asked | None:
    """The county's interval from an age on, whoever set what for this structure."""
    if not policy.in_depth_months:
        return None
    why = f"the county's interval from an age of {count(policy.in_depth_from_years, 'year')}"
    return Asked(months=policy.in_depth_months, why=why, basis=COUNTY)


def special_asked(facts: InspectionFacts) -> Asked | None:
    """The special inspection a person asked for; None where nobody did."""
    need = facts.need(InspectionKind.SPECIAL)
    if need is None:
        return None
    why = f"set for this structure: {need.reason}"
    return Asked(months=max(1, need.interval_months), why=why, basis=OWN, need=need)
