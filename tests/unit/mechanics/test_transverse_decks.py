"""Transverse decks on stringers: hand arithmetic, laws and refusals.

Rules: AASHTO Standard Specifications 3.25.1, 3.30 and the footnote on timber floors; AASHTO LRFD Table 4.6.2.1.3-1,
9.9.3.2, 8.4.4.8 (all memory, the form of b_t checked-2nd). Numbers by the arithmetic shown.
"""

from __future__ import annotations

from dataclasses import replace
from math import log10, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import (
    DeckCase,
    RatingPolicy,
    SectionLoss,
    find_design_value,
    find_vehicle,
    rate_span,
)
from inventory.mechanics.rating.decks import deck_results
from inventory.mechanics.trace import Trace
from tests.unit.mechanics.spans import DF_DIMENSION, DF_TIMBER, PANEL_GLULAM, stringer_span

PLANK = DeckCase(
    kind="plank",
    material=DF_DIMENSION,
    thickness_in=3.0,
    width_in=12.0,
    support_spacing_ft=2.0,
    support_width_in=6.0,
    continuous=True,
)
PANEL = DeckCase(
    kind="glulam_panel",
    material=PANEL_GLULAM,
    thickness_in=5.125,
    width_in=48.0,
    support_spacing_ft=5.0,
    support_width_in=8.75,
    interconnected=True,
)
NAILED = replace(PLANK, kind="nail_laminated", thickness_in=5.5, width_in=1.5, support_spacing_ft=4.0)


def rated(deck, vehicle, method="ASR", **changes):
    case = stringer_span(deck=deck, deck_kind=deck.kind, deck_thickness_in=deck.thickness_in, **changes)
    return deck_results(
        case=case, vehicles=(find_vehicle(vehicle),), policy=RatingPolicy(), method=method, trace=Trace()
    )


def one(results, state, level):
    (found,) = [r for r in results if (r.limit_state, r.level) == (state, level)]
    return found


def test_plank_deck_by_hand():
    """3 x 12 planks on 6 in stringers at 24 in, Type 3 wheel 8,500 lb.

    s = min(18 + 3, 18 + 3) = 21 in; b_t = sqrt(212.5) = 14.577; M = 0.80 x 8500 (21/4 - 14.577/8) = 23,309 in-lb on a
    plank of 12 in, so 1,942.4 lb-ft per foot. F_b' = 1000 x 1.15 x 1.0 (12 in wide) x 1.2 (flat) = 1,380 psi, wet
    C_M 1.0 (F_b C_F not over 1150); S = 12 x 9/6 = 18: 2,070 lb-ft. Dead 12.5 lb/ft2: 12.5 x 1.75^2/8 x 0.80 = 3.83.
    """
    found = one(rated(PLANK, "TYPE3"), "bending", "inventory")
    tire = sqrt(0.025 * 8500)
    assert found.live_effect == pytest.approx(0.80 * 8500 * (21 / 4 - tire / 8) / 12)
    assert found.capacity == pytest.approx(2070)
    assert found.dead_effect == pytest.approx(12.5 * 1.75**2 / 8 * 0.80)
    assert found.rating_factor == pytest.approx((2070 - 3.828) / 1942.44, abs=1e-4)
    operating = one(rated(PLANK, "TYPE3"), "bending", "operating")
    assert operating.rating_factor == pytest.approx((1.33 * 2070 - 3.828) / 1942.44, abs=1e-4)


def test_plank_shear_by_hand():
    """x = 3 in = t, tire from 3 to 17.577 in: V = 8500 (21 - 3 - 7.289)/21 = 4,335.5 lb; F_v' 180 x 1.15 x 0.97 wet."""
    found = one(rated(PLANK, "TYPE3"), "shear", "inventory")
    assert found.live_effect == pytest.approx(8500 * (18 - sqrt(212.5) / 2) / 21)
    assert found.capacity == pytest.approx(180 * 1.15 * 0.97 * 2 * 12 * 3 / 3)
    assert found.dead_effect == pytest.approx(12.5 * (1.75 / 2 - 3 / 12))


@pytest.mark.parametrize(
    ("vehicle", "wheel", "k"),
    [("HS20", 12_000, 0.51), ("H20", 12_000, 0.51), ("H15", 12_000, 0.47), ("EV2", 16_750, 0.47)],
)
def test_dowelled_panels_take_the_formula(vehicle, wheel, k):
    """s = min(51.25 + 4.375, 51.25 + 5.125) = 55.625 in; timber floors carry H20 and HS20 with 12,000 lb."""
    bending, shear = (one(rated(PANEL, vehicle), state, "inventory") for state in ("bending", "shear"))
    assert bending.live_effect == pytest.approx(wheel * (0.51 * log10(55.625) - k))
    assert shear.live_effect == pytest.approx(0.034 * wheel * 12)
    continuous = one(rated(replace(PANEL, continuous=True), vehicle), "bending", "inventory")
    assert continuous.live_effect == pytest.approx(0.80 * bending.live_effect)


