"""Live load effects against a second method and against laws of statics."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.beam import (
    absolute_moment,
    end_reaction_parts,
    moment_at,
    reactions_lb,
    shear_at,
    truck_deflection_in,
)
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import STANDARD_VEHICLES, LaneLoad, Vehicle, find_vehicle

axle = st.floats(min_value=1, max_value=40)
gap = st.floats(min_value=3, max_value=25)


@st.composite
def trucks(draw) -> Vehicle:
    axles = draw(st.lists(axle, min_size=1, max_size=6))
    gaps = draw(st.lists(gap, min_size=len(axles) - 1, max_size=len(axles) - 1))
    return Vehicle(id="own", name="own", axles_kip=tuple(axles), spacings_ft=tuple((g, g) for g in gaps))


def slid(vehicle: Vehicle, span: float, x: float, kind: str, steps: int = 4001) -> float:
    """Second method: slide the train over the span in small steps, both ways, and read the influence line."""
    best = 0.0
    for pick in (0, 1):
        gaps = [g[pick] for g in vehicle.spacings_ft]
        offsets = np.concatenate([[0.0], np.cumsum(gaps)])
        weights = np.array(vehicle.axles_kip) * 1000.0
        for places in (offsets, offsets[-1] - offsets):
            first = np.linspace(-offsets[-1], span, steps)
            at = first[:, None] + places[None, :]
            on = (at >= 0) & (at <= span)
            if kind == "moment":
                line = np.where(at <= x, at * (span - x) / span, x * (span - at) / span)
            else:
                line = np.where(at >= x, (span - at) / span, -at / span)
            best = max(best, float((np.where(on, line, 0.0) * weights).sum(axis=1).max()))
    return best


@settings(max_examples=40, deadline=None)
@given(trucks(), st.floats(min_value=8, max_value=90), st.floats(min_value=0.02, max_value=0.98))
def test_moment_at_a_section_against_sliding(vehicle, span, part):
    """Sliding can only fall short, by a step (about 1/4000 of the travel) times the steepest slope."""
    x = part * span
    exact = moment_at(vehicle=vehicle, span_ft=span, station_ft=x).value
    step = (span + sum(g[0] for g in vehicle.spacings_ft)) / 4000
    found = slid(vehicle, span, x, "moment")
    assert found <= exact * (1 + 1e-9) + 1e-6
    assert found >= exact - vehicle.gross_kip * 1000 * step


@settings(max_examples=40, deadline=None)
@given(trucks(), st.floats(min_value=8, max_value=90), st.floats(min_value=0.0, max_value=0.95))
def test_shear_at_a_section_against_sliding(vehicle, span, part):
    x = part * span
    exact = shear_at(vehicle=vehicle, span_ft=span, station_ft=x).value
    step = (span + sum(g[0] for g in vehicle.spacings_ft)) / 4000
    found = slid(vehicle, span, x, "shear")
    assert found <= exact * (1 + 1e-9) + 1e-6
    assert found >= exact - vehicle.gross_kip * 1000 * step / span - 1e-6


@settings(max_examples=25, deadline=None)
@given(trucks(), st.floats(min_value=8, max_value=90))
def test_absolute_moment_is_the_top_of_the_envelope(vehicle, span):
    """Second method: the largest of the section moments over 2,000 sections, never above and close below."""
    top = absolute_moment(vehicle=vehicle, span_ft=span)
    sections = np.linspace(0, span, 2001)[1:-1]
    swept = max(moment_at(vehicle=vehicle, span_ft=span, station_ft=float(x)).value for x in sections[::4])
    assert swept <= top.value * (1 + 1e-9)
    assert swept >= top.value * 0.9985
    again = moment_at(vehicle=vehicle, span_ft=span, station_ft=top.station_ft).value
    assert again == pytest.approx(top.value, rel=1e-9)


def test_variable_spacing_against_trying_every_foot():
    """HS20 rear spacing 14 to 30 ft: 161 spacings slid one by one give no more than the two ends do."""
    full = find_vehicle("HS20")
    for span, x in ((24.0, 11.0), (60.0, 9.0), (60.0, 28.0), (90.0, 40.0)):
        best_moment = best_shear = 0.0
        for spacing in np.linspace(14, 30, 161):
            one = Vehicle(id="s", name="s", axles_kip=full.axles_kip, spacings_ft=((14, 14), (spacing, spacing)))
            best_moment = max(best_moment, moment_at(vehicle=one, span_ft=span, station_ft=x).value)
            best_shear = max(best_shear, shear_at(vehicle=one, span_ft=span, station_ft=x).value)
        free = Vehicle(id="v", name="v", axles_kip=full.axles_kip, spacings_ft=full.spacings_ft)
        assert moment_at(vehicle=free, span_ft=span, station_ft=x).value == pytest.approx(best_moment)
        assert shear_at(vehicle=free, span_ft=span, station_ft=x).value == pytest.approx(best_shear)


def test_two_equal_axles_in_exact_fractions():
    """Handbook, equal pair P at distance a: M = P/(2L) (L - a/2)^2 while a < 0.586 L; in exact fractions."""
    span, a, load = Fraction(30), Fraction(4), Fraction(24000)
    pair = Vehicle(id="p", name="pair", axles_kip=(24, 24), spacings_ft=((4, 4),))
    expected = load / (2 * span) * (span - a / 2) ** 2
    assert absolute_moment(vehicle=pair, span_ft=30).value == pytest.approx(float(expected), rel=1e-12)
    assert shear_at(vehicle=pair, span_ft=30, station_ft=0).value == pytest.approx(float(load * (2 - a / span)))


@settings(max_examples=50, deadline=None)
@given(trucks(), st.floats(min_value=8, max_value=90), st.floats(min_value=-40, max_value=90), st.booleans())
def test_reactions_are_in_equilibrium(vehicle, span, first, reverse):
    """Law: reactions sum to the axles on the span, and moments about the near support balance."""
    near, far = reactions_lb(vehicle=vehicle, span_ft=span, first_axle_ft=first, reverse=reverse)
    gaps, weights = [g[0] for g in vehicle.spacings_ft], [1000 * w for w in vehicle.axles_kip]
    if reverse:
        gaps, weights = gaps[::-1], weights[::-1]
    places = [first + sum(gaps[:i]) for i in range(len(weights))]
    on = [(p, w) for p, w in zip(places, weights, strict=True) if 1e-6 < p < span - 1e-6]
    edge = sum(w for p, w in zip(places, weights, strict=True) if abs(p) <= 1e-6 or abs(p - span) <= 1e-6)
    if edge:
        return
    assert near + far == pytest.approx(sum(w for _p, w in on), abs=1e-6)
    assert far * span == pytest.approx(sum(p * w for p, w in on), abs=1e-3)


@settings(max_examples=30, deadline=None)
@given(trucks(), st.floats(min_value=8, max_value=90), st.floats(min_value=0.02, max_value=0.98))
def test_turning_the_vehicle_round_changes_nothing(vehicle, span, part):
    """Symmetry: both directions are tried; and the mirrored section has the same moment."""
    turned = Vehicle(
        id="turned",
        name="turned",
        axles_kip=vehicle.axles_kip[::-1],
        spacings_ft=vehicle.spacings_ft[::-1],
    )
    x = part * span
    here = moment_at(vehicle=vehicle, span_ft=span, station_ft=x).value
    assert moment_at(vehicle=turned, span_ft=span, station_ft=x).value == pytest.approx(here, rel=1e-9)
    assert moment_at(vehicle=vehicle, span_ft=span, station_ft=span - x).value == pytest.approx(here, rel=1e-9)
    shear = shear_at(vehicle=vehicle, span_ft=span, station_ft=x).value
    assert shear_at(vehicle=turned, span_ft=span, station_ft=x).value == pytest.approx(shear, rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(trucks(), st.floats(min_value=8, max_value=80), st.floats(min_value=0.5, max_value=20))
def test_longer_spans_see_no_less(vehicle, span, more):
    """Monotony: moment and end reaction do not fall with span."""
    short, long = (absolute_moment(vehicle=vehicle, span_ft=s).value for s in (span, span + more))
    assert long >= short * (1 - 1e-12)
    ends = [shear_at(vehicle=vehicle, span_ft=s, station_ft=0).value for s in (span, span + more)]
    assert ends[1] >= ends[0] * (1 - 1e-12)


@settings(max_examples=20, deadline=None)
@given(trucks(), st.floats(min_value=8, max_value=80), st.floats(min_value=1.1, max_value=3))
def test_effects_grow_with_the_weight_in_proportion(vehicle, span, times):
    """Linearity."""
    heavy = Vehicle(
        id="heavy",
        name="heavy",
        axles_kip=tuple(a * times for a in vehicle.axles_kip),
        spacings_ft=vehicle.spacings_ft,
    )
    base, more = (absolute_moment(vehicle=v, span_ft=span).value for v in (vehicle, heavy))
    assert more == pytest.approx(times * base, rel=1e-9)


@pytest.mark.parametrize("key", sorted(STANDARD_VEHICLES))
def test_end_reaction_parts_add_up_to_the_end_shear(key):
    """Statics: the largest sum of the two parts is the largest shear just inside the bearing."""
    vehicle = find_vehicle(key)
    for span in (10.0, 24.0, 60.0):
        most = max(over + rest for over, rest in end_reaction_parts(vehicle=vehicle, span_ft=span))
        assert most == pytest.approx(shear_at(vehicle=vehicle, span_ft=span, station_ft=0).value)


def test_lane_load_governs_long_spans_and_truck_short_ones():
    """Arithmetic at 100 ft: 0.48 x 100^2/8 + 13.5 x 100/4 = 937.5 kip-ft, above the truck."""
    h15 = find_vehicle("H15")
    assert absolute_moment(vehicle=h15, span_ft=20).load == "truck"
    long = absolute_moment(vehicle=h15, span_ft=100)
    assert (long.load, long.value) == ("lane", pytest.approx(937500))


def test_relieving_axles_are_left_out_where_the_vehicle_says_so():
    """Arithmetic: 10 and 20 kip at 10 ft, span 40, section 20: with the 10 kip left of it 20/2 - 10/4, without 20/2."""
    plain = Vehicle(id="a", name="a", axles_kip=(10, 20), spacings_ft=((10, 10),))
    dropped = Vehicle(id="b", name="b", axles_kip=(10, 20), spacings_ft=((10, 10),), relieving_axles_dropped=True)
    # turned round, the 20 kip axle is at the section and the 10 kip one 10 ft beyond it: 10 + 10 x 10/40
    assert shear_at(vehicle=plain, span_ft=40, station_ft=20).value == pytest.approx(12500)
    only = Vehicle(id="c", name="c", axles_kip=(20, 10, 20), spacings_ft=((10, 10), (10, 10)))
    free = Vehicle(
        id="d", name="d", axles_kip=(20, 10, 20), spacings_ft=((10, 10), (10, 10)), relieving_axles_dropped=True
    )
    assert shear_at(vehicle=dropped, span_ft=40, station_ft=20).value == pytest.approx(12500)
    # 20 kip at 30 ft, 10 kip at 20 ft, 20 kip at 10 ft: (5 + 5 - 5) = 5; 20 at 20, 10 at 30, 20 at 40: 10 + 2.5
    assert shear_at(vehicle=only, span_ft=40, station_ft=20).value == pytest.approx(12500)
    # near the far end 35 ft: 20 at 35, 10 left at 25, 20 left at 15 would take 6.25 + 7.5 off 2.5
    assert shear_at(vehicle=only, span_ft=40, station_ft=35).value == pytest.approx(2500)
    assert shear_at(vehicle=free, span_ft=40, station_ft=35).value == pytest.approx(2500)


def test_deflection_of_one_axle_at_midspan():
    """Handbook: P L^3 / (48 E I): 10,000 lb, 20 ft, E 1.6e6, I 2048 in4."""
    axle = Vehicle(id="one", name="one", axles_kip=(10,), spacings_ft=())
    found = truck_deflection_in(vehicle=axle, span_ft=20, e_psi=1.6e6, inertia_in4=2048, share=1.0)
    assert found == pytest.approx(10000 * 240**3 / (48 * 1.6e6 * 2048), rel=1e-6)


@pytest.mark.parametrize("span", [0.0, -1.0, 200.1, float("nan"), float("inf")])
def test_spans_out_of_range_are_refused(span):
    with pytest.raises(OutsideValidity, match="span is"):
        absolute_moment(vehicle=find_vehicle("H15"), span_ft=span)


def test_stations_off_the_span_are_refused():
    with pytest.raises(OutsideValidity, match="station"):
        moment_at(vehicle=find_vehicle("H15"), span_ft=20, station_ft=20.5)


@pytest.mark.parametrize(
    "wrong",
    [
        {"axles_kip": (10, -5), "spacings_ft": ((4, 4),)},
        {"axles_kip": (10, 5), "spacings_ft": ()},
        {"axles_kip": (10, 5), "spacings_ft": ((6, 4),)},
        {"axles_kip": (10, 5, 5), "spacings_ft": ((4, 6), (4, 6))},
        {"axles_kip": (), "spacings_ft": ()},
        {"axles_kip": (10, float("nan")), "spacings_ft": ((4, 4),)},
    ],
)
def test_vehicles_that_cannot_be_are_refused(wrong):
    with pytest.raises(OutsideValidity):
        Vehicle(id="w", name="w", **wrong)


def test_lane_load_of_an_own_vehicle_is_used():
    """Arithmetic: w L2/8 + P L/4 = 1 x 400/8 + 10 x 20/4 = 100 kip-ft."""
    lane = LaneLoad(uniform_klf=1.0, moment_kip=10.0, shear_kip=12.0)
    light = Vehicle(id="l", name="l", axles_kip=(1,), spacings_ft=(), lane=lane)
    assert absolute_moment(vehicle=light, span_ft=20).value == pytest.approx(100000)
    assert shear_at(vehicle=light, span_ft=20, station_ft=0).value == pytest.approx(22000)
