"""Rated units of continuous stringers against stepping on a stiffness-method beam, section by section, both methods.

Second method for all that is special to a unit: dead and live effects, two trucks and lanes, the section that governs,
bearing parts, uplift. The strength of a limit state is taken from the result itself: it is held by hand in
``test_unit_rating``. Tolerance 0.1 % for moment, shear and bearing: stepping can only fall short, by curvature times
(0.05 ft)2; its sections stand 0.25 ft apart, its variable spacings 1 ft.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from inventory.mechanics.rating import find_vehicle, rate_span, rate_structure
from tests.outside.seeds import seeds
from tests.unit.mechanics.spans import ASPHALT_3_IN, DF_GLULAM, stringer_span
from tests.unit.mechanics.stiffness_beam import STEP_FT, SteppedBeam, both_ways, peaks, worst_pair, worst_train

NEAR = 1e-3
VEHICLES = ("HS20", "TYPE3-3", "SU7")


def drawn_unit(seed):
    """2 to 4 unequal spans of one deck, sawn or glulam, two depths; inner or outside stringer.

    Every fourth unit is light, so that vehicles lift it off its bearings; the others stay where they are.
    """
    rng, sawn, light = np.random.default_rng(seed), bool(seed // 10 % 2), seed // 10 % 4 == 0
    outside = bool(rng.integers(0, 2))
    count = int(rng.integers(2, 5 if sawn else 4))
    low, high, depths = (12, 21, (16.0, 18.0)) if sawn else (20, 36, (24.0, 30.0))
    layers = (ASPHALT_3_IN,) if rng.integers(0, 2) else ()
    material = {"width_in": 6.0} if sawn else {"width_in": 8.75, "material": DF_GLULAM}
    other = 0.0 if light else float(rng.integers(60, 120))
    return tuple(
        stringer_span(
            label=str(index + 1),
            span_ft=float(rng.integers(low * 5, high * 5) / 5),
            depth_in=depths[index % 2],
            spacing_ft=3.0,
            count=8,
            exterior=outside,
            bearing_length_in=10.0,
            continuous_unit="U",
            surfacing=layers,
            other_dead_psf=other,
            deck_thickness_in=4.0,
            **material,
        )
        for index in range(count)
    )


def lane_effect(beam, lines, key, lrfr, hogs, *, hogging=False, inner=False, point="moment"):
    """Largest effect of one lane on every row; ``hogs`` rows that hog under a uniform load on all spans."""
    positive = np.maximum(lines, 0.0)
    ones = [1.0] * (len(beam.supports) - 1)
    if key == "HL93":
        truck = [t for gap in np.arange(14, 31) for t in both_ways([8e3, 32e3, 32e3], [14, gap])]
        single = np.maximum(
            worst_train(beam, lines, truck, True), worst_train(beam, lines, [[(0, 25e3), (4, 25e3)]], True)
        )
        lane = 640 * beam.uniform(positive, ones)
        best = single + lane
        if hogging or inner:
            pair = 0.9 * (worst_pair(beam, lines, both_ways([8e3, 32e3, 32e3], [14, 14]), 50.0) + lane)
            best = np.where(hogs, np.maximum(best, pair), best)
        return best
    vehicle = find_vehicle(key)
    weights = [1000 * axle for axle in vehicle.axles_kip]
    least = [gap[0] for gap in vehicle.spacings_ft]
    trains = both_ways(weights, least)
    if key == "HS20":
        trains = [t for gap in np.arange(14, 31) for t in both_ways(weights, [14, gap])]
    best = worst_train(beam, lines, trains, key == "HS20")
    if key == "HS20":
        load = {"moment": 18e3, "shear": 26e3}[point]
        lane = 640 * beam.uniform(positive, ones) + load * peaks(beam, lines, 2 if hogging else 1)
        best = np.maximum(best, lane)
    if key == "TYPE3-3" and lrfr and (hogging or inner):
        pair = both_ways([750 * a for a in vehicle.axles_kip * 2], [*least, 30, *least])
        best = np.maximum(best, worst_train(beam, lines, pair, False) + 200 * beam.uniform(positive, ones))
    return best


class Stepped:
    """One unit with one member each span, its shares and dead loads read from the ratings' own records."""

    def __init__(self, cases, rating, step_ft):
        self.cases, self.rating, self.kept = cases, rating, {}
        members = [case.members[0] for case in cases]
        self.beam = SteppedBeam([case.span_ft for case in cases], [m.depth_in**3 for m in members], step_ft)
        self.dc, self.dw = self._dead()
        sections = [np.arange(a, b + 1, 5) for a, b in zip(self.beam.supports, self.beam.supports[1:], strict=False)]
        self.sections = [
            np.union1d(s, [a, b]) for s, a, b in zip(sections, self.beam.supports, self.beam.supports[1:], strict=False)
        ]
        ones = [1.0] * len(cases)
        self.hogs = self.beam.uniform(self.beam.moments, ones) <= 1e-9 * self.beam.places[-1] ** 2

    def _dead(self):
        """Self weight 50 lb/ft3, 4 in deck 50 lb/ft3, 3 in asphalt 140 lb/ft3; arithmetic on the width carried."""
        dc, dw = [], []
        for case in self.cases:
            member = case.members[0]
            width = 3.0 if not member.exterior else 1.5 + (case.deck_width_ft - 7 * 3.0) / 2
            dc.append(member.width_in * member.depth_in / 144 * 50 + (4 / 12 * 50 + case.other_dead_psf) * width)
            dw.append(3 / 12 * 140 * width if case.surfacing else 0.0)
        return dc, dw

    def uplift_levels(self, result, key):
        """Whether any support lifts under this level: live times its factor against 0.90 DC."""
        lrfr = result.method == "LRFR"
        lane = lane_effect(self.beam, -self.beam.lifts, key, lrfr, np.zeros(len(self.beam.lifts), bool), point="shear")
        held = 0.9 * self.beam.uniform(self.beam.lifts, self.dc)
        share = self.share(result, "bending") / 2
        return bool(np.any(lane * share * result.live_factor > held))

    def share(self, result, state):
        """The largest share of that limit state over the unit (bending's for the uplift)."""
        return max(
            other.distribution_factor
            for span in self.rating.spans
            for other in span.results
            if (other.method, other.vehicle, other.limit_state) == (result.method, result.vehicle, state)
        )

    def factor(self, index, result):
        dead, live = self.demand(index, result)
        room = result.capacity - result.dc_factor * dead[0] - result.dw_factor * dead[1]
        with np.errstate(divide="ignore", invalid="ignore"):
            found = np.where(live > 1e-3, room / (result.live_factor * live), np.inf)
        return max(0.0, float(found.min()))

    def demand(self, index, result):
        """((DC, DW), live effect) of every candidate; lanes are kept, levels and shares differ."""
        lrfr, key, state = result.method == "LRFR", result.vehicle, result.limit_state
        g = result.distribution_factor / 2
        if state == "bearing":
            return self.bearing(index, key, lrfr, g, self.share(result, "bending") / 2)
        effect = self.shear if state == "shear" else self.moment
        if (index, state, key, lrfr) not in self.kept:
            self.kept[index, state, key, lrfr] = effect(index, state, key, lrfr)
        dead, lane = self.kept[index, state, key, lrfr]
        return dead, 0.5 * (0.6 * lane / 2 + lane * g) if state == "shear" else lane * g

    def moment(self, index, state, key, lrfr):
        rows, sign = self.sections[index], 1 if state == "bending" else -1
        lines = sign * self.beam.moments[rows]
        lane = lane_effect(self.beam, lines, key, lrfr, self.hogs[rows], hogging=sign < 0)
        return [np.maximum(self.beam.uniform(lines, w), 0.0) for w in (self.dc, self.dw)], lane

    def shear(self, index, _state, key, lrfr):
        """Both ways at min(3 d, L/4) from both ends, the section just on either side of its node; dead at d."""
        case = self.cases[index]
        depth, span = case.members[0].depth_in / 12, case.span_ft
        start, end = self.beam.supports[index], self.beam.supports[index + 1]
        steps = round(min(3 * depth, span / 4) / self.beam.step_ft)
        none = np.zeros(1, bool)
        dead, lanes = [[], []], []
        for node, inward in ((start + steps, 1), (end - steps, -1)):
            support = self.beam.right[[start]] if inward > 0 else self.beam.left[[end]]
            for sign in (1, -1):
                found = [
                    lane_effect(self.beam, sign * lines[[node]], key, lrfr, none, point="shear")[0]
                    for lines in (self.beam.left, self.beam.right)
                ]
                lanes.append(max(found))
                for at, loads in enumerate((self.dc, self.dw)):
                    there = self.beam.uniform(support, loads)[0]
                    there += (
                        inward * loads[index] * self.beam.step_ft / 2
                    )  # the node's own half step hangs on the support
                    there -= inward * loads[index] * min(depth, span / 2)
                    dead[at].append(max(0.0, sign * there))
        return [np.array(part) for part in dead], np.array(lanes)

    def bearing(self, index, key, lrfr, g_over, g_rest):
        """Both supports; a wheel over the bearing comes by the deck alone."""
        dead, lives = [[], []], []
        for support in (index, index + 1):
            line = self.beam.lifts[[support]]
            weighted = line * g_rest
            weighted[0, self.beam.supports[support]] = g_over
            inner = 0 < support < len(self.cases)
            lives.append(lane_effect(self.beam, weighted, key, lrfr, np.ones(1, bool), inner=inner, point="shear")[0])
            for at, loads in enumerate((self.dc, self.dw)):
                dead[at].append(max(0.0, self.beam.uniform(line, loads)[0]))
        return [np.array(part) for part in dead], np.array(lives)


