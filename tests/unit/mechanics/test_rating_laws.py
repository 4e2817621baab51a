"""Laws of span rating: more loss never helps, more pressure never hurts; the search by a second method."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.beam import dead_moment_lbft, moment_at
from inventory.mechanics.rating import (
    DeadLayer,
    Vehicle,
    find_vehicle,
    rate_span,
)
from tests.unit.mechanics.spans import (
    factor,
    least,
    stressed_span,
    stringer_span,
    surface,
    void,
)

SET = ("HS20", "TYPE3", "TYPE3-3")
STATES = ("bending", "shear")


# the search over sections, by a second method


@pytest.mark.parametrize("vehicle", SET)
@pytest.mark.parametrize("zone", [(0.0, 3.0), (4.0, 6.5), (10.0, 18.0)])
def test_governing_section_against_a_dense_sweep(vehicle, zone):
    """Second method: (C - D)/L at 3,601 sections, a 4 x 10 in void in the zone, S by hand; the least is the same."""
    loss = void(3.0, 10.0, *zone)
    rating = rate_span(stringer_span(losses=(loss,)), vehicles=(vehicle,))
    stress = 1350 * (12 / 16) ** (1 / 9) * 1.15
    sound, hollow = 6 * 16**2 / 6, (6 * 16**3 - 3 * 10**3) / 12 / 8
    swept = []
    for x in np.linspace(0, 18, 3601)[1:-1]:
        inside = zone[0] <= x <= zone[1]
        capacity = stress * (hollow if inside else sound) / 12
        dead = dead_moment_lbft(load_plf=58.3333333, span_ft=18, station_ft=x)
        live = moment_at(vehicle=find_vehicle(vehicle), span_ft=18, station_ft=float(x)).value * (2 / 3.75) / 2
        swept.append((capacity - dead) / live)
    assert factor(rating, vehicle, "bending") == pytest.approx(min(swept), rel=2e-4)
    assert factor(rating, vehicle, "bending") <= min(swept) * (1 + 1e-6)


def test_edge_of_a_zone_governs_when_the_zone_is_outside_midspan():
    """Law: moment grows toward midspan, so the zone's inner edge is its worst section."""
    rating = rate_span(stringer_span(losses=(void(5.0, 12.0, 1.0, 5.0),)), vehicles=("HS20",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    assert bending.station_ft == pytest.approx(5.0)


# monotony


@settings(max_examples=20, deadline=None)
@given(
    st.floats(min_value=0, max_value=2.5),
    st.floats(min_value=0, max_value=1.0),
    st.floats(min_value=0, max_value=10),
    st.floats(min_value=0.1, max_value=8),
)
def test_more_surface_loss_never_raises_a_factor(depth, more, start, length):
    end = min(18.0, start + length)
    ratings = [
        rate_span(stringer_span(losses=(surface(d, "bottom", start, end),)), vehicles=("TYPE3",))
        for d in (depth, depth + more)
    ]
    for state in STATES:
        assert factor(ratings[1], "TYPE3", state) <= factor(ratings[0], "TYPE3", state) + 1e-9


@settings(max_examples=20, deadline=None)
@given(
    st.floats(min_value=0, max_value=5),
    st.floats(min_value=0, max_value=0.9),
    st.floats(min_value=0, max_value=12),
    st.floats(min_value=0, max_value=17),
)
def test_a_wider_void_never_raises_a_factor(width, more, height, start):
    ratings = [
        rate_span(stringer_span(losses=(void(w, height, start, start + 1.0),)), vehicles=("TYPE3",))
        for w in (width, width + more)
    ]
    for state in STATES:
        assert factor(ratings[1], "TYPE3", state) <= factor(ratings[0], "TYPE3", state) + 1e-9


@settings(max_examples=15, deadline=None)
@given(
    st.floats(min_value=0, max_value=150), st.floats(min_value=0, max_value=40), st.sampled_from([True, False, None])
)
def test_more_bar_pressure_never_lowers_a_factor(pressure, more, jointed):
    low, high = (
        rate_span(stressed_span(pressure_psi=p, butt_jointed=jointed), vehicles=("TYPE3",))
        for p in (pressure, pressure + more)
    )
    assert least(high) >= least(low) - 1e-9


@settings(max_examples=15, deadline=None)
@given(st.floats(min_value=0, max_value=8), st.floats(min_value=0.1, max_value=4))
def test_more_surfacing_never_raises_a_factor(thickness, more):
    def span(t):
        layer = DeadLayer(name="asphalt", thickness_in=t, unit_weight_pcf=140, measured=True)
        return stringer_span(surfacing=(layer,))

    thin, thick = (rate_span(span(t), vehicles=("TYPE3",)) for t in (thickness, thickness + more))
    for state in STATES:
        assert factor(thick, "TYPE3", state) < factor(thin, "TYPE3", state)


@settings(max_examples=15, deadline=None)
@given(st.floats(min_value=10, max_value=30), st.floats(min_value=0.5, max_value=6))
def test_longer_spans_never_rate_higher_in_bending(span, more):
    short, long = (rate_span(stringer_span(span_ft=s), vehicles=("TYPE3",)) for s in (span, span + more))
    assert factor(long, "TYPE3", "bending") <= factor(short, "TYPE3", "bending") + 1e-9


def test_reversing_a_vehicle_or_mirroring_the_loss_changes_nothing():
    """Symmetry of the simple span."""
    forward = Vehicle(id="f", name="f", axles_kip=(8, 20, 14), spacings_ft=((11, 11), (5, 5)))
    back = Vehicle(id="f", name="f", axles_kip=(14, 20, 8), spacings_ft=((5, 5), (11, 11)))
    near = rate_span(stringer_span(losses=(void(3, 8, 1, 4),)), vehicles=(forward,))
    mirrored = rate_span(stringer_span(losses=(void(3, 8, 14, 17),)), vehicles=(back,))
    for state in STATES:
        assert factor(near, "f", state) == pytest.approx(factor(mirrored, "f", state), rel=1e-6)


def test_operating_is_above_inventory_and_by_a_third_without_dead_load():
    """MBE 6B.5.2.7 (memory): 1.33 times the stress; with dead load the factor grows by more than 1.33."""
    rating = rate_span(stringer_span(), vehicles=SET)
    for vehicle in SET:
        for state in STATES:
            low, high = factor(rating, vehicle, state), factor(rating, vehicle, state, "operating")
            assert high > 1.33 * low
