"""Laws of the rating door as a whole: every system, both methods, random members, losses, bars and vehicles.

A structure that is worse in one thing and the same in all others never rates higher: more decay, more surfacing, more
railing, less bar force, a longer span, a heavier vehicle, a worse condition, more trucks. Wood mirrored end for end
under a vehicle turned round rates the same. Every factor is the rating equation of its own numbers. Equilibrium and
reciprocity of the lines and plates beneath stand in test_continuous_lines and test_plate_laws. Few examples in an
ordinary run, ten times as many in ops/check --long.
"""

from __future__ import annotations

import os
import random
from dataclasses import replace

import pytest
from hypothesis import Phase, example, given, settings
from hypothesis import strategies as st

from inventory.mechanics.rating import (
    DeadLayer,
    DeckCase,
    NotRated,
    RatingPolicy,
    SpanCase,
    SpanRating,
    Vehicle,
    rate_span,
    rate_structure,
)
from tests.makers.mixed_structures import SYSTEMS, mixed_span, random_loss
from tests.unit.mechanics.caps import CAP
from tests.unit.mechanics.spans import DF_DIMENSION

VEHICLES = ("HS20", "TYPE3", "SU6", "EV3")
MANY = 10 if os.environ.get("SPANLEDGER_LONG") == "1" else 1
CAN_BE_REFINED = ("stress_laminated_deck", "nail_laminated_deck", "stress_laminated_t", "stress_laminated_box")
laws = pytest.mark.long
seeds = st.integers(min_value=0, max_value=10**9)
few = settings(max_examples=12 * MANY, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))
"""No shrinking: a seed is no simpler for being smaller."""

Key = tuple[str, str, str, str]


def drawn(seed: int) -> tuple[SpanCase, random.Random]:
    """A span of any system; where its deck can be a plate, by the refined distribution in one of three."""
    pick = random.Random(seed)
    system = pick.choice(SYSTEMS)
    refined = system in CAN_BE_REFINED and pick.random() < 0.33
    return mixed_span(seed, system=system, refined=refined), pick


def least(rating) -> dict[Key, float]:
    """The least factor of each method, vehicle and level over all members and limit states."""
    spans = rating.spans if hasattr(rating, "spans") else (rating,)
    found: dict[Key, float] = {}
    for span in spans:
        for result in span.results:
            key = (result.method, result.vehicle, result.level, "")
            found[key] = min(found.get(key, result.rating_factor), result.rating_factor)
    return found


def never_higher(better: SpanCase, worse: SpanCase, vehicles=VEHICLES, others=None) -> None:
    """The worse case rates no higher for any method, vehicle and level, or is refused."""
    one, two = rate_span(better, vehicles=vehicles), rate_span(worse, vehicles=others or vehicles)
    if isinstance(two, NotRated):
        return
    assert isinstance(one, SpanRating), f"refused, but rated when worse: {one.reasons}"
    before, after = least(one), least(two)
    assert set(before) == set(after)
    for key in before:
        assert after[key] <= before[key] * (1 + 1e-6) + 1e-9, (key, before[key], after[key])


def with_member(case: SpanCase, **changes) -> SpanCase:
    return replace(case, members=(replace(case.members[0], **changes),))


def with_pressure(case: SpanCase, pressure_psi: float | None, **changes) -> SpanCase:
    return replace(case, bars=replace(case.bars, least_local_pressure_psi=pressure_psi, **changes))


# worse never rates higher


@laws
@few
@given(seeds)
def test_more_decay(seed):
    """One finding more, of any kind, anywhere."""
    case, pick = drawn(seed)
    member = case.members[0]
    never_higher(case, with_member(case, losses=(*member.losses, random_loss(pick, case.span_ft, member))))