@pytest.mark.long
@pytest.mark.parametrize("seed", seeds(40))
def test_every_factor_of_a_unit_against_stepping(seed):
    compare(drawn_unit(seed))


def test_two_trucks_in_long_spans_against_stepping():
    """Spans long enough for the second truck (HL-93) and the second Type 3-3 to add; steps of 0.25 ft."""
    case = stringer_span(
        span_ft=76.0,
        depth_in=54.0,
        width_in=12.25,
        material=DF_GLULAM,
        spacing_ft=3.0,
        count=8,
        bearing_length_in=14.0,
        continuous_unit="U",
        other_dead_psf=90.0,
        deck_thickness_in=4.0,
    )
    rating = compare((replace(case, label="1"), replace(case, label="2", span_ft=70.0)), step_ft=0.25)
    pairs = [r for r in rating.spans[0].results if r.vehicle in ("HL93", "TYPE3-3") and r.method == "LRFR"]
    alone = {r.vehicle: r.lane_effect for r in rating.spans[0].results if r.limit_state == "hogging"}
    assert max(r.lane_effect for r in pairs if r.limit_state == "hogging") > 1.2 * alone["HS20"]


def compare(cases, step_ft=STEP_FT):
    """Every factor of every span against the second method."""
    rating = rate_structure(cases, vehicles=VEHICLES)
    assert rating.is_rated, rating.reasons
    stepped = Stepped(cases, rating, step_ft)
    simple = [rate_span(replace(case, continuous_unit=""), vehicles=VEHICLES) for case in cases]
    compared = 0
    for index, span in enumerate(rating.spans):
        for result in span.results:
            expected = stepped.factor(index, result)
            if stepped.uplift_levels(result, result.vehicle) and result.limit_state != "hogging":
                expected = min(expected, _same(simple[index], result))
            assert result.rating_factor == pytest.approx(expected, rel=NEAR, abs=1e-4), (result, expected)
            compared += 1
    assert compared >= 10 * 4 * len(cases) - 8  # levels of three vehicles and HL-93, four limit states
    return rating


def _same(rating, result):
    keys = ("vehicle", "limit_state", "level", "method")
    (found,) = [one for one in rating.results if all(getattr(one, k) == getattr(result, k) for k in keys)]
    return found.rating_factor
