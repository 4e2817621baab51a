"""Every number of every case with hostile values: a finite rating, or a sentence that names the field and the range.

Law: zero, negative, not a number, infinite and absurd values never raise anything and never reach a result. What may
be zero or negative (an offset, a skew) may be rated; what may not is refused.
"""

from __future__ import annotations

import math
import typing
from dataclasses import fields, is_dataclass, replace
from datetime import date

import pytest

from inspections.assembly.snapshot import Snapshot
from inspections.reckoning.rating import rate_snapshot
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import (
    BarState,
    DeadLayer,
    LaneLoad,
    MakerWetFactors,
    MemberCase,
    SectionLoss,
    SpanCase,
    Vehicle,
    rate_span,
    rate_structure,
)
from inventory.mechanics.rating.cap_rating import rate_cap
from inventory.mechanics.rating.cases import CapCase, DeckCase
from inventory.mechanics.rating.hardware import BarHardware
from inventory.mechanics.rating.limits import LIMITS
from inventory.mechanics.rating.policy import RatingPolicy
from inventory.mechanics.tables.design_values import DesignValue
from tests.unit.mechanics.spans import (
    DF_DIMENSION,
    DF_GLULAM,
    panel_span,
    stressed_span,
    stringer_span,
    surface,
    void,
)

WHOLE = ("lanes_loaded", "count", "joint_every", "adtt", "condition_rating", "bars_in_line", "pile_count")
HOSTILE = (0, -1.0, -1e12, math.nan, math.inf, -math.inf, 1e12)
HARDWARE = BarHardware(spacing_in=48.0, thickness_in=12.0, net_area_in2=0.85, plate_width_in=10.0, plate_height_in=14.0)


def _stringers() -> SpanCase:
    losses = (
        surface(0.5, "top"),
        surface(0.25, "left", 2, 6),
        void(2.0, 6.0, offset_in=1.0),
        SectionLoss(kind="low_resistance", from_ft=3, to_ft=5, width_in=1, height_in=2, resistance_ratio=0.6),
        SectionLoss(kind="split", from_ft=0, to_ft=3, depth_in=2),
        SectionLoss(kind="crushing", from_ft=0, to_ft=0, depth_in=0.2),
        SectionLoss(kind="shell", from_ft=12, to_ft=14, depth_in=2.5),
    )
    case = stringer_span(
        losses=losses, exterior=True, count=9, curb_offset_ft=1.0, bearing_length_in=9.0, braced=False, unbraced_ft=6.0
    )
    return replace(
        case,
        surfacing=(DeadLayer(name="asphalt", thickness_in=2, unit_weight_pcf=140, measured=True),),
        condition_rating=6,
        adtt=100,
        deck=DeckCase(
            kind="plank",
            material=DF_DIMENSION,
            thickness_in=3,
            width_in=11.25,
            support_spacing_ft=2,
            support_width_in=6,
        ),
    )


def _stressed() -> SpanCase:
    case = stressed_span(losses=(SectionLoss(kind="lamination_lost", from_ft=0, to_ft=24, count=1),))
    bars = replace(case.bars, butt_jointed=True, joint_every=4, needed_pressure_psi=45.0, hardware=HARDWARE)
    return replace(case, bars=bars)


def _box() -> SpanCase:
    web = MemberCase(
        label="web",
        role="web",
        material=DF_GLULAM,
        width_in=5.125,
        depth_in=24.0,
        spacing_ft=2.0,
        flange_depth_in=7.25,
        bottom_flange_depth_in=5.25,
        flange_material=DF_DIMENSION,
        maker_wet=MakerWetFactors(bending=0.8, shear=0.9, bearing=0.6, modulus=0.8),
    )
    return SpanCase(
        label="1",
        span_ft=40.0,
        system="stress_laminated_box",
        lanes_loaded=1,
        roadway_width_ft=14.0,
        deck_width_ft=16.0,
        deck_kind="stress_laminated",
        members=(web,),
        bars=BarState(least_local_pressure_psi=90.0, butt_jointed=False),
        wet_service=False,
    )