@laws
@few
@given(seeds)
def test_decay_that_has_grown(seed):
    """A finding that reaches deeper and wider than it did, and by the rules of distribution further along.

    The refined share is taken at midspan and where each finding comes nearest to it, the larger for the whole member:
    safe, but a finding that grows towards midspan moves that place, and the share may fall by a little.
    """
    case, pick = drawn(seed)
    member = case.members[0]
    loss = random_loss(pick, case.span_ft, member)
    grow, share = 1 + pick.uniform(0, 0.4), loss.resistance_ratio
    larger = replace(
        loss,
        depth_in=loss.depth_in / grow if loss.kind == "shell" else loss.depth_in * grow,
        width_in=loss.width_in * grow,
        height_in=loss.height_in * grow if loss.offset_in == 0.0 else loss.height_in,
        count=loss.count + 1 if loss.kind == "lamination_lost" else 0,
        resistance_ratio=None if share is None else share / grow,
    )
    if case.distribution == "rules":
        larger = replace(
            larger,
            from_ft=max(0.0, loss.from_ft - pick.random()),
            to_ft=min(case.span_ft, loss.to_ft + pick.random()),
        )
    never_higher(*(with_member(case, losses=(each,)) for each in (loss, larger)))


@laws
@few
@given(seeds, st.floats(min_value=0.05, max_value=4))
def test_more_surfacing(seed, more_in):
    case, _pick = drawn(seed)
    (layer,) = case.surfacing
    never_higher(case, replace(case, surfacing=(replace(layer, thickness_in=layer.thickness_in + more_in),)))
    overlay = DeadLayer(name="overlay", thickness_in=more_in, unit_weight_pcf=140.0, measured=False)
    never_higher(case, replace(case, surfacing=(layer, overlay)))


@laws
@few
@given(seeds, st.floats(min_value=1, max_value=200))
def test_heavier_railing(seed, more_plf):
    case, _pick = drawn(seed)
    never_higher(case, replace(case, railing_plf=case.railing_plf + more_plf))


@laws
@few
@given(
    seeds,
    st.sampled_from([system for system in SYSTEMS if system.startswith("stress")]),
    st.floats(min_value=0, max_value=150),
    st.floats(min_value=0, max_value=1),
    st.booleans(),
)
@example(54085690, "stress_laminated_box", 69.83309982743812, 0.5, True)  # an outer web the vehicles lift
def test_less_bar_force(seed, system, pressure_psi, part, refined):
    """Less pressure, an unknown one, and joints or nails not on record."""
    case = mixed_span(seed, system=system, refined=refined)
    stronger = with_pressure(case, pressure_psi)
    never_higher(stronger, with_pressure(case, pressure_psi * part))
    never_higher(stronger, with_pressure(case, None))
    never_higher(
        with_pressure(case, pressure_psi, butt_jointed=False), with_pressure(case, pressure_psi, butt_jointed=None)
    )


@laws
@few
@given(seeds, st.floats(min_value=1.001, max_value=1.4))
def test_longer_span(seed, longer):
    """Sound members: a finding keeps its place from one bearing only, and may lie better in a longer span."""
    case, _pick = drawn(seed)
    sound = with_member(case, losses=())
    never_higher(sound, replace(sound, span_ft=sound.span_ft * longer))


@laws
@few
@given(seeds, st.sampled_from(["county", "legal", "emergency", "permit"]), st.floats(min_value=1.001, max_value=1.7))
def test_heavier_vehicle(seed, vehicle_class, heavier):
    """All axles heavier by the same part: the tires widen too, and may not make up for it."""
    case, pick = drawn(seed)
    light = county_vehicle(pick, vehicle_class)
    heavy = replace(light, axles_kip=tuple(axle * heavier for axle in light.axles_kip))
    never_higher(case, case, (light,), (heavy,))


@laws
@few
@given(seeds)
def test_one_axle_more(seed):
    """For vehicles whose relieving axles are left out, one axle more never helps."""
    case, pick = drawn(seed)
    short = replace(county_vehicle(pick, "county"), relieving_axles_dropped=True)
    axle, gap = min(short.axles_kip), pick.uniform(3.5, 20)
    longer = replace(short, axles_kip=(*short.axles_kip, axle), spacings_ft=(*short.spacings_ft, (gap, gap)))
    never_higher(case, case, (short,), (longer,))


@laws
@few
@given(seeds, st.integers(min_value=1, max_value=9), st.integers(min_value=0, max_value=6000))
def test_worse_condition_and_more_trucks(seed, condition, adtt):
    case, pick = drawn(seed)
    good = replace(case, condition_rating=condition, adtt=adtt)
    never_higher(good, replace(good, condition_rating=pick.choice([None, condition - 1])))
    never_higher(good, replace(good, adtt=pick.choice([None, adtt + 300])))


