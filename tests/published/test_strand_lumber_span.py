"""A span that is known to have carried HS20, rated over all that is not known about it.

The fact and the ranges stand in `strand_lumber_ranges`, fixed before anything was rated. The check fails if HS20 at
operating level lies outside the range of ratings that follows. What the range teaches stands in ops/decisions.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.stats import qmc, spearmanr

from inventory.mechanics.rating import (
    BarState,
    DeadLayer,
    MakerWetFactors,
    MemberCase,
    SpanCase,
    find_design_value,
    rate_span,
)
from tests.published import strand_lumber_ranges as ranges

EVEN = ("BEAM_LB", "BAR_LB", "SPACING_IN", "BAR_SPACING_IN", "WET_BENDING", "WET_SHEAR", "WET_MODULUS", "ASPHALT_IN")
EVEN += ("RAILING_PLF", "DECK_WIDTH_FT")
PICKED = ("WEB_IN", "SURFACES", "GRADES", "LANES")
HELD_PSI = 500.0
"""Pressure at which the interface is held whatever the vehicle asks: what the rating would be if glue or dowels did."""


@dataclass(frozen=True)
class Draw:
    """One way the span may have been made and what it rates: HS at inventory and operating, as it is and if held.

    ``needed_bar_lb``: bar force at which friction would carry the whole vehicle, from the interface result of the held
    span, V slip being proportional to the pressure.
    """

    known: dict
    inventory_hs: float
    operating_hs: float
    held_operating_hs: float
    slips: bool
    needed_bar_lb: float


def sampled() -> list[dict]:
    """A seeded Latin hypercube over the ranges; those whose flange is no flange are left out.

    Every third of them where SPANLEDGER_LONG is not 1; the page of the decision quotes them all.
    """
    points = qmc.LatinHypercube(d=len(EVEN) + len(PICKED), seed=ranges.SEED).random(ranges.SAMPLES)
    kept = []
    for point in points:
        known = {name: low + part * (high - low) for name, part, (low, high) in zip_ranges(point)}
        for name, part in zip(PICKED, point[len(EVEN) :], strict=True):
            choices = getattr(ranges, name)
            known[name] = choices[min(int(part * len(choices)), len(choices) - 1)]
        area = known["BEAM_LB"] / ranges.DENSITY_PCF / ranges.SPAN_FT * 144.0
        rest = area - known["WEB_IN"] * ranges.DEPTH_IN
        known["flange_in"] = rest / (known["SPACING_IN"] - known["WEB_IN"])
        if ranges.FLANGE_IN[0] <= known["flange_in"] <= ranges.FLANGE_IN[1]:
            kept.append(known)
    return kept[:: 1 if os.environ.get("SPANLEDGER_LONG") == "1" else 3]


def zip_ranges(point):
    return [(name, part, getattr(ranges, name)) for name, part in zip(EVEN, point[: len(EVEN)], strict=True)]


def span_of(known: dict) -> SpanCase:
    """The case as drawn: an inner T-beam, its flange of the same strand lumber, joints none (made in one length)."""
    material = find_design_value(species="PSL", grade=known["GRADES"], size_class="parallel strand lumber")
    beam = MemberCase(
        label="T-beam",
        role="web",
        material=material,
        width_in=known["WEB_IN"],
        depth_in=ranges.DEPTH_IN,
        spacing_ft=known["SPACING_IN"] / 12.0,
        flange_material=material,
        flange_depth_in=known["flange_in"],
        maker_wet=MakerWetFactors(
            bending=known["WET_BENDING"], shear=known["WET_SHEAR"], bearing=0.67, modulus=known["WET_MODULUS"]
        ),
    )
    asphalt = DeadLayer(name="asphalt", thickness_in=known["ASPHALT_IN"], unit_weight_pcf=140.0, measured=True)
    width = known["DECK_WIDTH_FT"]
    return SpanCase(
        label="1",
        span_ft=ranges.SPAN_FT,
        system="stress_laminated_t",
        lanes_loaded=known["LANES"] if width >= 20.0 else 1,
        roadway_width_ft=width - 2.0,
        deck_width_ft=width,
        members=(beam,),
        deck_kind="stress_laminated",
        surfacing=(asphalt,),
        railing_plf=known["RAILING_PLF"],
        bars=BarState(
            least_local_pressure_psi=known["BAR_LB"] / known["BAR_SPACING_IN"] / known["flange_in"],
            reading_date="2026-05-04",
            butt_jointed=False,
            surface=known["SURFACES"],
        ),
    )


def drawn(known: dict) -> Draw:
    case = span_of(known)
    held_case = replace(case, bars=replace(case.bars, least_local_pressure_psi=HELD_PSI))
    rating, held = (rate_span(each, vehicles=("HS20",)) for each in (case, held_case))
    assert rating.is_rated and held.is_rated, (rating, held)
    whole = [r for r in held.results if (r.limit_state, r.level) == ("interface", "operating")]
    needed_psi = HELD_PSI * (whole[0].dead_effect + whole[0].live_effect) / whole[0].capacity if whole else HELD_PSI
    return Draw(
        known=known,
        inventory_hs=rating.hs_inventory,
        operating_hs=rating.hs_operating,
        held_operating_hs=held.hs_operating,
        slips=not any(result.limit_state == "interface" for result in rating.results if result.method == "ASR"),
        needed_bar_lb=needed_psi * known["BAR_SPACING_IN"] * known["flange_in"],
    )


@pytest.fixture(scope="module")
def draws() -> list[Draw]:
    return [drawn(known) for known in sampled()]


def spread(values) -> str:
    low, tenth, middle, ninth, high = np.percentile(list(values), [0, 10, 50, 90, 100])
    return f"{low:,.0f} to {high:,.0f} (eight in ten {tenth:,.0f} to {ninth:,.0f}, middle {middle:,.0f})"


def weights(draws: list[Draw], rating: str) -> str:
    """Rank correlation of every unknown with a rating, the strongest first: what the answer rests on."""
    found = []
    for name in (*EVEN, *PICKED, "flange_in"):
        values = [draw.known[name] for draw in draws]
        if isinstance(values[0], str):
            values = [getattr(ranges, name).index(value) for value in values]
        found.append((name, float(spearmanr(values, [getattr(draw, rating) for draw in draws]).statistic)))
    found.sort(key=lambda pair: -abs(pair[1]))
    return ", ".join(f"{name} {rank:+.2f}" for name, rank in found[:7])


def test_hs20_lies_in_the_range(draws, capsys):
    """Common practice, no source: the span carried HS20. Operating level is the most a bridge is let carry."""
    operating = [draw.operating_hs for draw in draws]
    with capsys.disabled():
        print(f"\n{len(draws)} of {ranges.SAMPLES} draws are T-beams; the web stands alone in {slipping(draws)}.")
        print(f"HS at operating {spread(operating)}; at inventory {spread(d.inventory_hs for d in draws)};")
        print(f"at operating if nothing could slip {spread(d.held_operating_hs for d in draws)}.")
        print(f"Bar force that would hold, lb: {spread(d.needed_bar_lb for d in draws)}.")
        print(f"What it rests on, as it is: {weights(draws, 'operating_hs')};")
        print(f"if held: {weights(draws, 'held_operating_hs')}.")
    assert len(draws) > 100
    assert min(operating) <= 20.0 <= max(operating)


def slipping(draws: list[Draw]) -> int:
    return sum(draw.slips for draw in draws)


def test_holding_the_interface_never_lowers_a_rating(draws):
    """Law: what cannot slip carries at least as much as what can."""
    assert all(draw.held_operating_hs >= draw.operating_hs - 1e-9 for draw in draws)


def test_interface_of_one_beam_by_hand():
    """Arithmetic: 7 in web, 36 in spacing, beam 6,000 lb: V slip = mu F/s I/Q against dead and HS20 shear at the end.

    Area 314.8 in2, flange 94.3 in2 over 29 in = 3.25 in, too thin to be drawn; at 24 in spacing 94.3/17 = 5.54 in.
    HS20 end shear at 61 ft: (32 (61 + 47) + 8 x 33)/61 = 60.98 kip; S/9.2 = 0.2174 lanes.
    """
    known = {
        "BEAM_LB": 6000.0, "BAR_LB": 20000.0, "SPACING_IN": 24.0, "BAR_SPACING_IN": 48.0, "WET_BENDING": 1.0,
        "WET_SHEAR": 1.0, "WET_MODULUS": 1.0, "ASPHALT_IN": 0.0, "RAILING_PLF": 0.0, "DECK_WIDTH_FT": 18.0,
        "WEB_IN": 7.0, "SURFACES": "surfaced", "GRADES": "2.0E", "LANES": 1,
    }  # fmt: skip
    area = 6000 / 45 / 61 * 144
    flange = known["flange_in"] = (area - 7 * 31.5) / 17
    wing = 17 / 2 * np.tanh(k := np.pi / 732 * np.sqrt(1 / 0.03) * 8.5) / k
    web, sides = 7 * 31.5, 2 * wing * flange
    middle = (web * 15.75 + sides * (31.5 - flange / 2)) / (web + sides)
    inertia = 7 * 31.5**3 / 12 + web * (middle - 15.75) ** 2
    inertia += 2 * wing * flange**3 / 12 + sides * (31.5 - flange / 2 - middle) ** 2
    first = sides / 2 * (31.5 - flange / 2 - middle)
    slip = 0.35 * 20000 / 48 * inertia / first
    demand = 50 * area / 144 * 30.5 + (32 * (61 + 47) + 8 * 33) / 61 * 1000 * 2.0 / 9.2
    assert slip < demand
    found = drawn(known)
    assert found.slips
    assert found.needed_bar_lb == pytest.approx(20000 * demand / slip, rel=1e-6)
