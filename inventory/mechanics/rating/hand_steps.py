"""The steps from input to rating factor of one result, in the order a person checks them with a pocket calculator.

Strength, section, capacity, dead load, live load, its share, factor. Values are those of the trace and of the result;
each line also stands with its numbers where these give it back (``hand_arithmetic``). Nothing is rated anew here.
"""

from __future__ import annotations

import re

from inventory.mechanics.trace import Step

from .cases import CapCase
from .hand_arithmetic import printed
from .hand_case import Case, HandStep, hand_step, steps_of_member
from .hand_loads import dead_steps, live_step, share_steps
from .hand_parts import implied_section, layout_steps, part_section_lines
from .hand_sections import losses_at, net_steps, sound_lines
from .results import LimitStateResult

STRENGTHS = {"bending": "F_b", "hogging": "F_b", "shear": "F_v", "bearing": "F_cp"}
SECTIONS = {"bending": "S", "hogging": "S", "shear": "I b/Q", "bearing": "A bearing"}
IN_BENDING = ("bending", "hogging")
MBE = "Manual for Bridge Evaluation"
LIVE_CLAUSES = {
    "design inventory": "Table 6A.4.3.2.2-1",
    "design operating": "Table 6A.4.3.2.2-1",
    "legal": "Table 6A.4.4.2.3a-1 (emergency vehicles: FHWA 2018)",
    "permit": "Table 6A.4.5.4.2a-1",
}


def steps_of(case: Case) -> tuple[HandStep, ...]:
    """Every step of one result; of a deck or cap what the trace says of it."""
    strength = _strength(case)
    section = _section(case, strength)
    found = [*strength, *section, *_capacity(case, strength, section), *layout_steps(case), *dead_steps(case)]
    return (*found, live_step(case), *share_steps(case), *_factor(case))


def _strength(case: Case) -> list[HandStep]:
    """Reference value, its factors and their product, as recorded for this method; ones that change nothing too."""
    result = case.result
    name = STRENGTHS.get(result.limit_state)
    if name is None:
        return []
    is_asr = result.method == "ASR"
    wanted = f"{name}'" if is_asr else f"phi {name}"
    group = "strength II" if result.level == "permit" else "strength I"
    begins = "Allowable stresses:" if is_asr else f"Factored resistances, {group}:"
    if result.limit_state == "hogging":
        begins = "Hogging stress:" if is_asr else f"Hogging resistance, {group}:"
    steps = steps_of_member(case.trace, result.member, begins)
    ends = [at for at, step in enumerate(steps) if step.symbol == wanted]
    if not ends:
        return []
    end = ends[0]
    begin = max((at for at in range(end) if steps[at].symbol == name), default=end)
    product = " x ".join(printed(step.value, step.unit) for step in steps[begin:end])
    factors = [hand_step("strength", step, *_factor_lines(case, step)) for step in steps[begin:end]]
    return [*factors, hand_step("strength", steps[end], product)]


def _factor_lines(case: Case, step: Step) -> list[str]:
    """The formula of a factor with its numbers: (12/d)^(1/9), 2.5/phi."""
    formula = step.formula.partition(", ")[0]
    lines = [formula.replace("phi", f"{phi:.2f}") for phi in (0.85, 0.75, 0.90)]
    if case.member is not None and case.span is not None:
        sizes = {"d": case.member.depth_in, "b": min(case.member.width_in, 10.75), "L": case.span.span_ft}
        lines.append(re.sub(r"\b[dbL]\b", lambda found: f"{sizes[found[0]]:g}", formula).replace(") (", ") x ("))
    return lines


def _section(case: Case, strength: list[HandStep]) -> list[HandStep]:
    """The property that counts at the governing section, from the pieces of the trace, worked where it can be."""
    result, member = case.result, case.member
    if result.limit_state == "interface":
        steps = steps_of_member(case.trace, result.member, "Composite section", "Interface of web and flange")
        return [hand_step("section", step) for step in steps if not step.symbol.startswith(("S, ", "I b/Q, ", "I, "))]
    name = SECTIONS.get(result.limit_state)
    steps = steps_of_member(case.trace, result.member, "Composite section", "Sections")
    found = [step for step in steps if name and step.symbol.startswith(name) and _covers(step.symbol, result)]
    if not found:
        return implied_section(case, strength[-1].value) if strength else []
    stress = strength[-1].value if strength else 1.0
    least = min(found, key=lambda step: step.value) if result.limit_state in IN_BENDING else found[0]
    step = next((one for one in found if abs(_plain_capacity(result, stress * one.value) - 1.0) < 1e-6), least)
    if member is None:
        return [hand_step("section", step, *part_section_lines(case.part, result.limit_state))]
    made = hand_step("section", step, *sound_lines(member, result.limit_state))
    if made.worked or result.limit_state not in IN_BENDING:
        return [made]
    losses = losses_at(member=member, station_ft=result.station_ft, span_ft=case.span.span_ft)
    net = [hand_step("section", *pair) for pair in net_steps(member=member, losses=losses, policy=case.policy)]
    if net:
        times = step.value / net[-1].value
        each = printed(net[-1].value, "in3")
        made = hand_step("section", step, each, f"{each} x {printed(times)}")
    return [*net, made]