CASES = {"stringers": _stringers(), "stressed deck": _stressed(), "box": _box(), "panels": panel_span()}
CASES |= {f"{kind}, refined": replace(CASES[kind], distribution="refined") for kind in ("stressed deck", "box")}


def is_number(hint) -> bool:
    parts = typing.get_args(hint) or (hint,)
    return any(part in (float, int) for part in parts) and not any(typing.get_args(part) for part in parts)


def numbers_of(thing, path=""):
    """(path, name, owner type, function that puts a value there) of every number in a nested frozen dataclass."""
    hints = typing.get_type_hints(type(thing))
    for field in fields(thing):
        value = getattr(thing, field.name)
        here = f"{path}.{field.name}".lstrip(".")
        if is_number(hints[field.name]):
            yield here, field.name, type(thing), (lambda new, name=field.name: replace(thing, **{name: new}))
        elif is_dataclass(value):
            for deep, name, owner, put in numbers_of(value, here):
                yield deep, name, owner, (lambda new, put=put, at=field.name: replace(thing, **{at: put(new)}))
        elif isinstance(value, tuple):
            for index, item in enumerate(value):
                if not is_dataclass(item):
                    continue
                for deep, name, owner, put in numbers_of(item, f"{here}[{index}]"):
                    yield (
                        deep,
                        name,
                        owner,
                        lambda new, put=put, at=field.name, index=index, value=value: replace(
                            thing, **{at: (*value[:index], put(new), *value[index + 1 :])}
                        ),
                    )


def finite(plain) -> bool:
    if isinstance(plain, dict):
        return all(finite(value) for value in plain.values())
    if isinstance(plain, list | tuple):
        return all(finite(value) for value in plain)
    return not isinstance(plain, float) or math.isfinite(plain)


SPOTS = [(kind, path) for kind, case in CASES.items() for path, *_rest in numbers_of(case)]


def test_every_number_of_a_case_has_a_limit():
    for owner in (SpanCase, MemberCase, SectionLoss, DeadLayer, BarState, BarHardware, DeckCase, CapCase, DesignValue,
                  MakerWetFactors, RatingPolicy):  # fmt: skip
        hints = typing.get_type_hints(owner)
        numbers = {field.name for field in fields(owner) if is_number(hints[field.name])}
        assert numbers == set(LIMITS[owner]), owner


def test_the_cases_walked_hold_every_number_there_is():
    walked = {(owner, name) for case in CASES.values() for _path, name, owner, _put in numbers_of(case)}
    skipped = (CapCase, RatingPolicy)
    wanted = {(owner, name) for owner, names in LIMITS.items() for name in names if owner not in skipped}
    assert {(o, n) for o, n in wanted if o.__name__ != "LaneLoad"} <= walked


@pytest.mark.parametrize("kind", CASES)
def test_the_cases_are_rated_as_they_are(kind):
    assert rate_span(CASES[kind], vehicles=("HS20",)).is_rated


@pytest.mark.parametrize(("kind", "path"), SPOTS)
def test_a_hostile_number_is_refused_or_rated_finite(kind, path):
    case = CASES[kind]
    (name, owner, put), *_ = [(n, o, p) for at, n, o, p in numbers_of(case) if at == path]
    limit = LIMITS[owner][name]
    for value in HOSTILE:
        rating = rate_span(put(value), vehicles=("TYPE3",))
        if rating.is_rated:
            assert limit.holds(value), f"{path} = {value} was rated"
            assert finite(rating.as_dict()), f"{path} = {value} reached the result"
            assert all(result.rating_factor >= 0 for result in rating.results)
            continue
        told = " ".join(rating.reasons)
        assert all(reason.endswith(".") for reason in rating.reasons)
        if not limit.holds(value):
            assert set(limit.name.lower().split()) & set(told.lower().replace(",", " ").split()), (path, value, told)
            assert any(word in told for word in ("range", "above 0", "less than zero", "or more")), (path, value, told)


