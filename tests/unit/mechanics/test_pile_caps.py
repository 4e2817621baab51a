"""Pile caps: hand arithmetic, laws, losses and refusals.

Rules: AASHTO Standard Specifications 3.12, LRFD 3.6.1.1.2, 8.7 (memory); wheels 2 ft from the curb and 4 ft apart
(memory). Which model of the cap counts is ours (model).
"""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import (
    DeadLayer,
    NotRated,
    RatingPolicy,
    SectionLoss,
    find_vehicle,
    rate_structure,
)
from inventory.mechanics.rating.cap_lines import cap_frame
from inventory.mechanics.rating.cap_loads import cap_dead_plf, held_spans, lane_reaction_lb
from inventory.mechanics.rating.cap_rating import rate_cap
from inventory.mechanics.rating.caps import cap_member
from tests.unit.mechanics.caps import CAP, SPANS, one, rated, reaction

# loads


@pytest.mark.parametrize(
    ("vehicle", "spans", "kip"),
    [
        # an axle over the pier, the others 14 ft away on spans of 18: 32 + (32 + 8) x 4/18
        ("HS20", (18, 18), 32 + 40 * 4 / 18),
        # spans of 60: truck 32 + 40 x 46/60 = 62.67; lane 0.64 x 60 + 26 = 64.4
        ("HS20", (60, 60), 64.4),
        # one span of 18: the second axle 14 ft away, the third is off: 32 + 32 x 4/18
        ("HS20", (18,), 32 + 32 * 4 / 18),
        # 17 over the pier and 17 4 ft on, 16 at 15 ft on the other span: 17 + 17 x 14/18 + 16 x 3/18
        ("TYPE3", (18, 18), 17 + 17 * 14 / 18 + 16 * 3 / 18),
        # tandem 25 + 25 x 14/18 against the truck 32 + 40 x 4/18; lane 0.64 x 18
        ("HL93", (18, 18), 25 + 25 * 14 / 18 + 0.64 * 18),
        # tandem 25 + 25 x 20/24 against the truck 32 + 40 x 10/24, 14 ft axles
        ("HL93", (24, 24), max(25 + 25 * 20 / 24, 32 + 40 * 10 / 24) + 0.64 * 24),
    ],
)
def test_reaction_of_a_lane_by_hand(vehicle, spans, kip):
    assert reaction(vehicle, *spans) == pytest.approx(kip * 1000)


def test_continuous_stringers_press_harder():
    """Handbook: two equal spans under a uniform load put 1.25 w L on the middle support, two simple ones w L."""
    through = tuple(replace(case, continuous_unit="A") for case in SPANS)
    simple, continuous = (
        cap_dead_plf(member=cap_member(CAP), held=held_spans(cap=CAP, cases=cases)) for cases in (SPANS, through)
    )
    own = 12 * 12 / 144 * 50
    assert (continuous.dc_plf - own) / (simple.dc_plf - own) == pytest.approx(1.25)
    held = held_spans(cap=CAP, cases=through)
    assert lane_reaction_lb(held=held, vehicle=find_vehicle("SU4")) >= reaction("SU4", 18, 18)


def test_dead_load_by_hand():
    """6 x 16 at 2 ft 33.33/2, plank 3 in 12.5, rail 2 x 60/25, asphalt 2 in 23.33 lb/ft2; spans 18 ft; cap 50."""
    asphalt = DeadLayer(name="asphalt", thickness_in=2.0, unit_weight_pcf=140.0, measured=True)
    cases = tuple(replace(case, surfacing=(asphalt,), railing_plf=60.0) for case in SPANS)
    dead = cap_dead_plf(member=cap_member(CAP), held=held_spans(cap=CAP, cases=cases))
    assert dead.dc_plf == pytest.approx((100 / 3 / 2 + 12.5 + 120 / 25) * 18 + 50)
    assert dead.dw_plf == pytest.approx(140 / 6 * 18)


# the cap


