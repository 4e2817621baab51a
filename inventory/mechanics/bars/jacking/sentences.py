"""What a plan says in plain words beside its figures: what is model, what was not checked, who is left out."""

from __future__ import annotations

import numpy as np

from .course import Course, equal_passes_needed
from .limits import LIMIT_WORDS, ram_lb_per_psi
from .terms import PlanCheck, PlanInput

COARSE_RATIO = 0.025
"""Half a gauge division above this part of a target is told: the gauge is coarse for the work (`model`)."""
CAUTIONS = (
    "Nobody in line with a bar under load. No load above the bar's limit. No traffic on the span while a jack is on a "
    "bar.",
    "Expected forces come from a model of how bars relax each other; no published coefficient for timber decks is "
    "known. Where far bars feel less than the model says, the first bars stay above their targets. Read the neighbours "
    "during the first pass and let the plan be revised.",
    "Bars at another level of the same span are not in the model: pull one level at a time and read the other.",
    "A gauge reading at lock-off is not a standing force: the nut seats and later pulls relax the bar.",
)


def plan_sentences(given: PlanInput, course: Course, checks: tuple[PlanCheck, ...]) -> tuple[str, ...]:
    """Cautions first, then what holds for this plan."""
    told = list(CAUTIONS)
    told += _about_the_wood(given)
    told += _about_bars(given, course)
    told += _about_gauges(given, course)
    told += [check.words for check in checks if check.holds is None and check.demand is not None]
    told += [check.words for check in checks if check.name == "least pressure" and check.holds is False]
    told += above_targets(course)
    told += _about_reach(given, course)
    return tuple(told)


def above_targets(course: Course) -> list[str]:
    """Bars that end above their targets by more than ``reach_ratio`` allows below them, for nothing is lowered."""
    most_ratio = 2.0 - course.given.reach_ratio
    return [
        f"Bar {course.given.bars[bar].name} ends near {course.state.force_lb[bar]:,.0f} lb, {part:.0%} of its target. "
        "Nothing is lowered; the engineer decides whether it stays."
        for bar, part in zip(course.bars, course.reached(), strict=True)
        if part > most_ratio
    ]


def _about_the_wood(given: PlanInput) -> list[str]:
    deck, told = given.deck, []
    if deck.neighbour_losses_ratio:
        shown = ", ".join(f"{loss:.2f}" for loss in deck.neighbour_losses_ratio)
        told.append(
            f"Interaction from measured neighbour losses ({shown} of a pull), the same at every bar of the row."
        )
    if given.seating_in > 0.0:
        told.append(f"Every expected force includes {given.seating_in:.3f} in of seating when the nut takes the load.")
    told.append(
        "Elongations are from the force before the pull to the set force: bar stretch and closing of the wood (model)."
    )
    if given.first_pass_ratio < 1.0:
        told.append(
            f"The first pass goes to {given.first_pass_ratio:.0%} of the targets: gaps close and plates bed in, and "
            "real losses are larger than the model's."
        )
    if len(given.bars) == 1:
        told.append("One bar only: it has no neighbours to relax, and the plan is its own force and seating.")
    if len(given.jacks) == 3 and given.order != "given":
        told.append("Three jacks stand to one side of the middle in most pulls; two or four squeeze the deck evenly.")
    return told


def _about_bars(given: PlanInput, course: Course) -> list[str]:
    told = []
    for bar, force_lb in zip(given.bars, course.state.force_lb, strict=True):
        if not bar.is_planned:
            why = f" ({bar.why_not})" if bar.why_not else ""
            stands = f"it stands at {bar.standing_lb:,.0f} lb and ends near {force_lb:,.0f} lb"
            told.append(
                f"Bar {bar.name} is not in the plan{why}: "
                + (f"{stands}." if bar.standing_lb > 0.0 else "it carries nothing and is counted as absent.")
            )
    pulled = {each.bar_index for pull in course.pulls for each in pull.bars}
    stands = [given.bars[bar].name for bar in course.bars if bar not in pulled]
    if stands and course.pulls:
        told.append(f"Not pulled, because enough stands in them already: bar {', '.join(stands)}. Nothing is lowered.")
    for bar, name in sorted(course.held_back.items()):
        told.append(f"The pull of bar {given.bars[bar].name} is held back by {LIMIT_WORDS[name]}.")
    return told


def _about_gauges(given: PlanInput, course: Course) -> list[str]:
    told = []
    least_lb = min(course.planner.target_lb[list(course.bars)]) if course.bars else np.inf
    for jack in given.jacks:
        half_lb = jack.gauge_division_psi * ram_lb_per_psi(jack) / 2.0
        if half_lb > COARSE_RATIO * least_lb:
            told.append(
                f"Half a division of the gauge of {jack.name} is {half_lb:,.0f} lb, {half_lb / least_lb:.0%} of the "
                "least target: a finer gauge would come closer."
            )
    return told


def _about_reach(given: PlanInput, course: Course) -> list[str]:
    if not course.pulls:
        return ["Nothing is pulled."]
    passes = f"{course.pass_number} pass{'es' if course.pass_number > 1 else ''}"
    words = f"After {passes} the least bar has {course.least_ratio:.1%} of its target"
    if course.least_ratio < given.reach_ratio:
        told = [f"{words}: less than the {given.reach_ratio:.0%} asked for."]
        needed = equal_passes_needed(course) if given.method == "equal_passes" else None
        if needed:
            told.append(f"{needed} equal passes would reach {given.reach_ratio:.0%}.")
        return told
    return [f"{words}."]
