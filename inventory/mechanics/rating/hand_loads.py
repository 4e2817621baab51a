"""Steps for the loads of a hand check: each dead load and its effect, one lane of live load, and the member's share."""

from __future__ import annotations

import re
from dataclasses import replace
from math import pi

from inventory.mechanics.distribution.lever import reduction, wheel_places
from inventory.mechanics.tables.lane_shares import PRESENCE
from inventory.mechanics.trace import Step

from .cases import MemberCase, SpanCase
from .dead import timber_pcf
from .hand_arithmetic import printed
from .hand_case import Case, HandStep, hand_step, steps_of_member
from .hand_parts import deck_dead_lines, deck_wheel_lines, traced_formula
from .sections import shear_station_ft


def dead_steps(case: Case) -> list[HandStep]:
    """Each load per foot, their sum, and the effect at the section: one for allowable stress, DC and DW for LRFR."""
    result, span, member = case.result, case.span, case.member
    loads = steps_of_member(case.trace, result.member, "Dead load:")
    found = []
    if span is not None:
        found = [hand_step("dead load", step, *_load_lines(span, member, step, loads)) for step in loads]
    by_symbol = {step.symbol: step.value for step in loads}
    effects = [("D", result.dead_effect, by_symbol.get("w"))]
    if result.method != "ASR":
        effects = [
            ("DC", result.dead_effect - result.wearing_effect, by_symbol.get("w DC")),
            ("DW", result.wearing_effect, by_symbol.get("w DW")),
        ]
        found = [step for step in found if step.symbol != "w"]
    elif by_symbol.get("w DW") == 0:
        found = [step for step in found if step.symbol not in ("w DC", "w DW")]
    found += [hand_step("dead load", step) for step in continuous_steps(case) if step.symbol.startswith("M ")]
    for symbol, effect, load in effects:
        lines, formula = _effect_lines(case, symbol, load)
        step = Step(symbol=symbol, value=effect, unit=result.unit, formula=formula, source="statics", mark="computed")
        found.append(hand_step("dead load", step, *lines))
    return found


def _load_lines(case: SpanCase, member: MemberCase | None, step: Step, loads: list[Step]) -> list[str]:
    """Numbers for the own weight, the deck, a layer and the sums."""
    parts = [s for s in loads if s.symbol not in ("w", "w DC", "w DW")]
    surfacing = {f"w {layer.name}" for layer in case.surfacing}
    sums = {
        "w": parts,
        "w DC": [s for s in parts if s.symbol not in surfacing],
        "w DW": [s for s in parts if s.symbol in surfacing],
    }
    if step.symbol in sums:
        return [" + ".join(printed(s.value, "lb/ft") for s in sums[step.symbol]) or "0"]
    if member is None:
        return []
    weight, apart, deck = f"{timber_pcf(member):g}", f"{member.spacing_ft or 0:g}", f"{case.deck_width_ft:g}"
    rail = f"{case.railing_plf:g}"
    on = step.formula.rpartition(" on ")[2].removesuffix(" ft") if " on " in step.formula else "1"
    area = f"{member.width_in:g} x {member.depth_in:g}"
    if member.shape == "round":
        area = f"{pi:.4f} x {member.depth_in:g}^2 / 4"
    lines = {
        "w self": [f"{member.depth_in:g} / 12 x {weight} x {on}", f"{area} / 144 x {weight}"],
        "w web": [f"{area} / 144 x {weight}"],
        "w flange": _flange_lines(case, member),
        "w deck": [f"{case.deck_thickness_in:g} / 12 x {case.deck_unit_weight_pcf:g} x {on}"],
        "w railing": [rail, *(f"2 x {rail} x {wide} / {deck}" for wide in (on, apart))],
        "w other": [f"{case.other_dead_psf:g} x {number}" for number in (on, apart)],
    }
    for layer in case.surfacing:
        lines[f"w {layer.name}"] = [f"{layer.thickness_in:g} / 12 x {layer.unit_weight_pcf:g} x {on}"]
    return lines.get(step.symbol, [])


def _flange_lines(case: SpanCase, member: MemberCase) -> list[str]:
    """Flanges between the webs: clear width x depth x weight."""
    deep = [f"{depth:g}" for depth in (member.flange_depth_in, member.bottom_flange_depth_in) if depth]
    spacing = f"{member.spacing_ft or 0.0:g} x 12 - {member.width_in:g}"
    return [f"({spacing}) x ({' + '.join(deep)}) / 144 x {case.deck_unit_weight_pcf:g}"] if deep else []