def test_bending_by_hand():
    """HS20 on two 18 ft spans: 40.889 kip a lane, one wheel line of 20.444 in the middle of 5 ft: 25.556 kip-ft.

    F_b' = 1200 x 1.15 = 1380 (timbers: C_M 1, C_F 1 at 12 in), S = 288: 33.12 kip-ft. Dead 575 x 25/8 = 1.797.
    """
    found = one(rated(), "bending", "inventory")
    assert found.live_effect == pytest.approx(40_888.9 / 2 * 5 / 4, rel=1e-5)
    assert found.capacity == pytest.approx(1380 * 288 / 12)
    dead = ((100 / 3 / 2 + 12.5) * 18 + 50) * 25 / 8
    assert found.dead_effect == pytest.approx(dead)
    assert found.rating_factor == pytest.approx((33_120 - dead) / 25_555.6, rel=1e-5)


def test_two_piles_by_hand():
    """Two piles: simple by necessity. Shear at 5/12 + 1 = 1.417 ft, not beyond 5/4; wheel there: R/2 x 3.75/5.

    Roadway 12 ft between curbs, one lane: wheels at 2 to 10 of 12 ft; bearing: a wheel line over the pile 3.5 ft from
    the left, its fellow 6 ft on is past the other pile at 8.5 on the overhang, and relieves: it is left out.
    """
    narrow = tuple(replace(case, roadway_width_ft=12.0, deck_width_ft=12.0, lanes_loaded=1) for case in SPANS)
    cap = replace(CAP, pile_count=2)
    frame = cap_frame(cap=cap, spans=narrow)
    assert frame.piles_ft == (3.5, 8.5)
    assert frame.shear_ft == pytest.approx(1.25)
    assert frame.zone_ft == (2.0, 10.0)
    found = rated(cap=cap, cases=narrow)
    shear = one(found, "shear", "inventory")
    lane = 40_888.9
    assert shear.live_effect == pytest.approx(lane / 2 * max(3.75 / 5, 1.0 if 2.0 < 3.5 - 1.25 else 0.0), rel=1e-4)
    bearing = one(found, "bearing", "inventory")
    # worst at the left pile: the wheel on the overhang at 2 ft presses 1 + 1.5/5, its fellow at 8 ft 0.5/5
    assert bearing.live_effect == pytest.approx(lane / 2 * (1.3 + 0.1), rel=1e-4)


def test_bearing_capacity():
    """F_cp' = 625 x 0.67 wet, no C_D, C_b 1 from 6 in; a circle of 10 in: 78.54 in2 (model)."""
    assert one(rated(), "bearing", "inventory").capacity == pytest.approx(625 * 0.67 * pi * 100 / 4)
    thin = one(rated(replace(CAP, width_in=8.0)), "bearing", "inventory")
    assert thin.capacity == pytest.approx(625 * 0.67 * pi / 4 * 10 * 8)


def test_load_factors_and_presence():
    """phi F_b = 2.0 x 1200; condition 7: phi_c 1; one lane x 1.20 beats two x 1.00 in a bay that holds one wheel."""
    found = one(rated(vehicle="SU7", method="LRFR"), "bending", "legal")
    assert found.capacity == pytest.approx(2.0 * 1200 * 288 / 12)
    lane = reaction("SU7", 18, 18)
    assert found.live_effect == pytest.approx(1.20 * lane / 2 * 5 / 4)
    factor = (found.capacity - 1.25 * found.dead_effect) / (1.45 * found.live_effect)
    assert found.rating_factor == pytest.approx(factor)


# losses


def decay(depth, from_ft, to_ft, face="top"):
    return SectionLoss(kind="surface", face=face, depth_in=depth, from_ft=from_ft, to_ft=to_ft)


