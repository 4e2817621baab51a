"""Scour appraisal and plan of action: what a structure over water needs, and what is owed.

23 CFR 650.313(o) [memory]: every bridge over water has a documented scour appraisal; a plan of action is required for
a scour critical bridge and for unknown foundations, and scour monitoring visits follow it. Definitions: 650.305
[memory]. Whether a county applies this to structures of 20 ft and less is its own policy; here it does.
"""

from dataclasses import dataclass
from datetime import date

from inspections.vocabulary.findings import ScourResult

NEEDS_PLAN = (ScourResult.CRITICAL, ScourResult.UNKNOWN)
MOST_DAYS_TO_REVIEW = 5 * 366
"""A plan of action is looked at again within five years at most [model]."""
"""A plan is looked at again within five years at the latest [model]."""


@dataclass(frozen=True, kw_only=True)
class ScourFacts:
    """What is on record on a day: `result` of the newest appraisal ("" none), the plan in force, and what was seen.

    `plan_result` is the result of the appraisal that the plan rests on.
    """

    as_of: date
    over_water: bool | None = None
    result: str = ""
    appraised_on: date | None = None
    has_plan: bool = False
    plan_review_on: date | None = None
    plan_result: str = ""
    foundations_unknown: bool = False
    last_seen_on: date | None = None
    scour_rating: str = ""


@dataclass(frozen=True, kw_only=True)
class ScourDuties:
    """What is owed, in sentences; empty where nothing is."""

    needs_appraisal: bool
    needs_plan: bool
    review_on: date | None
    sentences: tuple[str, ...]


def scour_duties(facts: ScourFacts) -> ScourDuties:
    """Appraisal, plan and review owed on a day."""
    said = []
    needs_appraisal = not facts.result and facts.over_water is not False
    if needs_appraisal and facts.over_water is None:
        said.append("Nobody has said whether this structure is over water: say so, or appraise its scour.")
    elif needs_appraisal:
        said.append("Over water and no scour appraisal on record: 23 CFR 650.313(o) asks for one.")
    if facts.result == ScourResult.DRY and facts.over_water:
        said.append("The appraisal says not over water, the record says over water: one of them is wrong.")
    needs_plan = facts.result in NEEDS_PLAN and not facts.has_plan
    if needs_plan:
        word = ScourResult.label_of(facts.result).lower()
        said.append(f"Appraised as {word} and no plan of action in force: 23 CFR 650.313(o) asks for one.")
    if facts.result == ScourResult.STABLE and facts.foundations_unknown:
        said.append("Appraised as stable, but a foundation is recorded as not known: appraise again.")
    if facts.result == ScourResult.STABLE and facts.scour_rating and facts.scour_rating in "0123":
        said.append(f"Appraised as stable, but scour was rated {facts.scour_rating} since: appraise again.")
    review_on = facts.plan_review_on if facts.has_plan else None
    if review_on is not None and review_on <= facts.as_of:
        said.append(f"The plan of action was to be looked at again on {review_on.day} {review_on:%b %Y}.")
    return ScourDuties(
        needs_appraisal=needs_appraisal, needs_plan=needs_plan, review_on=review_on, sentences=tuple(said)
    )


def appraisal_faults(*, on: date | None, result: str, basis: str, reasons: str, today: date) -> list[str]:
    """Sentences for what an appraisal lacks."""
    faults = []
    if result not in {member.value for member in ScourResult}:
        faults.append("Choose the result of the appraisal.")
    if on is None:
        faults.append("Give the day of the appraisal.")
    elif on > today:
        faults.append(f"The appraisal cannot have been made on {on.day} {on:%b %Y}, which is still to come.")
    if not basis.strip():
        faults.append("Say what the appraisal rests on: plans, soundings, a hydraulic study, what was seen.")
    if result in NEEDS_PLAN and not reasons.strip():
        faults.append("Say why: a critical bridge and unknown foundations need their reasons on record.")
    return faults


def plan_faults(
    *, result: str, watch_when: str, watch_how: str, close_when: str, review_on: date | None, today: date
) -> list[str]:
    """Sentences for what a plan of action lacks."""
    faults = [] if result else ["Appraise the scour first: a plan rests on an appraisal."]
    for value, asked in (
        (watch_when, "Say when the bridge is watched: a gauge, a rainfall, a flood warning."),
        (watch_how, "Say how it is watched: by whom, from where, with what."),
        (close_when, "Say when the bridge is closed: a level, a sounding, a movement that anybody can see."),
    ):
        if not value.strip():
            faults.append(asked)
    if review_on is None:
        faults.append("Give the day on which the plan is looked at again.")
    elif not 0 < (review_on - today).days <= MOST_DAYS_TO_REVIEW:
        faults.append("The plan is looked at again on a day to come, within five years.")
    return faults
