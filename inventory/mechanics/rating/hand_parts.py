"""Steps of a hand check for parts that are no member of a span: transverse decks and pile caps.

What their trace records of layout, wheel and loads stands in its own order; section and dead effect are worked where
the sizes of the part give them. Nothing is rated anew here.
"""

from __future__ import annotations

from math import pi

from inventory.mechanics.trace import Step

from .cases import CapCase, DeckCase
from .hand_arithmetic import printed
from .hand_case import Case, HandStep, hand_step

UNITS = {"bending": "in3", "hogging": "in3", "shear": "in2", "bearing": "in2"}
NAMES = {"bending": "S", "hogging": "S", "shear": "I b/Q", "bearing": "A bearing"}


def result_steps(case: Case) -> list[Step]:
    """What the trace records under the result itself."""
    result = case.result
    state = result.limit_state.capitalize()
    titles = (f"{state}, {result.method}: {result.member}, {result.vehicle}",)
    return [step for heading in case.trace if heading.title in titles for step in heading.steps]


def traced_formula(case: Case, symbol: str) -> str:
    """The formula of a step under the result, '' where there is none."""
    return next((step.formula for step in result_steps(case) if step.symbol == symbol), "")


def layout_steps(case: Case) -> list[HandStep]:
    """Span, wheel and loads of a deck, piles and reaction of a cap; a step recorded twice stands once."""
    if case.part is None:
        return []
    result = case.result
    titles = (
        f"Layout: {result.member}",
        "Transverse deck",
        f"Wheel on the deck: {result.vehicle}, {result.method}",
    )
    steps = [step for heading in case.trace if heading.title in titles for step in heading.steps]
    steps += [step for step in result_steps(case) if step.symbol == "R lane"]
    return [hand_step("layout", step, *_layout_lines(step, steps)) for step in dict.fromkeys(steps)]


def _layout_lines(step: Step, steps: list[Step]) -> list[str]:
    """b_t of a wheel: sqrt(0.025 P)."""
    if step.symbol == "b_t":
        return [f"(0.025 x {printed(other.value, other.unit)})^0.5" for other in steps if other.symbol == "P"]
    return []


def part_section_lines(part: DeckCase | CapCase, limit_state: str) -> list[str]:
    """Section of a foot of deck, of a cap, and of its bearing on a round pile."""
    if isinstance(part, DeckCase):
        return [f"12 x {part.thickness_in:g}^2 / 6", f"2 x 12 x {part.thickness_in:g} / 3"]
    if limit_state == "bearing":
        width = f"{min(part.width_in, part.pile_bearing_in):g}"
        return [f"{pi / 4:.4f} x {part.pile_bearing_in:g} x {width}", f"{part.width_in:g} x {part.pile_bearing_in:g}"]
    return [f"{part.width_in:g} x {part.depth_in:g}^2 / 6", f"2 x {part.width_in:g} x {part.depth_in:g} / 3"]


def implied_section(case: Case, stress_psi: float) -> list[HandStep]:
    """The property that the capacity takes, where the trace does not record it; only a worked one is shown."""
    result, name = case.result, NAMES.get(case.result.limit_state)
    before = result.resistance_factor if result.method != "ASR" else 1.33 if result.level == "operating" else 1.0
    if case.part is None or name is None or stress_psi * before <= 0:
        return []
    value = result.capacity / (stress_psi * before) * (12.0 if result.unit == "lb-ft" else 1.0)
    unit = UNITS[result.limit_state]
    step = Step(symbol=name, value=value, unit=unit, formula="of the part", source="mechanics", mark="computed")
    made = hand_step("section", step, *part_section_lines(case.part, result.limit_state))
    return [made] if made.worked else []


def deck_wheel_lines(case: Case) -> list[str]:
    """Moment of the two wheels of an axle, each at mid-span over its tire: P (s/4 - b_t/8)."""
    steps = {step.symbol: step for step in layout_steps(case)}
    if not isinstance(case.part, DeckCase) or not {"P", "s", "b_t"} <= set(steps):
        return []
    load, span, tire = (steps[symbol].shown for symbol in ("P", "s", "b_t"))
    return [f"2 x {load} x ({span} / 4 - {tire} / 8) / 12"]


def deck_dead_lines(case: Case, symbol: str) -> list[str]:
    """w s2/8 on a deck between stringers, w in lb/ft2 on one foot, times 0.80 where it runs on."""
    if not isinstance(case.part, DeckCase):
        return []
    steps = {step.symbol: step.value for step in layout_steps(case)}
    if not {"s", "w DC", "w DW"} <= set(steps):
        return []
    load = {"DC": steps["w DC"], "DW": steps["w DW"], "D": steps["w DC"] + steps["w DW"]}[symbol]
    plain = f"{printed(load, 'lb/ft')} x ({printed(steps['s'], 'in')} / 12)^2 / 8"
    return [plain, f"{plain} x {printed(steps.get('continuity') or 1.0)}"]
