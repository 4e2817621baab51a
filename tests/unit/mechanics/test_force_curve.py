"""Rating as a function of bar force: held against the rating itself, statics by hand, laws, and invented functions.

The curve repeats the rating at other pressures, so every point of it must be what a rating at that pressure says; the
root search and the search for jumps are held against functions whose roots and jumps are known beforehand.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import (
    DeadLayer,
    NotRated,
    RatingPolicy,
    VehicleRating,
    rate_structure,
)
from inventory.mechanics.rating.cases import CapCase
from inventory.mechanics.rating.force_curve import ForceCurve, force_curve, traced_curve
from inventory.mechanics.rating.hardware import BarHardware
from inventory.mechanics.rating.needed import needed_pressure
from inventory.mechanics.rating.posting import posting_suggestion
from inventory.mechanics.rating.posting_steps import curve_with_thresholds, posting_thresholds
from inventory.mechanics.rating.pressure_ratings import PressureRatings, with_pressure
from tests.unit.mechanics.spans import DF_TIMBER, stressed_span, stringer_span
from tests.unit.mechanics.test_stressed_beams import beam_span

POLICY = RatingPolicy()
FEW = ("H15", "TYPE3", "SU4", "SU7", "EV3")
GRAVEL_8_IN = DeadLayer(name="gravel", thickness_in=8.0, unit_weight_pcf=130.0, measured=True)
HEAVY_BOX = beam_span(100.0, True, surfacing=(GRAVEL_8_IN,), span_ft=46.0)


def curve_of(case, vehicles=("H15", "TYPE3", "SU7"), **more) -> ForceCurve:
    return force_curve(cases=(case,), vehicles=vehicles, policy=POLICY, span_label="1", **more)


def rating_at(case, psi: float, vehicles):
    case = replace(case, bars=replace(case.bars, least_local_pressure_psi=psi))
    return rate_structure((case,), vehicles, POLICY)


@pytest.mark.parametrize("case", [stressed_span(), beam_span(), beam_span(box=True)], ids=["deck", "T", "box"])
def test_every_point_of_the_curve_is_a_rating(case):
    vehicles = ("H15", "TYPE3", "SU7")
    curve = curve_of(case, vehicles)
    for piece in curve.pieces:
        for at, psi in list(enumerate(piece.pressures_psi))[1:-1:3]:
            rating = rating_at(case, psi, vehicles)
            for row in rating.governing:
                line = next(ln for ln in piece.lines if (ln.vehicle, ln.series) == (row.vehicle, "posting"))
                assert line.factors[at] == pytest.approx(row.posting_factor, rel=1e-12)


REFINED = stressed_span(distribution="refined", span_ft=32.0)
KINDS = [stressed_span(butt_jointed=True), beam_span(), HEAVY_BOX, REFINED]


@pytest.mark.parametrize("case", KINDS, ids=["jointed deck", "T", "box", "deck as a plate"])
@pytest.mark.parametrize("method", ["ASR", "LRFR"])
def test_less_force_never_rates_higher(case, method):
    """A law (monotony), every vehicle at every level of both methods: read off the curve, nothing clipped."""
    policy = replace(POLICY, posting_method=method)
    curve = force_curve(cases=(case,), vehicles=("H15", "TYPE3", "SU7", "EV3"), policy=policy, span_label="1")
    assert {line.series for line in curve.pieces[0].lines} >= {"inventory", "operating", "legal", "design inventory"}
    assert curve.falls() == ()
    assert curve.pieces[-1].lines[0].factors[-1] > curve.pieces[0].lines[0].factors[0]


@settings(max_examples=10, deadline=None)
@given(st.floats(16.0, 40.0), st.floats(8.0, 16.0), st.floats(25.0, 60.0), st.booleans())
def test_less_force_never_rates_higher_on_any_deck(span_ft, depth_in, need_psi, jointed):
    case = stressed_span(span_ft=span_ft, needed_pressure_psi=need_psi, butt_jointed=jointed)
    case = replace(case, members=(replace(case.members[0], depth_in=depth_in),))
    assert curve_of(case, ("TYPE3", "EV3")).falls() == ()


def test_a_deck_jumps_at_its_need_and_nowhere_else():
    """Spread of a wheel over b_t + t below the need, b_t + 2 t from it up (Standard Specifications 3.25.2)."""
    curve = curve_of(stressed_span(needed_pressure_psi=31.0))
    assert [(row.pressure_psi, row.jumps) for row in curve.breaks] == [(20.0, False), (31.0, True), (40.0, False)]
    assert [piece.pressures_psi[0] for piece in curve.pieces] == [0.0, 31.0]
    assert curve.needed_psi == 31.0


def test_butt_joints_without_pressure_carry_nothing():
    """A jointed lamination without pressure has no credit: factor 0 below the need."""
    curve = curve_of(stressed_span(butt_jointed=True))
    assert all(line.factors == (0.0, 0.0) for line in curve.pieces[0].lines)


def test_friction_of_a_web_carries_h15_from_58_psi():
    """D4 by hand: dead (5.25 x 24 + 18.75 x 9)/144 x 50 x 20 ft = 2,047 lb; H15 lane 0.48 x 20 + 19.5 = 29.1 kip on
    2/9.2 lanes = 6,326 lb; q = 0.02201 V <= 0.35 N 9: N = 8,373 x 0.02201/3.15 = 58.5 psi (model, computed)."""
    rated = PressureRatings(cases=(beam_span(),), vehicles=("H15",), policy=POLICY, span_label="1")
    pressures = [psi for psi, vehicle, _web in rated.slip_pressures() if vehicle == "H15"]
    dead = (5.25 * 24 + 18.75 * 9) / 144 * 50 * 20
    assert pressures[0] == pytest.approx((dead + 29100 * 2 / 9.2) * 0.02201 / 3.15, rel=5e-4)
    assert pressures[0] == pytest.approx(58.5, abs=0.05)


def test_a_plate_makes_the_curve_rise_with_the_force_above_the_need():
    """Transverse stiffness grows with pressure from 40 to 100 psi (model), and the strip that shares with it."""
    piece = curve_of(REFINED, ("TYPE3",)).pieces[-1]
    (line,) = [line for line in piece.lines if line.series == "posting"]
    assert piece.pressures_psi[0] == 40.0 and len(piece.pressures_psi) >= 3
    assert all(b > a for a, b in zip(line.factors, line.factors[1:], strict=False))


RIBBED = beam_span(box=True, distribution="refined", span_ft=36.0, deck_width_ft=26.0, roadway_width_ft=24.0)
WEB = replace(RIBBED.members[0], spacing_ft=3.4, count=8)


@pytest.mark.parametrize("lanes", [1, 2])
def test_a_ribbed_plate_hands_load_from_one_web_to_another(lanes):
    """Equilibrium: what a stiffer deck takes off one web another must carry, so the web that gets more may lose a
    little. It stays below one part in a hundred of any factor (our own bound), and is reported, not clipped."""
    webs = (WEB, replace(WEB, label="outer", exterior=True, curb_offset_ft=0.5))
    curve = curve_of(replace(RIBBED, members=webs, lanes_loaded=lanes), ("TYPE3", "SU7"))
    lost: dict = {}
    for vehicle, series, _psi, drop in curve.falls():
        lost[vehicle, series] = lost.get((vehicle, series), 0.0) + drop
    for line in curve.pieces[-1].lines:
        assert lost.get((line.vehicle, line.series), 0.0) < 0.01 * line.factors[0]


def test_the_need_grows_slower_than_the_pressure():
    """What the curve takes for granted: a psi more in the bars asks for less than a psi more (one crossing only)."""
    for case in (stressed_span(), beam_span(), beam_span(box=True)):
        needs = [
            needed_pressure(
                case=with_pressure(case, psi), policy=replace(POLICY, pressure_floor_psi=1.0), vehicles=("HS20",)
            ).psi
            for psi in range(40, 121, 20)
        ]
        assert all(b - a < 20.0 / 2 for a, b in zip(needs, needs[1:], strict=False))


def test_force_is_pressure_by_spacing_by_depth():
    """40 psi x 48 in x 12 in = 23,040 lb."""
    case = stressed_span()
    hardware = BarHardware(spacing_in=48.0, thickness_in=12.0, net_area_in2=0.85)
    case = replace(case, bars=replace(case.bars, hardware=hardware))
    curve = curve_of(case)
    assert curve.force_lb(40.0) == pytest.approx(23040.0)
    assert curve_of(stressed_span()).force_lb(40.0) is None
    step = posting_thresholds(cases=(case,), vehicles=("H15",), policy=POLICY, span_label="1")[0]
    assert step.force_lb == pytest.approx(step.pressure_psi * 576.0)


@pytest.mark.parametrize("case", [HEAVY_BOX, stressed_span(span_ft=30.0, surfacing=(GRAVEL_8_IN,))])
def test_thresholds_are_where_the_rating_changes(case):
    """Second method: the rating a hundredth of a psi on either side."""
    steps = posting_thresholds(cases=(case,), vehicles=FEW, policy=POLICY, span_label="1")
    assert steps
    for step in steps:
        below, above = (rating_at(case, step.pressure_psi + d, FEW) for d in (-0.01, 0.01))
        assert (below.posting.action, above.posting.action) == (step.action_below, step.action_above)
        assert (below.posting.single_tons, above.posting.single_tons) == (step.below_tons, step.above_tons)
        if step.kind.startswith("factor"):
            mark = float(step.kind.split()[1])
            low, high = (
                next(row.posting_factor for row in rating.governing if row.vehicle == step.vehicle)
                for rating in (below, above)
            )
            assert low < mark <= high
            assert step.at_jump == (high - low > 0.005)


def test_no_change_of_posting_is_missed():
    """Walk the pressures psi by psi: every change of the suggested posting has a threshold in between."""
    steps = posting_thresholds(cases=(HEAVY_BOX,), vehicles=("TYPE3", "SU7"), policy=POLICY, span_label="1")
    before = None
    for half in range(0, 281, 2):
        posting = rating_at(HEAVY_BOX, half / 2, ("TYPE3", "SU7")).posting
        now = (posting.action, posting.single_tons)
        if before is not None and now != before:
            assert any(half / 2 - 1.0 <= step.pressure_psi <= half / 2 for step in steps), half / 2
        before = now


class Invented(PressureRatings):
    """Two vehicles of 25 and 40 tons with factors given as functions of the pressure."""

    def __init__(self, first, second, policy=POLICY):
        super().__init__(cases=(stressed_span(),), vehicles=("TYPE3",), policy=policy, span_label="1")
        self._functions = (first, second)

    def at(self, psi, vehicle=""):
        rows = []
        for name, tons, function in zip(("A", "B"), (25.0, 40.0), self._functions, strict=True):
            given = {f"{series}_factor": function(psi) for series in ("inventory", "operating", "posting")}
            given |= {f"{series}_tons": function(psi) * tons for series in ("inventory", "operating", "posting")}
            where = {"span": "1", "member": "deck", "limit_state": "bending", "station_ft": 12.0}
            rows.append(
                VehicleRating(vehicle=name, name=name, vehicle_class="county", gross_tons=tons, **given, **where)
            )
        close = ("slack",) if psi < 20 else ()
        posting = posting_suggestion(governing=tuple(rows), policy=self.policy, close_reasons=close)
        return SimpleNamespace(governing=tuple(rows), load_factor=(), posting=posting, spans=())

    jumps_are_known = False

    @property
    def as_it_stands(self):
        return self.at(60.0)

    def rates(self, *pressures_psi):
        return True

    def slip_pressures(self):
        return []

    def pressures_kept(self):
        return []


def test_hidden_jumps_are_found():
    """Steps put at 33.3 and 61.7 psi that no rule announces."""
    curve = traced_curve(Invented(lambda p: 0.4 + 0.2 * (p >= 33.3), lambda p: 0.5 + 0.001 * p + 0.3 * (p >= 61.7)))
    jumps = [row.pressure_psi for row in curve.breaks if row.jumps]
    assert jumps == [pytest.approx(33.3, abs=1e-5), pytest.approx(61.7, abs=1e-5)]


def test_a_fall_is_reported_not_hidden():
    curve = traced_curve(Invented(lambda p: 0.9 - 0.002 * p, lambda p: 0.5))
    drops = [row for row in curve.falls() if row[:2] == ("A", "posting")]
    assert sum(drop for *_rest, drop in drops) == pytest.approx(0.2, abs=1e-6)


def test_whole_tons_by_hand(monkeypatch):
    """A rises by 0.004 a psi from 0.2: 25 tons x factor = 5 + 0.1 p, so k tons at p = 10 (k - 5); 0.3 at 25 psi.

    B falls short by nothing: it is above 1 all along. At 20 psi closing ends with 7 tons.
    """
    invented = Invented(lambda p: 0.2 + 0.004 * p, lambda p: 1.2)
    monkeypatch.setattr("inventory.mechanics.rating.posting_steps.PressureRatings", lambda **given: invented)
    _curve, steps = curve_with_thresholds(cases=(), vehicles=(), policy=POLICY, span_label="1")
    tons = {row.above_tons: row.pressure_psi for row in steps if row.kind == "tons" and row.pressure_psi > 20.1}
    assert tons == {k: pytest.approx(10 * (k - 5), abs=1e-6) for k in range(8, 15)}
    (closing,) = [row for row in steps if row.kind == "jump"]
    assert (closing.pressure_psi, closing.action_below, closing.above_tons) == (20.0, "close", 7.0)
    (least,) = [row for row in steps if row.kind == "factor 0.3"]
    assert least.pressure_psi == pytest.approx(25.0, abs=1e-6) and not least.at_jump


def test_a_vehicle_that_drops_out_frees_the_next(monkeypatch):
    """A (25 tons) reaches 1 at 50 psi; B (40 tons) stays at 0.9 = 36 tons: there the posting goes from 24 to 36."""
    invented = Invented(lambda p: 0.5 + 0.01 * p, lambda p: 0.9)
    monkeypatch.setattr("inventory.mechanics.rating.posting_steps.PressureRatings", lambda **given: invented)
    _curve, steps = curve_with_thresholds(cases=(), vehicles=(), policy=POLICY, span_label="1")
    (freed,) = [row for row in steps if row.kind == "factor 1"]
    assert freed.pressure_psi == pytest.approx(50.0, abs=1e-6)
    assert (freed.below_tons, freed.above_tons) == (24.0, 36.0)


def test_a_curve_is_for_a_span_with_bars():
    with pytest.raises(OutsideValidity, match="span with bars"):
        curve_of(stringer_span())
    with pytest.raises(OutsideValidity, match="pressure of the curve"):
        curve_of(stressed_span(), pressures_psi=(0.0, 400.0))


def test_a_vehicle_of_one_method_only_is_on_the_curve():
    """HL-93 is rated by load and resistance factors alone."""
    curve = force_curve(cases=(HEAVY_BOX,), vehicles=("HL93", "TYPE3"), policy=POLICY, span_label="1")
    assert {line.vehicle for line in curve.pieces[0].lines if line.series == "design operating"} == {"HL93"}
    assert curve.falls() == ()


def test_what_cannot_be_rated_says_so():
    found = curve_of(stressed_span(members=()))
    assert isinstance(found, NotRated) and found.reasons


def test_the_other_spans_hold_the_structure_down():
    """Two spans, one of them at 30 psi for good: more force in the other does not raise the structure above it."""
    slack = replace(stressed_span(pressure_psi=30.0), label="2")
    curve = force_curve(cases=(stressed_span(), slack), vehicles=("TYPE3",), policy=POLICY, span_label="1")
    least = rating_at(slack, 30.0, ("TYPE3",)).governing[0].posting_factor
    assert max(line.factors[-1] for line in curve.pieces[-1].lines if line.series == "posting") == pytest.approx(least)


def test_what_no_bar_reaches_is_still_counted():
    """Second method: the whole structure rated again, with its other span and the cap between them."""
    cap = CapCase(
        label="Cap 1", material=DF_TIMBER, width_in=12.0, depth_in=12.0, pile_spacing_ft=6.0, pile_bearing_in=10.0,
        before="1", after="2",
    )  # fmt: skip
    cases = (stressed_span(), replace(stringer_span(), label="2"))
    common = {"vehicles": ("TYPE3", "SU7"), "policy": POLICY, "caps": (cap,)}
    curve = force_curve(cases=cases, span_label="1", **common)
    for piece, psi in ((curve.pieces[0], 0.0), (curve.pieces[-1], curve.pieces[-1].pressures_psi[-1])):
        case = with_pressure(cases[0], psi)
        for row in rate_structure((case, cases[1]), **common).governing:
            (line,) = [ln for ln in piece.lines if (ln.vehicle, ln.series) == (row.vehicle, "posting")]
            assert line.factors[0 if psi == 0.0 else -1] == pytest.approx(row.posting_factor, rel=1e-12)


def test_a_curve_comes_back_from_plain_values():
    curve = curve_of(beam_span())
    assert ForceCurve.from_dict(curve.as_dict()) == curve
