"""Deteriorated members and bar pressure: each rule by arithmetic, unknown counts as absent."""

from __future__ import annotations

import pytest

from inventory.mechanics.rating import (
    NotRated,
    RatingPolicy,
    SectionLoss,
    find_design_value,
    rate_span,
)
from inventory.mechanics.section import Void, rectangle_section
from tests.unit.mechanics.spans import (
    factor,
    least,
    stressed_span,
    stringer_span,
    surface,
    void,
)

# deteriorated members


def test_shear_falls_before_bending_with_internal_decay():
    """Trade fact (computed in the section example): a void takes 5 % of S but 38 % of shear strength."""
    policy = RatingPolicy(least_shell_in=0.0, least_shell_ratio=0.0)
    hollow = rate_span(stringer_span(losses=(void(2.5, 8, 0, 18),)), vehicles=("HS20",), policy=policy)
    sound = rate_span(stringer_span(), vehicles=("HS20",))
    assert 242.67 / 256 == pytest.approx(0.948, abs=0.001)
    ratio = [
        (factor(hollow, "HS20", s) * live + dead) / (factor(sound, "HS20", s) * live + dead)
        for s, live, dead in (("bending", 38400, 2362.5), ("shear", 7052, 447.2))
    ]
    assert ratio == pytest.approx([0.948, 0.617], abs=0.001)


def test_thin_shell_at_a_support_disregards_shear_and_calls_the_engineer():
    """Policy (model): a 2.5 in void leaves 1.75 in each side of 6 in, under 2 in."""
    rating = rate_span(stringer_span(losses=(void(2.5, 8, 0, 2),)), vehicles=("TYPE3",))
    assert factor(rating, "TYPE3", "shear") == 0
    assert any("shell" in flag for flag in rating.flags)
    assert rating.posting.action == "close"
    away = rate_span(stringer_span(losses=(void(2.5, 8, 8, 10),)), vehicles=("TYPE3",))
    assert factor(away, "TYPE3", "shear") > 0
    assert not any("shell" in flag for flag in away.flags)