@laws
@few
@given(seeds)
def test_two_lanes_for_one(seed):
    case, _pick = drawn(seed)
    one = replace(case, roadway_width_ft=max(case.roadway_width_ft, 20.0), deck_width_ft=max(case.deck_width_ft, 22.0))
    never_higher(replace(one, lanes_loaded=1), replace(one, lanes_loaded=2))


def county_vehicle(pick: random.Random, vehicle_class: str) -> Vehicle:
    count = pick.randint(1, 8)
    gaps = tuple((gap, gap) for gap in (pick.uniform(3.5, 20) for _ in range(count - 1)))
    return Vehicle(
        id="C",
        name="county",
        vehicle_class=vehicle_class,
        axles_kip=tuple(pick.uniform(5, 28) for _ in range(count)),
        spacings_ft=gaps,
    )


# symmetry, and every factor by its own numbers


@laws
@few
@given(seeds)
def test_mirrored_wood_under_a_vehicle_turned_round(seed):
    """Symmetry of a simple span, in every system."""
    case, pick = drawn(seed)
    losses = tuple(
        replace(loss, from_ft=case.span_ft - loss.to_ft, to_ft=case.span_ft - loss.from_ft)
        for loss in case.members[0].losses
    )
    there = county_vehicle(pick, "county")
    back = replace(there, axles_kip=there.axles_kip[::-1], spacings_ft=there.spacings_ft[::-1])
    one, two = rate_span(case, vehicles=(there,)), rate_span(with_member(case, losses=losses), vehicles=(back,))
    assert one.is_rated == two.is_rated
    if isinstance(one, SpanRating):
        after = least(two)
        assert least(one) == {key: pytest.approx(value, rel=1e-5, abs=1e-9) for key, value in after.items()}


@laws
@few
@given(seeds)
def test_every_factor_is_the_equation_of_its_numbers(seed):
    """RF = (C - dc DC - dw DW)/(live L), not below 0: Manual for Bridge Evaluation 6A.4.2.1, 6B.4.1 (memory)."""
    case, _pick = drawn(seed)
    rating = rate_span(case, vehicles=VEHICLES)
    if isinstance(rating, NotRated):
        assert rating.reasons
        return
    for result in rating.results:
        dc, dw = result.dead_effect - result.wearing_effect, result.wearing_effect
        room = result.capacity - result.dc_factor * dc - result.dw_factor * dw
        expected = max(0.0, room / (result.live_factor * result.live_effect))
        assert result.rating_factor == pytest.approx(expected, rel=1e-9, abs=1e-12)
        assert result.tons == pytest.approx(result.rating_factor * result.gross_tons)
    levels = least(rating)
    for (method, vehicle, level, _), factor in levels.items():
        if level == "inventory":
            assert levels[(method, vehicle, "operating", "")] >= factor - 1e-9
        if level == "design inventory":
            assert levels[(method, vehicle, "design operating", "")] >= factor - 1e-9


@laws
@few
@given(seeds)
def test_no_posting_above_operating_or_the_legal_weight(seed):
    """MBE 6B.7.1 (checked: posting never above operating) and the vehicle's own weight."""
    case, _pick = drawn(seed)
    for policy in (RatingPolicy(posting_level=1.0), RatingPolicy(posting_method="LRFR")):
        rating = rate_span(case, vehicles=VEHICLES, policy=policy)
        if isinstance(rating, NotRated):
            return
        ceilings = {row.vehicle: min(row.gross_tons, row.operating_tons) for row in rating.governing}
        for vehicle, tons in rating.posting.vehicle_tons.items():
            own = [row for row in rating.governing if row.vehicle == vehicle]
            most = own[0].gross_tons if own[0].ceiling_tons is None else min(own[0].gross_tons, own[0].ceiling_tons)
            assert tons <= most + 1e-9
            if policy.posting_method == "ASR":
                assert tons <= ceilings[vehicle] + 1e-9


# the structure