def _plain_capacity(result: LimitStateResult, product: float) -> float:
    """The result's capacity over strength times section with what its method puts before them."""
    before = result.resistance_factor if result.method != "ASR" else 1.33 if result.level == "operating" else 1.0
    plain = product * before / (12.0 if result.limit_state in IN_BENDING else 1.0)
    return result.capacity / plain if plain > 0 else 0.0


def _covers(symbol: str, result: LimitStateResult) -> bool:
    """Whether a step named 'S, 2 to 9 ft' holds at the station; one without a place always does."""
    _name, comma, where = symbol.partition(", ")
    if not comma:
        return True
    low, _to, rest = where.partition(" to ")
    try:
        return float(low) - 1e-4 <= result.station_ft <= float(rest.removesuffix(" ft")) + 1e-4
    except ValueError:
        return False


def _capacity(case: Case, strength: list[HandStep], section: list[HandStep]) -> list[HandStep]:
    """C at the level of the result: strength times section, times what the method puts before it."""
    result = case.result
    asr = result.method == "ASR"
    words = {"bending": "stress x S / 12", "hogging": "stress x S / 12", "shear": "stress x I b/Q"}
    formula = words.get(result.limit_state, "stress x A" if result.limit_state == "bearing" else "resistance")
    before = "1.33" if asr and result.level == "operating" else ""
    found = []
    if not asr:
        before = printed(result.resistance_factor)
        found.append(_resistance_factor(case))
        formula = f"phi_c phi_s x {formula}"
    elif before:
        formula = f"1.33 x {formula}"
    if result.limit_state == "interface":
        formula = "V at which the web would slip in its flange"
    lines = []
    if strength and section:
        product = f"{printed(strength[-1].value, 'psi')} x {printed(section[-1].value, section[-1].unit)}"
        product += " / 12" if result.limit_state in IN_BENDING else ""
        product = f"{before} x {product}" if before else product
        left = _plain_capacity(result, strength[-1].value * section[-1].value)
        if 0.0 < left < 1.0 - 1e-6:
            found.append(_carrying_part(left))
            formula, product = f"{formula} x r", f"{product} x {printed(left)}"
        lines = [product]
    if result.limit_state == "interface":
        lines = [printed(step.value, "lb") for step in section if step.symbol == "V slip"]
    step = Step(
        symbol=f"C {result.level}" if asr else "C",
        value=result.capacity,
        unit=result.unit,
        formula=formula,
        source=f"{MBE} 6B.5.2.7" if asr else f"{MBE} 6A.4.2.1",
        mark="memory",
    )
    return [*(hand_step("capacity", one) for one in found), hand_step("capacity", step, *lines)]


def _resistance_factor(case: Case) -> Step:
    rated = case.part if isinstance(case.part, CapCase) else case.span
    rating = None if rated is None else rated.condition_rating
    words = "not on record, taken as poor" if rating is None else f"rated {rating}"
    return Step(
        symbol="phi_c phi_s",
        value=case.result.resistance_factor,
        unit="",
        formula=f"condition {words}, times the system's factor; the product not below 0.85",
        source=f"{MBE} 6A.4.2.1, 6A.4.2.3, 6A.4.2.4",
        mark="memory",
    )


def _carrying_part(part: float) -> Step:
    words = "part that carries: without lost or jointed laminations, split or hollow stretches"
    return Step(symbol="r", value=part, unit="", formula=words, source="rules of section loss", mark="model")


def _factor(case: Case) -> list[HandStep]:
    """RF, with the load factors of LRFR before it."""
    result = case.result
    capacity, live = printed(result.capacity, result.unit), printed(result.live_effect, result.unit)
    symbol, found = f"RF {result.level}", []
    if result.method == "ASR":
        formula, source = "(C - D) / L, not below 0", f"{MBE} 6B.4.1"
        line = f"({capacity} - {printed(result.dead_effect, result.unit)}) / {live}"
    else:
        dc = printed(result.dead_effect - result.wearing_effect, result.unit)
        dw = printed(result.wearing_effect, result.unit)
        formula, source = "(C - gamma_DC DC - gamma_DW DW) / (gamma_LL L), not below 0", f"{MBE} 6A.4.2.1"
        factors = [printed(number) for number in (result.dc_factor, result.dw_factor, result.live_factor)]
        line = f"({capacity} - {factors[0]} x {dc} - {factors[1]} x {dw}) / ({factors[2]} x {live})"
        found = _load_factors(case)
    step = Step(symbol=symbol, value=result.rating_factor, unit="", formula=formula, source=source, mark="memory")
    return [*(hand_step("factor", one) for one in found), hand_step("factor", step, line, "0")]


def _load_factors(case: Case) -> list[Step]:
    result, traffic = case.result, None if case.span is None else case.span.adtt
    table = f"{MBE} Table 6A.4.2.2-1"
    words = f"vehicle at {result.level} level"
    if result.level == "legal" and case.span is not None:
        words += f", {traffic} trucks a day one way" if traffic is not None else ", traffic not on record: the greatest"
    rows = (
        ("gamma_DC", result.dc_factor, "components", table),
        ("gamma_DW", result.dw_factor, "surfacing; 1.25 where every layer was measured, else 1.5", table),
        ("gamma_LL", result.live_factor, words, f"{MBE} {LIVE_CLAUSES.get(result.level, '6A.4')}"),
    )
    return [
        Step(symbol=symbol, value=value, unit="", formula=words, source=source, mark="memory")
        for symbol, value, words, source in rows
    ]
