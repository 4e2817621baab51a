"""Seeded stringer spans rated end to end, their dead and live effects against the general frame library.

One stringer is a member of the frame under its dead load (weights by hand), the vehicle is slid over the library's
influence lines, and the rating equation is worked with the library's effects: bending at the section the kernel found
worst and at 19 others, shear by the wood rule at x_v, bearing at the support. Strengths are the kernel's own here (they
are held in tests/published). Tolerance 0.1 %.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

import pytest

from inventory.mechanics.beam import end_reaction_parts
from inventory.mechanics.rating import DeadLayer, LimitStateResult, MemberCase, SpanCase, find_vehicle, rate_span
from tests.outside.frame import Frame
from tests.outside.seeds import seeds
from tests.outside.test_line_members import Deviations, swept
from tests.unit.mechanics.spans import DF_GLULAM, DF_TIMBER

VEHICLES = ("HS20", "TYPE3", "TYPE3S2", "SU6", "NRL", "EV3")
LANE_DIVISOR = {"ASR": {1: 4.0, 2: 3.75}, "LRFR": {1: 6.7, 2: 6.7}}
"""Plank floors. Wheel lines S/D (Standard Specifications 3.23.1) and lanes S/D (LRFD 4.6.2.2.2a); one lane, 6.7, is
the worse of one lane and several there. All memory."""


@dataclass(frozen=True)
class Bridge:
    case: SpanCase
    vehicle: str
    dc_plf: float
    dw_plf: float

    @property
    def span(self) -> float:
        return self.case.span_ft

    @property
    def member(self) -> MemberCase:
        return self.case.members[0]

    def wheel_lines(self, method: str) -> float:
        share = self.member.spacing_ft / LANE_DIVISOR[method][self.case.lanes_loaded]
        return share if method == "ASR" else 2.0 * share


def bridge(seed: int) -> Bridge:
    """Inner stringers under plank, sawn or glulam, with asphalt or without; weights 50 and 140 lb/ft3 by hand."""
    pick = random.Random(4000 + seed)
    glulam = pick.random() < 0.5
    wide, deep = pick.choice([(6.75, 27.0), (8.75, 36.0)] if glulam else [(6.0, 16.0), (8.0, 18.0)])
    span = round(pick.uniform(25, 60) if glulam else pick.uniform(11, 26), 2)
    spacing, plank, asphalt = round(pick.uniform(1.4, 4.5), 2), pick.choice([3.0, 4.0]), pick.choice([0.0, 2.0, 3.5])
    member = MemberCase(
        label="s",
        role="stringer",
        material=DF_GLULAM if glulam else DF_TIMBER,
        width_in=wide,
        depth_in=deep,
        spacing_ft=spacing,
        bearing_length_in=10.0,
    )
    layer = DeadLayer(name="asphalt", thickness_in=asphalt, unit_weight_pcf=140.0, measured=True)
    case = SpanCase(
        label="1",
        span_ft=span,
        system="stringer",
        lanes_loaded=pick.choice([1, 2]),
        roadway_width_ft=24.0,
        deck_width_ft=26.0,
        members=(member,),
        deck_kind="plank",
        deck_thickness_in=plank,
        surfacing=(layer,) if asphalt else (),
    )
    own = wide * deep / 144 * 50 + plank / 12 * 50 * spacing
    return Bridge(case=case, vehicle=pick.choice(VEHICLES), dc_plf=own, dw_plf=asphalt / 12 * 140 * spacing)


class Stringer:
    """The stringer in the frame library with a cut at one section, dead load on it, solved."""

    def __init__(self, one: Bridge, x_ft: float):
        self.one, self.x = one, x_ft
        self.frame = Frame((one.span,), (1e8,), (x_ft,) if 0 < x_ft < one.span else ())
        self.frame.load("dc", [], [(0.0, one.span, one.dc_plf)])
        self.frame.load("dw", [], [(0.0, one.span, one.dw_plf)] if one.dw_plf else [])
        self.frame.solve()

    def effect(self, kind: str, case: str) -> float:
        if kind == "reaction":
            return self.frame.reaction(0, case)
        return getattr(self.frame, kind)(0, self.x, case)

    def dead(self, kind: str) -> tuple[float, float]:
        return self.effect(kind, "dc"), self.effect(kind, "dw") if self.one.dw_plf else 0.0

    def lane(self, kind: str) -> float:
        line = self.frame.line(lambda case: self.effect(kind, case))
        return swept(self.frame, line, 1, find_vehicle(self.one.vehicle), kind)


def factor(result: LimitStateResult, dead: tuple[float, float], live: float) -> float:
    """RF = (C - dc DC - dw DW)/(live L): Manual for Bridge Evaluation 6A.4.2.1, 6B.4.1 (memory; the form checked)."""
    room = result.capacity - result.dc_factor * dead[0] - result.dw_factor * dead[1]
    return max(0.0, room / (result.live_factor * live))


def look_at_bending(one: Bridge, result: LimitStateResult, grid, found: Deviations, where: str) -> None:
    share = one.wheel_lines(result.method) / 2.0
    here = Stringer(one, result.station_ft)
    dead, lane = here.dead("moment"), here.lane("moment")
    found.look("lane moment", result.lane_effect, lane, lane, where)
    found.look("live moment", result.live_effect, lane * share, lane * share, where)
    found.look("dead moment", result.dead_effect, sum(dead), sum(dead), where)
    expected = factor(result, dead, lane * share)
    assert result.rating_factor == pytest.approx(expected, rel=1e-3, abs=1e-6), where
    # The section found is the worst: no other rates lower (the walk under-rates the vehicle, hence the 0.1 %).
    for other_dead, other_lane in grid:
        assert result.rating_factor <= factor(result, other_dead, other_lane * share) * 1.001 + 1e-9, where


def look_at_shear(one: Bridge, result: LimitStateResult, found: Deviations, where: str) -> None:
    """V_LL = 0.50 (0.60 V_LU + V_LD) at x_v = min(3 d, L/4), dead shear d from the support (13.6.5, memory)."""
    depth, g = one.member.depth_in / 12.0, one.wheel_lines(result.method)
    x_v = min(3.0 * depth, one.span / 4.0)
    assert result.station_ft == pytest.approx(x_v)
    lane = Stringer(one, x_v).lane("shear")
    live = 0.5 * (0.6 * lane / 2.0 + lane / 2.0 * g)
    dead = Stringer(one, depth).dead("shear")
    found.look("live shear", result.live_effect, live, live, where)
    found.look("dead shear", result.dead_effect, sum(dead), sum(dead), where)
    assert result.rating_factor == pytest.approx(factor(result, dead, live), rel=1e-3, abs=1e-6), where


def look_at_bearing(one: Bridge, result: LimitStateResult, found: Deviations, where: str) -> None:
    """The lane's reaction is the library's for one loading the kernel weighs; the dead reaction always."""
    here = Stringer(one, 0.0)
    dead, lane = here.dead("reaction"), here.lane("reaction")
    found.look("dead reaction", result.dead_effect, sum(dead), sum(dead), where)
    parts = end_reaction_parts(vehicle=find_vehicle(one.vehicle), span_ft=one.span)
    most = max(over + rest for over, rest in parts)
    found.look("largest reaction", most, lane, lane, where)
    assert result.lane_effect <= most * (1 + 1e-9), where
    assert result.rating_factor == pytest.approx(factor(result, dead, result.live_effect), rel=1e-3, abs=1e-6), where


@pytest.mark.long
def test_40_stringer_spans_end_to_end(capsys):
    """Source: a general frame library (independent), rules as named above (memory). Held to 0.1 %."""
    found, looked = Deviations(), 0
    for seed in seeds(40):
        one = bridge(seed)
        rating = rate_span(one.case, vehicles=(one.vehicle,))
        assert rating.is_rated, rating.reasons
        sections = [Stringer(one, one.span * step / 20) for step in range(1, 20)]
        grid = [(each.dead("moment"), each.lane("moment")) for each in sections]
        for result in rating.results:
            if result.vehicle != one.vehicle:
                continue
            where = f"span {seed}, {one.vehicle}, {result.method} {result.level} {result.limit_state}"
            looked += 1
            if result.limit_state == "bending":
                look_at_bending(one, result, grid, found, where)
            elif result.limit_state == "shear":
                look_at_shear(one, result, found, where)
            else:
                look_at_bearing(one, result, found, where)
    assert looked >= 6 * len(seeds(40))
    with capsys.disabled():
        print(f"\n{looked} results of {len(seeds(40))} stringer spans, {found.words()}")