def continuous_steps(case: Case) -> list[Step]:
    """What the trace says of the spans that run through; empty for a span by itself, or rated as if it were."""
    if case.result.as_simple:
        return []
    return steps_of_member(case.trace, case.result.member, "Continuous line:")


def _support_moments(case: Case, symbol: str) -> tuple[str, str]:
    """Dead moments over the left and the right support of the span, as they are printed."""
    names = ("DC", "DW") if symbol == "D" else (symbol,)
    steps = {step.symbol: step.value for step in continuous_steps(case)}
    found = []
    for support in (case.span_no, case.span_no + 1):
        keys = [f"M {name}, support {support}" for name in names]
        values = [f"({printed(steps[key], 'lb-ft')})" for key in keys if key in steps]
        found.append(f"({' + '.join(values)})" if values else "0")
    return found[0], found[1]


def _effect_lines(case: Case, symbol: str, load: float | None) -> tuple[list[str], str]:
    """Formula and numbers of a dead effect at z from the near bearing; by support moments where spans run through."""
    result, span, member = case.result, case.span, case.member
    if member is None or span is None:
        return deck_dead_lines(case, symbol), traced_formula(case, "D") or "by the lines above"
    length, z = printed(span.span_ft, "ft"), printed(result.station_ft, "ft")
    formulas = {
        "bending": "w z (L - z) / 2, z from the near bearing",
        "shear": "w (L/2 - a), a not nearer than the depth of the member",
    }
    formula = formulas.get(result.limit_state, "w L / 2")
    if continuous_steps(case):
        formula = f"{formula}, with the dead moments over the supports where the spans run through"
    if load is None:
        return [], formula
    w = printed(load, "lb/ft")
    if result.limit_state in ("bending", "hogging"):
        simple = f"{w} x {z} x ({length} - {z}) / 2"
        left, right = _support_moments(case, symbol)
        through = f"{simple} + {left} x (1 - {z} / {length}) + {right} x {z} / {length}"
        return [simple, through, f"-({through})"], formula
    if result.limit_state == "shear":
        depth = printed(member.depth_in / 12.0, "ft")
        near = shear_station_ft(depth_in=member.depth_in, span_ft=span.span_ft)
        places = [*([depth] if result.station_ft <= near + 1e-9 else []), z, depth]
        return [f"{w} x ({length} / 2 - {place})" for place in places], formula
    return [f"{w} x {length} / 2"], formula


def live_step(case: Case) -> HandStep:
    """The effect of one lane: weight times ordinate of each axle, and the areas under a uniform load."""
    result, load = case.result, case.load
    formula = traced_formula(case, "lane effect") or f"one lane, at {result.station_ft:.2f} ft"
    if load is not None:
        formula = "sum of weight x ordinate, one lane"
    names = {"bending": "M lane", "hogging": "M lane", "bearing": "R lane", "interface": "V lane"}
    lines = deck_wheel_lines(case)
    if lines and result.limit_state == "bending":
        formula = "both wheels of the axle, each P (s/4 - b_t/8) at mid-span, s and b_t in inches"
    if load is not None:
        terms = [f"{printed(one.load_lb, 'lb')} x {one.y:.4f}" for one in (*load.axles, *load.points)]
        terms += [f"{printed(part.load_plf, 'lb/ft')} x {part.area:.4f}" for part in load.lane]
        lines = [" + ".join(terms).replace("+ -", "- ")]
    step = Step(
        symbol=names.get(result.limit_state, "V lane"),
        value=result.lane_effect,
        unit=result.unit,
        formula=formula,
        source="statics",
        mark="computed",
    )
    return hand_step("live load", step, *lines)