@laws
@few
@given(seeds, st.booleans())
def test_a_further_span_or_cap_or_deck_never_helps(seed, runs_through):
    """A structure rates as its weakest part: one part more to rate never raises it."""
    pick = random.Random(seed)
    unit = "U" if runs_through else ""
    first, second = (
        replace(mixed_span(seed + at, str(at + 1), system="sawn stringers"), continuous_unit=unit) for at in (0, 1)
    )
    second = replace(second, members=first.members, deck_kind=first.deck_kind)
    vehicles = ("TYPE3", "SU6")
    bare = rate_structure((first, second), vehicles)
    deck = DeckCase(
        kind="plank",
        material=DF_DIMENSION,
        thickness_in=pick.choice([3.0, 4.0]),
        width_in=pick.choice([7.25, 11.25]),
        support_spacing_ft=first.members[0].spacing_ft,
        support_width_in=6.0,
    )
    planked = replace(first, deck=deck)
    for fuller in (
        rate_structure((planked, second), vehicles),
        rate_structure((first, second), vehicles, RatingPolicy(), (replace(CAP, pile_spacing_ft=pick.uniform(4, 8)),)),
    ):
        if isinstance(fuller, NotRated):
            continue
        assert not isinstance(bare, NotRated), bare.reasons
        before = {row.vehicle: row for row in bare.governing}
        for row in fuller.governing:
            assert row.inventory_factor <= before[row.vehicle].inventory_factor + 1e-9
            assert row.operating_factor <= before[row.vehicle].operating_factor + 1e-9


@laws
@few
@given(seeds)
def test_a_unit_that_is_worse_never_rates_higher(seed):
    """Stringers that run through: a finding more, a heavier vehicle; stations are closed in on, not solved for."""
    pick = random.Random(seed)
    spans, light = unit_of(pick, seed), county_vehicle(pick, "county")
    heavy = replace(light, axles_kip=tuple(axle * 1.2 for axle in light.axles_kip))
    decayed = with_member(spans[0], losses=(random_loss(pick, spans[0].span_ft, spans[0].members[0]),))
    base = rate_structure(spans, (light,))
    assert not isinstance(base, NotRated), base.reasons
    before = least(base)
    for worse, vehicle in (((decayed, spans[1]), light), (spans, heavy)):
        rating = rate_structure(worse, (vehicle,))
        if isinstance(rating, NotRated):
            continue
        for key, factor in least(rating).items():
            assert factor <= before[key] * (1 + CLOSED_IN) + 1e-9, (key, before[key], factor)


CLOSED_IN = 2e-5


def unit_of(pick: random.Random, seed: int) -> tuple[SpanCase, SpanCase]:
    """Two spans of one sound stringer that run through."""
    spans = tuple(
        replace(mixed_span(seed + at, str(at + 1), system="sawn stringers"), continuous_unit="U") for at in range(2)
    )
    return tuple(replace(span, members=(replace(spans[0].members[0], losses=()),)) for span in spans)


@laws
@few
@example(114780073)
@given(seeds)
def test_surfacing_on_a_span_of_a_unit_costs_that_span(seed):
    """Load on a span adds to its own sagging, end shears and reactions; it relieves its neighbour's sagging (statics).

    Held down, for more weight also keeps a stringer on bearings it might else leave.
    """
    pick = random.Random(seed)
    spans, light = unit_of(pick, seed), county_vehicle(pick, "county")
    spans = tuple(replace(span, held_down=True) for span in spans)
    layer = spans[1].surfacing[0]
    paved = replace(spans[1], surfacing=(replace(layer, thickness_in=layer.thickness_in + 2.0),))
    one, two = (rate_structure((spans[0], second), (light,)) for second in (spans[1], paved))
    if isinstance(two, NotRated):
        return
    before, after = ({_key(row): row.rating_factor for row in rating.spans[1].results} for rating in (one, two))
    for key, factor in after.items():
        if key[-1] in ("bending", "shear", "bearing"):
            assert factor <= before[key] * (1 + CLOSED_IN) + 1e-9, (key, before[key], factor)


def _key(row) -> tuple[str, ...]:
    return row.member, row.vehicle, row.method, row.level, row.limit_state