@pytest.mark.parametrize(
    ("ratio", "lost"), [(None, 1.0), (0.0, 1.0), (0.49, 1.0), (0.50, 0.5), (0.74, 0.5), (0.75, 0.0), (1.0, 0.0)]
)
def test_drilling_resistance_decides_what_counts(ratio, lost):
    """Policy (model): under half is void, to three quarters half effective in bending, unknown counts as void."""
    loss = SectionLoss(kind="low_resistance", width_in=2, height_in=8, from_ft=6, to_ft=12, resistance_ratio=ratio)
    rating = rate_span(stringer_span(losses=(loss,)), vehicles=("H15",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    modulus = (6 * 16**3 - lost * 2 * 8**3) / 12 / 8
    assert bending.capacity == pytest.approx(1350 * (12 / 16) ** (1 / 9) * 1.15 * modulus / 12)


def test_half_effective_wood_carries_no_shear():
    policy = RatingPolicy(least_shell_in=0.0, least_shell_ratio=0.0)
    zone = {"width_in": 2.5, "height_in": 8.0, "from_ft": 0.0, "to_ft": 18.0}
    soft = SectionLoss(kind="low_resistance", resistance_ratio=0.6, **zone)
    hollow = SectionLoss(kind="void", **zone)
    soft, hollow = (
        rate_span(stringer_span(losses=(loss,)), vehicles=("H15",), policy=policy) for loss in (soft, hollow)
    )
    assert factor(soft, "H15", "shear") == pytest.approx(factor(hollow, "H15", "shear"))
    assert factor(soft, "H15", "bending") > factor(hollow, "H15", "bending")


def test_split_halves_shear_near_a_support_only():
    """Policy (model): past half the width near a support F_v is halved; through, two beams of half depth: S/2."""
    sound = rate_span(stringer_span(), vehicles=("H15",))

    def split(depth, a, b):
        loss = SectionLoss(kind="split", depth_in=depth, from_ft=a, to_ft=b)
        return rate_span(stringer_span(losses=(loss,)), vehicles=("H15",))

    def capacity(rating, state):
        return next(r.capacity for r in rating.results if r.limit_state == state and r.level == "inventory")

    assert capacity(split(2.9, 0, 3), "shear") == capacity(sound, "shear")
    assert capacity(split(3.1, 0, 3), "shear") == pytest.approx(capacity(sound, "shear") / 2)
    assert capacity(split(3.1, 8, 10), "shear") == capacity(sound, "shear")
    assert capacity(split(6.0, 0, 18), "bending") == pytest.approx(capacity(sound, "bending") / 2)
    assert capacity(split(6.0, 0, 18), "shear") == pytest.approx(capacity(sound, "shear") / 2)


def test_early_decay_steps_the_grade_down():
    """NDS Supplement 4D (checked-2nd): Douglas fir beams and stringers No.1 1350, No.2 875 psi."""
    loss = SectionLoss(kind="early_decay", from_ft=0, to_ft=18)
    rating = rate_span(stringer_span(losses=(loss,)), vehicles=("H15",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    assert bending.capacity == pytest.approx(875 * (12 / 16) ** (1 / 9) * 1.15 * 256 / 12)
    assert any("early decay" in flag for flag in rating.flags)


def test_early_decay_without_a_lower_grade_is_not_rated():
    glulam = find_design_value(species="Glulam DF/DF", grade="24F-V4", size_class="glulam beam, bending about x-x")
    loss = SectionLoss(kind="early_decay", from_ft=0, to_ft=18)
    result = rate_span(stringer_span(losses=(loss,), material=glulam), vehicles=("H15",))
    assert isinstance(result, NotRated)
    assert any("drill the member" in reason for reason in result.reasons)


def test_more_than_a_third_of_the_section_lost_calls_the_engineer():
    rating = rate_span(stringer_span(losses=(surface(5.5, "top", 8, 10),)), vehicles=("H15",))
    assert any("more than a third" in flag for flag in rating.flags)


def test_a_void_as_wide_as_the_member_leaves_no_beam():
    rating = rate_span(stringer_span(losses=(void(6, 2, 8, 10),)), vehicles=("H15",))
    assert factor(rating, "H15", "bending") == 0
    assert rating.posting.action == "close"


def test_crushed_bearing_is_rated_wet_and_flagged():
    """NDS Supplement 4D (checked-2nd): C_M 0.67 across the grain."""
    crushing = SectionLoss(kind="crushing", depth_in=0.25, from_ft=0, to_ft=1)
    dry, crushed = (
        rate_span(stringer_span(losses=losses, bearing_length_in=10, wet_service=False), vehicles=("H15",))
        for losses in ((), (crushing,))
    )
    capacity = [
        next(r.capacity for r in x.results if r.limit_state == "bearing" and r.level == "inventory")
        for x in (dry, crushed)
    ]
    assert capacity == pytest.approx([625 * 60, 625 * 0.67 * 60])
    assert any("crushed" in flag for flag in crushed.flags)


def test_bearing_reaction_by_hand():
    """Arithmetic, H15: 24 kip over the bearing by the deck as a simple beam (S 2 ft: 1 wheel line), 6 kip at 14 ft."""
    rating = rate_span(stringer_span(bearing_length_in=10), vehicles=("H15",))
    bearing = next(r for r in rating.results if r.limit_state == "bearing" and r.level == "inventory")
    truck = 24000 * 1.0 / 2 + 6000 * (18 - 14) / 18 * (2 / 3.75) / 2
    assert bearing.live_effect == pytest.approx(truck)
    assert bearing.capacity == pytest.approx(625 * 0.67 * 6 * 10)
    assert bearing.dead_effect == pytest.approx(58.3333 * 9, rel=1e-5)


def test_lost_laminations_leave_the_rest_of_the_strip():
    """Arithmetic: 3 of 1.5 in lost in a strip of 10 in and twice 12 in leave 29.5/34."""
    loss = SectionLoss(kind="lamination_lost", count=3, from_ft=0, to_ft=24)
    rating = rate_span(stressed_span(losses=(loss,)), vehicles=("HS20",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    assert bending.capacity == pytest.approx(41400 * 29.5 / 34)
    assert any("laminations" in flag for flag in rating.flags)


# bars


def test_unknown_pressure_counts_as_absent():
    unknown = rate_span(stressed_span(pressure_psi=None, butt_jointed=True), vehicles=("TYPE3",))
    zero = rate_span(stressed_span(pressure_psi=0.0, butt_jointed=True), vehicles=("TYPE3",))
    assert least(unknown) == least(zero) == 0
    assert unknown.posting.action == "close"
    assert any("counted as absent" in flag for flag in unknown.flags)


@pytest.mark.parametrize("jointed", [True, None])
def test_butt_jointed_laminations_without_pressure_carry_nothing(jointed):
    rating = rate_span(stressed_span(pressure_psi=35.0, butt_jointed=jointed), vehicles=("TYPE3",))
    assert least(rating) == 0
    assert any("butt-jointed" in flag for flag in rating.flags)
    assert rating.posting.action == "close"


def test_butt_jointed_laminations_with_proven_nails_are_rated_loose():
    rating = rate_span(
        stressed_span(pressure_psi=35.0, butt_jointed=True, interconnection_proven=True), vehicles=("TYPE3",)
    )
    assert least(rating) > 0


def test_between_need_and_floor_the_distribution_stays_and_retensioning_is_due():
    """Policy (model): 35 psi against a need of 30 rates as 60 psi does, with a flag."""
    at_35 = rate_span(stressed_span(pressure_psi=35.0, needed_pressure_psi=30.0), vehicles=("TYPE3",))
    at_60 = rate_span(stressed_span(pressure_psi=60.0), vehicles=("TYPE3",))
    assert least(at_35) == least(at_60)
    assert any("re-tension is due now" in flag for flag in at_35.flags)
    assert at_60.flags == ()


@pytest.mark.parametrize(("pressure", "closes"), [(19.9, True), (20.0, False)])
def test_closing_is_recommended_below_20_psi_whatever_the_factors(pressure, closes):
    rating = rate_span(stressed_span(pressure_psi=pressure), vehicles=("TYPE3",))
    assert (rating.posting.action == "close") is closes


def test_the_edge_of_a_void_off_the_axis_governs_shear():
    """Mechanics, by hand: 6 x 16 in, void 3 x 4 in centred 4 in above mid-depth (10 to 14 in from the soffit).

    A 84, first moment 96 x 8 - 12 x 12 = 624, axis 7.4286; I = 2048 + 96 x 0.5714^2 - 16 - 12 x 4.5714^2 = 1812.57.
    At the axis b = 6, Q = 6 x 8.5714 x 4.2857 - 12 x 4.5714 = 165.55: 65.7 in2. At the void's lower edge b = 3,
    Q = 36 x 5.5714 - 12 x 4.5714 = 145.71: 37.3 in2.
    """
    net = rectangle_section(width_in=6, depth_in=16, voids=(Void(width_in=3, height_in=4, offset_in=4),))
    assert net.centroid_in == pytest.approx(624 / 84)
    assert net.inertia_in4 == pytest.approx(1812.571, abs=0.001)
    assert net.shear_in2 == pytest.approx(1812.571 * 3 / 145.714, abs=0.01)
    assert net.shear_in2 < 0.6 * 1812.571 * 6 / 165.551


def test_the_owners_limits_of_drilling_count():
    """Setting: what is void and what is sound follows the owner's two limits, here 40 and 90 % of sound wood."""
    loss = SectionLoss(kind="low_resistance", width_in=2, height_in=8, from_ft=6, to_ft=12, resistance_ratio=0.45)
    policy = RatingPolicy(drilled_void_below=0.40, drilled_sound_from=0.90)
    usual, lenient = (
        rate_span(stringer_span(losses=(loss,)), vehicles=("H15",), policy=p) for p in (RatingPolicy(), policy)
    )
    modulus = [(6 * 16**3 - part * 2 * 8**3) / 12 / 8 for part in (1.0, 0.5)]
    capacity = [
        next(r.capacity for r in x.results if r.limit_state == "bending" and r.level == "inventory")
        for x in (usual, lenient)
    ]
    assert capacity[1] / capacity[0] == pytest.approx(modulus[1] / modulus[0])


def test_a_hole_off_the_axis_never_lifts_the_shear_strength():
    """Monotony: a slit 0.01 in wide high in the section lowers Q more than I; 2 b d/3 = 64 in2 stays the most."""
    sound = rectangle_section(width_in=6, depth_in=16)
    slit = rectangle_section(width_in=6, depth_in=16, voids=(Void(width_in=0.01, height_in=4, offset_in=4),))
    assert sound.shear_in2 == pytest.approx(64)
    assert slit.shear_in2 <= sound.shear_in2