def share_steps(case: Case) -> list[HandStep]:
    """The distribution factor and the live effect on the member."""
    result = case.result
    source, _bracket, mark = result.distribution_source.rpartition(" (")
    share = Step(
        symbol="g",
        value=result.distribution_factor,
        unit="wheel lines",
        formula=result.distribution_rule,
        source=source or result.distribution_source,
        mark=mark.rstrip(")") or "computed",
    )
    lane, g = printed(result.lane_effect, result.unit), printed(result.distribution_factor, "wheel lines")
    wheel = printed(result.lane_effect / 2.0, result.unit)
    formula, source, mark = "lane effect x g / 2", "two wheel lines in a lane", "computed"
    step = Step(symbol="L", value=result.live_effect, unit=result.unit, formula=formula, source=source, mark=mark)
    made = hand_step("share", step, f"{lane} x {g} / 2")
    if not made.worked and result.limit_state == "shear":
        formula = "0.50 (0.60 V_LU + V_LD), V_LU = V lane / 2, V_LD = V_LU x g"
        clause = "AASHTO Standard Specifications 13.6.5"
        step = replace(step, formula=formula, source=clause, mark="memory")
        made = hand_step("share", step, f"0.50 x (0.60 x {wheel} + {wheel} x {g})")
    if not made.worked and result.limit_state in ("bearing", "interface"):
        step = replace(step, formula="load over the bearing x g / 2 + the rest of the reaction x g bending / 2")
        made = hand_step("share", step, *_bearing_lines(case, g))
    return [hand_step("share", share, *_share_lines(case, share)), made]


def _bearing_lines(case: Case, g: str) -> list[str]:
    """The load over the bearing by its own share, the rest of the reaction by that of bending."""
    kinds = (f"Distribution, {case.result.method}:", "Distribution:")
    steps = steps_of_member(case.trace, case.result.member, *kinds)
    rest_share = [step.value for step in steps if "bending" in step.symbol]
    if case.load is None or not rest_share:
        return []
    other, lines = printed(rest_share[0], "wheel lines"), []
    for one in (*case.load.axles, *case.load.points):
        rest = case.result.lane_effect - one.value
        lines.append(f"{printed(one.value, 'lb')} x {g} / 2 + {printed(rest, 'lb')} x {other} / 2")
    return lines


def _lever_lines(rule: str, lanes: int) -> list[str]:
    """The deck as a lever or a simple beam between stringers: each wheel's part, reduced for lanes together.

    Places of the wheels as the rule takes them (``distribution.lever``); only the line that gives the share stands.
    """
    named = re.match(r"(lever rule|simple-beam reaction), S = ([0-9.]+) ft(?:, first wheel (-?[0-9.]+) ft)?", rule)
    if not named:
        return []
    spacing, first = named[2], float(named[3] or 0.0)
    found = []
    for count in range(1, lanes + 1):
        places = wheel_places(count)
        for over in places if named[3] is None else (-first,):
            away = [place - over if named[3] is not None else abs(place - over) for place in places]
            terms = [f"({spacing} - {printed(u, 'ft')}) / {spacing}" for u in away if u < float(spacing)]
            total = " + ".join(terms).replace("- -", "+ ") or "0"
            factors = {reduction(count), reduction(count, PRESENCE)}
            found += [total if factor == 1.0 else f"({total}) x {factor:g}" for factor in sorted(factors)]
    return found


def _share_lines(case: Case, share: Step) -> list[str]:
    """A rule with its numbers: S/3.75, S/6.7 lanes, 12/D_w with the D_w it names, 2 x 12/E, W/(4.25 + L/28)."""
    rule = str(share.formula).removeprefix("interior value ")
    lines = []
    width = re.match(r"(2 x )?([0-9.]+)/(?:E|D_w|b)\b.*? = ([0-9.]+) in\b", rule)
    if width:
        factors = re.findall(r"presence ([0-9.]+)|x (1\.20) one lane|x (0\.80)$", rule)
        times = "".join(f" x {number}" for found in factors for number in found if number)
        lines.append(f"{width[1] or ''}{width[2]} / {width[3]}{times}")
    if case.member is None:
        return lines
    if case.span is not None:
        lines += _lever_lines(rule, case.span.lanes_loaded)
    divisor = re.match(r"S/([0-9.]+)( lanes)?,", rule)
    if divisor and case.member.spacing_ft:
        lines.append(f"{'2 x ' if divisor[2] else ''}{case.member.spacing_ft:g} / {divisor[1]}")
    if rule.startswith("W_p/D_w") and rule.endswith(" in"):
        lines.append(f"{case.member.width_in:g} / {rule.rpartition(' = ')[2].removesuffix(' in')}")
    if "W/" in rule:
        feet = printed(case.member.width_in / 12.0)
        lines += [
            re.sub(r"\bL\b", f"{case.span.span_ft:g}", re.sub(r"\bW\b", feet, term)).strip(" []")
            for term in re.sub(r"^(max|min)\[|\],?.*$", "", rule).split(", ")
        ]
    return lines