def test_dowelled_panel_strength():
    """F_by x 1.15 x 0.80 wet x (12/5.125)^(1/9), S = 2 t2 per foot; F_vy x 1.15 x 0.875; values of the design table."""
    value = PANEL_GLULAM
    bending, shear = (one(rated(PANEL, "H15"), state, "inventory") for state in ("bending", "shear"))
    stress = value.fb_psi * 1.15 * 0.80 * (12 / 5.125) ** (1 / 9)
    assert bending.capacity == pytest.approx(stress * 12 * 5.125**2 / 6 / 12)
    assert shear.capacity == pytest.approx(value.fv_psi * 1.15 * 0.875 * 2 * 12 * 5.125 / 3)


def test_short_dowelled_panels_take_the_strip():
    """Below 20 in the formula turns unsafe (at 10 in, 0.51 log10 10 - 0.51 = 0): a strip of 15 in + 2 t instead."""
    deck = replace(PANEL, support_spacing_ft=2.0)
    found = one(rated(deck, "H15"), "bending", "inventory")
    span, tire = 15.25 + 4.375, sqrt(300)
    assert span < 20
    assert found.live_effect == pytest.approx(12_000 * (span / 4 - tire / 8) / (15 + 2 * 5.125))


def test_nailed_deck_by_hand():
    """2 x 6 on edge, 48 in spacing: s = 42 + 3 = 45; strip 15 + 5.5 = 20.5 in; C_F 1.3 and C_r 1.15 (6 in nominal)."""
    found = one(rated(NAILED, "H15"), "bending", "inventory")
    assert found.live_effect == pytest.approx(0.80 * 12_000 * (45 / 4 - sqrt(300) / 8) / 20.5)
    # F_b C_F = 1300 is over 1150, so wet C_M 0.85
    assert found.capacity == pytest.approx(1000 * 1.15 * 0.85 * 1.3 * 1.15 * 12 * 5.5**2 / 6 / 12)


def test_load_factor_deck_by_hand():
    """HL-93 wheel 16,000 lb, b_t 20 in, strip 4.0 x 5.125 + 30 = 50.5 in, 1.20 one lane; 2.0 F_b x factors."""
    found = one(rated(PANEL, "HL93", "LRFR"), "bending", "design inventory")
    assert found.live_effect == pytest.approx(1.20 * 16_000 * (55.625 / 4 - 20 / 8) / 50.5)
    stress = 2.0 * PANEL_GLULAM.fb_psi * 0.80 * (12 / 5.125) ** (1 / 9)
    capacity = 0.85 * stress * 2 * 5.125**2 / 12  # condition not known: 0.85
    assert found.capacity == pytest.approx(capacity)
    assert found.rating_factor == pytest.approx((capacity - 1.25 * found.dead_effect) / (1.75 * found.live_effect))


def test_near_axles_share_a_strip():
    """Model: axles of SU7 stand 48 in apart and the strip would be 50.5 in, so each has 48 in."""
    found = one(rated(PANEL, "SU7", "LRFR"), "bending", "legal")
    tire = sqrt(0.025 * 8500)
    assert found.live_effect == pytest.approx(1.20 * 8500 * (55.625 / 4 - tire / 8) / 48)


@pytest.mark.parametrize(
    ("thickness", "width", "method", "factor"),
    [(3.0, 12.0, "ASR", 1.20), (3.0, 8.0, "ASR", 1.15), (4.0, 12.0, "ASR", 1.10), (4.0, 12.0, "LRFR", 1.50)],
)
def test_planks_lie_flat(thickness, width, method, factor):
    """C_fu of NDS Supplement 4A (checked-2nd); LRFD takes C_d 1.50 for 4 x 12 in its place (memory). Dry service."""
    deck = replace(PLANK, thickness_in=thickness, width_in=width, wet_service=False)
    vehicle, level = ("H15", "inventory") if method == "ASR" else ("TYPE3", "legal")
    size = {(3.0, 12.0): 1.0, (3.0, 8.0): 1.2, (4.0, 12.0): 1.1}[thickness, width]
    basis = 1.15 if method == "ASR" else 2.0 * 0.85
    found = one(rated(deck, vehicle, method), "bending", level)
    assert found.capacity == pytest.approx(1000 * basis * size * factor * 12 * thickness**2 / 6 / 12)


# losses


def loss(kind, **more):
    return SectionLoss(kind=kind, from_ft=8, to_ft=12, **more)


def test_wear_takes_thickness():
    """0.75 in of wear and 0.25 in of transition leave 2 of 3 in: S falls to 4/9."""
    worn = rated(replace(PLANK, losses=(loss("surface", face="top", depth_in=0.75),)), "H15")
    sound = rated(PLANK, "H15")
    ratio = one(worn, "bending", "inventory").capacity / one(sound, "bending", "inventory").capacity
    assert ratio == pytest.approx(4 / 9)