CAP = CapCase(
    label="cap",
    material=DF_GLULAM,
    width_in=12.0,
    depth_in=14.0,
    pile_spacing_ft=5.0,
    pile_bearing_in=12.0,
    pile_count=4,
    after="1",
    condition_rating=6,
    losses=(surface(1.0, "top", 0, 2), void(2.0, 3.0, 6, 8)),
    maker_wet=MakerWetFactors(bending=0.8, shear=0.9, bearing=0.6, modulus=0.8),
)


def test_the_cap_is_rated_as_it_is():
    assert rate_cap(CAP, (CASES["stringers"],), ("TYPE3",), RatingPolicy()).is_rated


@pytest.mark.parametrize("path", [path for path, *_rest in numbers_of(CAP)])
def test_a_hostile_number_of_a_cap_is_refused_or_rated_finite(path):
    (name, owner, put), *_ = [(n, o, p) for at, n, o, p in numbers_of(CAP) if at == path]
    limit = LIMITS[owner][name]
    for value in HOSTILE:
        rating = rate_cap(put(value), (CASES["stringers"],), ("TYPE3",), RatingPolicy())
        if rating.is_rated:
            assert limit.holds(value) and finite(rating.as_dict()), (path, value)
        elif not limit.holds(value):
            told = " ".join(rating.reasons)
            assert set(limit.name.lower().split()) & set(told.lower().split()) and "range" in told, (path, value, told)


THROUGH = stringer_span(continuous_unit="A", count=12, bearing_length_in=9.0)
BEYOND = stringer_span(continuous_unit="A", count=12, bearing_length_in=9.0, span_ft=22.0, label="2")


@pytest.mark.parametrize("path", [path for path, *_rest in numbers_of(THROUGH)])
def test_a_hostile_number_of_one_span_of_several_is_refused_or_rated_finite(path):
    """Two spans running through over a pier, and the cap between them."""
    (name, owner, put), *_ = [(n, o, p) for at, n, o, p in numbers_of(THROUGH) if at == path]
    cap = replace(CAP, before="1", after="2")
    for value in HOSTILE:
        rating = rate_structure((put(value), BEYOND), ("TYPE3",), RatingPolicy(), (cap,))
        assert not rating.is_rated or (LIMITS[owner][name].holds(value) and finite(rating.as_dict())), (path, value)


POLICY = RatingPolicy()


@pytest.mark.parametrize("path", [path for path, *_rest in numbers_of(POLICY)])
def test_a_hostile_setting_is_refused_or_rated_finite(path):
    """Every number of the owner's policy, on a decayed stringer span and on a stressed deck."""
    (name, put), *_ = [(name, put) for at, name, _owner, put in numbers_of(POLICY) if at == path]
    limit = LIMITS[RatingPolicy][name]
    for kind in ("stringers", "stressed deck"):
        for value in HOSTILE:
            rating = rate_span(CASES[kind], vehicles=("TYPE3",), policy=put(value))
            if rating.is_rated:
                assert limit.holds(value) and finite(rating.as_dict()), (path, value)
            elif not limit.holds(value):
                told = " ".join(rating.reasons)
                assert set(limit.name.split()) & set(told.lower().split()) and ("range" in told or "between" in told)


@pytest.mark.parametrize("name", list(LIMITS[LaneLoad]))
@pytest.mark.parametrize("value", HOSTILE)
def test_a_hostile_lane_load_is_refused_or_rated_finite(name, value):
    lane = replace(LaneLoad(uniform_klf=0.64, moment_kip=18, shear_kip=26), **{name: value})
    own = Vehicle(id="own", name="own", axles_kip=(10.0, 10.0), spacings_ft=((8.0, 8.0),), lane=lane)
    rating = rate_span(stringer_span(), vehicles=(own,))
    if rating.is_rated:
        assert LIMITS[LaneLoad][name].holds(value) and finite(rating.as_dict())
    else:
        assert any("vehicle own" in reason and "range" in reason for reason in rating.reasons)