def test_decay_between_stations_is_found():
    """A short loss in a far bay governs: 2.25 in (transition in) of 12 leave S (9.75/12)^2."""
    weak = one(rated(replace(CAP, losses=(decay(2.0, 17.46, 17.50),))), "bending", "inventory")
    assert weak.capacity == pytest.approx(33_120 * (9.75 / 12) ** 2)
    assert 17.46 <= weak.station_ft <= 17.50


@pytest.mark.parametrize("method", ["ASR", "LRFR"])
def test_more_decay_never_rates_higher(method):
    last = None
    for depth in (0.0, 0.5, 1.0, 3.0, 6.0, 11.9):
        losses = (decay(depth, 5.0, 20.0),)
        least = min(r.rating_factor for r in rated(replace(CAP, losses=losses), "SU4", method))
        assert last is None or least <= last + 1e-12
        last = least


def test_crushing_makes_the_seat_wet_and_calls_the_engineer():
    crushed = SectionLoss(kind="crushing", depth_in=0.5, from_ft=5.0, to_ft=5.0)
    rating = rate_cap(replace(CAP, wet_service=False, losses=(crushed,)), SPANS, ("HS20",), RatingPolicy())
    dry = rate_cap(replace(CAP, wet_service=False), SPANS, ("HS20",), RatingPolicy())
    bearing = [one([r for r in x.results if r.method == "ASR"], "bearing", "inventory").capacity for x in (rating, dry)]
    assert bearing[0] / bearing[1] == pytest.approx(0.67)
    assert any("crushed" in flag for flag in rating.flags)


def test_wider_pile_spacing_never_rates_higher():
    factors = []
    for spacing, count in ((3.0, 9), (4.0, 7), (5.0, 6), (6.0, 5)):  # rows as wide as the roadway of 24 ft
        cap = replace(CAP, pile_spacing_ft=spacing, pile_count=count)
        factors.append(one(rated(cap), "bending", "inventory").rating_factor)
    assert factors == sorted(factors, reverse=True)


# the door


def test_the_cap_counts_in_the_structure():
    thin = replace(CAP, depth_in=8.0, label="cap of pier 1")
    rating = rate_structure(SPANS, ("TYPE3", "HS20"), caps=(thin,))
    assert [span.label for span in rating.spans] == ["1", "2", "cap of pier 1"]
    assert (rating.worst.span, rating.worst.member) == ("cap of pier 1", "pile cap")
    least = min(
        r.rating_factor for span in rating.spans for r in span.results if (r.vehicle, r.level) == ("HS20", "inventory")
    )
    (hs20,) = [row for row in rating.governing if row.vehicle == "HS20"]
    assert hs20.inventory_factor == pytest.approx(least)
    plain = rate_structure(SPANS, ("TYPE3", "HS20"))
    assert [span.label for span in plain.spans] == ["1", "2"]


@pytest.mark.parametrize(
    "cap",
    [
        replace(CAP, pile_count=1),
        replace(CAP, pile_count=None),
        replace(CAP, pile_spacing_ft=0.0),
        replace(CAP, pile_spacing_ft=float("nan")),
        replace(CAP, pile_bearing_in=0.0),
        replace(CAP, pile_bearing_in=80.0),
        replace(CAP, before="7"),
        replace(CAP, before="", after=""),
        replace(CAP, depth_in=0.0),
        replace(CAP, losses=(decay(1.0, 40.0, 50.0),)),
        replace(CAP, losses=(decay(-1.0, 4.0, 5.0),)),
        replace(CAP, losses=(SectionLoss(kind="void", width_in=2, height_in=2, offset_in=9, from_ft=4, to_ft=5),)),
    ],
)
def test_refusals(cap):
    """The kernel's own error inside, a sentence for the engineer outside; the spans stay rated."""
    with pytest.raises(OutsideValidity):
        rated(cap)
    assert isinstance(rate_cap(cap, SPANS, ("HS20",), RatingPolicy()), NotRated)
    rating = rate_structure(SPANS, ("HS20",), caps=(cap,))
    assert rating.is_rated
    assert any("not rated, have the engineer" in flag for flag in rating.flags)