def test_lost_laminations_leave_the_strip():
    """Model: 3 of the laminations in a strip of 20.5 in are gone: 1 - 4.5/20.5 of the strength."""
    gone = rated(replace(NAILED, losses=(loss("lamination_lost", count=3),)), "H15")
    ratio = one(gone, "bending", "inventory").capacity / one(rated(NAILED, "H15"), "bending", "inventory").capacity
    assert ratio == pytest.approx(1 - 4.5 / 20.5)


def test_a_lost_plank_is_a_hole():
    gone = rate_span(
        stringer_span(deck=replace(PLANK, losses=(loss("lamination_lost", count=1),))), vehicles=("TYPE3",)
    )
    assert gone.worst.posting_factor == 0
    assert gone.worst.member == "deck"
    assert gone.posting.action == "close"
    assert any("deck: 1 laminations" in flag for flag in gone.flags)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from([PLANK, PANEL, NAILED]), st.floats(0, 1.5), st.floats(0, 1.0), st.sampled_from(["ASR", "LRFR"]))
def test_more_wear_never_rates_higher(deck, depth, more, method):
    """Monotony: a deeper loss rates no higher by either method."""
    factors = []
    for lost in (depth, depth + more):
        losses = (loss("surface", face="top", depth_in=lost),)
        factors.append(min(r.rating_factor for r in rated(replace(deck, losses=losses), "SU4", method)))
    assert factors[1] <= factors[0] + 1e-12


@settings(max_examples=40, deadline=None)
@given(st.floats(1.0, 6.0), st.floats(0.05, 0.7), st.sampled_from([PLANK, PANEL, NAILED]))
def test_wider_spacing_never_rates_higher(spacing, more, deck):
    """Monotony: stringers farther apart bend the deck more, by each rule within itself."""
    spans = [replace(deck, support_spacing_ft=s, interconnected=False) for s in (spacing, spacing + more)]
    first, second = (one(rated(d, "SU4"), "bending", "inventory") for d in spans)
    assert second.rating_factor <= first.rating_factor + 1e-12


# the door


def test_the_deck_counts_in_the_span():
    weak = replace(PLANK, thickness_in=2.0)
    rating = rate_span(stringer_span(deck=weak, deck_thickness_in=2.0), vehicles=("TYPE3", "H15"))
    assert rating.worst.member == "deck"
    assert {r.method for r in rating.results if r.member == "deck"} == {"ASR", "LRFR"}
    assert not any("deck on the stringers is not rated" in note for note in rating.notes)


def test_without_a_deck_the_note_stands():
    rating = rate_span(stringer_span(), vehicles=("H15",))
    assert any("deck on the stringers is not rated" in note for note in rating.notes)
    assert all(r.member != "deck" for r in rating.results)


def test_a_deck_out_of_range_is_told_and_the_span_still_rated():
    """One wheel no longer governs beyond 82 in: 8 ft spacing is refused for the deck alone."""
    rating = rate_span(stringer_span(deck=replace(PANEL, support_spacing_ft=8.0)), vehicles=("H15",))
    assert rating.is_rated
    assert any("deck of span 1 is not rated" in flag and "82" in flag for flag in rating.flags)


@pytest.mark.parametrize(
    "deck",
    [
        replace(PLANK, thickness_in=0.0),
        replace(PLANK, thickness_in=float("nan")),
        replace(PLANK, support_spacing_ft=-2.0),
        replace(PLANK, support_width_in=30.0),
        replace(PLANK, kind="mats"),
        replace(PLANK, thickness_in=3.5, width_in=3.0),
        replace(PANEL, material=DF_DIMENSION),
        replace(PANEL, thickness_in=2.0),
        replace(PLANK, material=PANEL_GLULAM),
        replace(NAILED, material=DF_TIMBER),
        replace(PLANK, losses=(SectionLoss(kind="surface", face="top", depth_in=1, from_ft=40, to_ft=50),)),
        replace(PLANK, losses=(loss("surface", face="top", depth_in=-1),)),
    ],
)
def test_refusals_are_the_kernels_own(deck):
    with pytest.raises(OutsideValidity):
        rated(deck, "H15")


def test_flat_timbers_are_reduced():
    """NDS Supplement 4D: No.1 beams and stringers on the wide face 0.74 on F_b (memory)."""
    value = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="beams and stringers")
    deck = replace(PLANK, material=value, thickness_in=5.0, width_in=12.0, support_spacing_ft=4.0)
    found = one(rated(deck, "H15"), "bending", "inventory")
    assert found.capacity == pytest.approx(1350 * 1.15 * 0.74 * 12 * 25 / 6 / 12)