@pytest.mark.parametrize(
    ("axles", "gaps"),
    [
        ((10.0,) * 40, ((4.0, 4.0),) * 39),
        ((), ()),
        ((10.0, math.nan), ((4.0, 4.0),)),
        ((10.0, 0.0), ((4.0, 4.0),)),
        ((10.0, -5.0), ((4.0, 4.0),)),
        ((10.0, 1e12), ((4.0, 4.0),)),
        ((10.0, 10.0), ((math.inf, math.inf),)),
        ((10.0, 10.0), ((0.0, 0.0),)),
        ((10.0, 10.0), ((9.0, 4.0),)),
    ],
)
def test_a_hostile_axle_train_is_refused_with_its_range(axles, gaps):
    with pytest.raises(OutsideValidity, match="outside the range"):
        Vehicle(id="own", name="own", axles_kip=axles, spacings_ft=gaps)
    if axles or gaps:
        good = {"axles_kip": (10.0,), "spacings_ft": ()}
        with pytest.raises(OutsideValidity, match="in place of its own"):
            Vehicle(id="own", name="own", **good, instead_kip=axles, instead_spacings_ft=gaps)


@pytest.mark.parametrize(
    ("loss", "words"),
    [
        (surface(16.5, "top"), "deeper than the member"),
        (surface(6.5, "left"), "deeper than the member"),
        (void(2.0, 6.0, offset_in=6.0), "reaches out of the section"),
        (void(2.0, 17.0), "reaches out of the section"),
        (void(6.5, 6.0), "wider than the member"),
        (SectionLoss(kind="crushing", from_ft=0, to_ft=0, depth_in=17), "deeper than the member"),
        (SectionLoss(kind="split", from_ft=0, to_ft=4, depth_in=17), "deeper than the member"),
    ],
)
def test_a_loss_larger_than_the_member_is_refused_with_its_range(loss, words):
    """A 6 x 16 in stringer: what would take more wood than there is, or lies outside it in part."""
    rating = rate_span(stringer_span(losses=(loss,)), vehicles=("TYPE3",))
    assert not rating.is_rated
    assert any(words in reason and "outside the range" in reason for reason in rating.reasons)


def test_a_loss_as_large_as_the_member_leaves_nothing_to_carry_with():
    """Equilibrium: no wood, no strength; the factor is zero and closing is asked for."""
    rating = rate_span(stringer_span(losses=(surface(16.0, "top", 8, 10),)), vehicles=("TYPE3",))
    assert rating.is_rated and rating.worst.operating_factor == 0 and rating.posting.action == "close"


@pytest.mark.parametrize("kind", CASES)
def test_the_edges_of_the_limits_give_numbers_or_reasons(kind):
    """Least, middle and most of every range, through the site's own reckoning with curves of steps and checks."""
    case = CASES[kind]
    for path, name, owner, put in numbers_of(case):
        limit = LIMITS[owner][name]
        low = limit.least + (1e-3 if limit.above else 0.0)
        for edge in (low, (low + limit.most) / 2.0, limit.most):
            whole = name in WHOLE
            value = int(edge) if whole else edge
            if limit.holds(value):
                outcome = rate_snapshot(snapshot_of(put(value)))
                assert finite([outcome.results, outcome.trace]), (path, value)
                assert outcome.is_rated or outcome.reasons


def snapshot_of(case: SpanCase) -> Snapshot:
    return Snapshot(as_of=date(2026, 1, 1), cases=(case,), policy=RatingPolicy(), vehicles=("HS20", "TYPE3"))


def test_webs_that_overlap_are_refused():
    case = CASES["box"]
    touching = replace(case, members=(replace(case.members[0], width_in=24.0),))
    rating = rate_span(touching, vehicles=("TYPE3",))
    assert not rating.is_rated and any("overlap" in reason for reason in rating.reasons)


def test_members_without_design_values_are_named():
    rating = rate_span(stringer_span(material=None), vehicles=("TYPE3",))
    assert not rating.is_rated and any("no design values" in reason for reason in rating.reasons)
