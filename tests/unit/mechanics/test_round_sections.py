"""Round members with losses: closed forms of the handbooks, polygons as a second method, laws and refusals."""

from __future__ import annotations

from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, Point, box

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import RatingPolicy, SectionLoss, find_design_value, rate_span
from inventory.mechanics.section import SurfaceLoss, Void, round_section, round_shell_in
from tests.unit.mechanics.spans import factor, stringer_span

POSTS = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="posts and timbers")
LOG = {"shape": "round", "width_in": 12.0, "depth_in": 12.0, "material": POSTS, "spacing_ft": 2.0}


def cut(face, depth):
    return SurfaceLoss(face=face, depth_in=depth)


def test_whole_circle():
    """Handbook: A = pi D2/4, I = pi D4/64, S = pi D3/32, largest shear 4/3 of the mean, so I b/Q = 3/4 A."""
    log = round_section(diameter_in=12)
    assert log.area_in2 == pytest.approx(pi * 36)
    assert log.inertia_in4 == pytest.approx(pi * 12**4 / 64)
    assert log.modulus_in3 == pytest.approx(pi * 12**3 / 32)
    assert log.shear_in2 == pytest.approx(0.75 * pi * 36)


def test_hollow_circle():
    """Handbook: S = pi (D4 - d4)/(32 D); Q = (D3 - d3)/12 and b = D - d at the axis."""
    log = round_section(diameter_in=12, shell_in=3)
    inertia = pi * (12**4 - 6**4) / 64
    assert log.modulus_in3 == pytest.approx(inertia / 6)
    assert log.shear_in2 == pytest.approx(inertia * (12 - 6) / ((12**3 - 6**3) / 12))
    same = round_section(diameter_in=12, voids=(Void(width_in=6, height_in=6),))
    assert same == log


def test_half_circle():
    """Handbook: I = (pi/8 - 8/(9 pi)) R4 = 0.10976 R4 about the axis 4 R/(3 pi) from the flat."""
    log = round_section(diameter_in=12, surface=(cut("top", 6),))
    assert log.inertia_in4 == pytest.approx((pi / 8 - 8 / (9 * pi)) * 6**4)
    assert log.centroid_in == pytest.approx(6 - 4 * 6 / (3 * pi))
    standing = round_section(diameter_in=12, surface=(cut("left", 6),))
    assert standing.inertia_in4 == pytest.approx(pi * 12**4 / 64 / 2)


def test_segment():
    """Handbook: a segment of height h has A = R2 acos((R - h)/R) - (R - h) sqrt(2 R h - h2); h = 9 of R = 6 here."""
    from math import acos

    log = round_section(diameter_in=12, surface=(cut("bottom", 3),))
    assert log.area_in2 == pytest.approx(36 * acos(-0.5) + 3 * sqrt(2 * 6 * 9 - 81))


def test_a_through_split_makes_two_half_logs():
    """Two half circles bend alike: I = 2 x 0.10976 R4; the far face is 0.5756 R from each axis, so S = 0.3814 R3."""
    log = round_section(diameter_in=12, split=True)
    half = pi / 8 - 8 / (9 * pi)
    assert log.inertia_in4 == pytest.approx(2 * half * 6**4)
    assert log.modulus_in3 == pytest.approx(2 * half / (1 - 4 / (3 * pi)) * 6**3)
    assert log.modulus_in3 / round_section(diameter_in=12).modulus_in3 == pytest.approx(0.4856, abs=1e-4)


def polygon_section(diameter, surface=(), voids=()):
    """Second method: a polygon of 4 x 512 sides, cut and holed by a general geometry library; shear in 600 levels."""
    radius = diameter / 2
    shape = Point(0, radius).buffer(radius, quad_segs=512)
    left, right, low, high = -radius, radius, 0.0, diameter
    for loss in surface:
        left = max(left, loss.depth_in - radius) if loss.face == "left" else left
        right = min(right, radius - loss.depth_in) if loss.face == "right" else right
        low = max(low, loss.depth_in) if loss.face == "bottom" else low
        high = min(high, diameter - loss.depth_in) if loss.face == "top" else high
    shape = shape.intersection(box(left, low, right, high))
    for void in voids:
        hole = Point(0, 0).buffer(1, quad_segs=512)
        shape = shape.difference(
            affinity.translate(affinity.scale(hole, void.width_in / 2, void.height_in / 2), 0, radius + void.offset_in)
        )
    centroid = shape.centroid.y
    inertia = sum(sign * second_moment(ring, centroid) for ring, sign in rings(shape))
    _x0, bottom, _x1, top = shape.bounds
    shear = []
    for step in range(1, 600):
        y = bottom + (top - bottom) * step / 600
        above = shape.intersection(box(-radius, y, radius, top + 1))
        width = shape.intersection(LineString([(-2 * radius, y), (2 * radius, y)])).length
        first = above.area * (above.centroid.y - centroid)
        if first > 1e-6 * inertia:
            shear.append(inertia * width / first)
    return shape.area, inertia, inertia / max(top - centroid, centroid - bottom), min(shear)


def rings(shape):
    return [(shape.exterior, 1), *((ring, -1) for ring in shape.interiors)]


def second_moment(ring, axis):
    points = [(x, y - axis) for x, y in ring.coords]
    total = 0.0
    for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
        total += (y0 * y0 + y0 * y1 + y1 * y1) * (x0 * y1 - x1 * y0)
    return abs(total) / 12


@pytest.mark.parametrize(
    ("surface", "voids"),
    [
        ((cut("left", 2.0), cut("bottom", 1.0)), ()),
        ((cut("top", 1.5),), (Void(width_in=4, height_in=3, offset_in=1.0),)),
        ((), (Void(width_in=5, height_in=2, offset_in=3.0),)),
        ((), (Void(width_in=3, height_in=3, offset_in=-3.5),)),
        ((cut("right", 3.0),), (Void(width_in=2, height_in=6, offset_in=-1.0),)),
        ((cut("left", 1.0), cut("right", 1.0), cut("top", 1.0), cut("bottom", 1.0)), ()),
        ((cut("left", 7.0),), ()),
    ],
)
def test_losses_against_polygons(surface, voids):
    found = round_section(diameter_in=12, surface=surface, voids=voids)
    area, inertia, modulus, shear = polygon_section(12, surface, voids)
    assert (found.area_in2, found.inertia_in4) == pytest.approx((area, inertia), rel=1e-4)
    assert found.modulus_in3 == pytest.approx(modulus, rel=2e-3)
    assert found.shear_in2 == pytest.approx(shear, rel=2e-3)


def test_a_void_that_breaks_out_is_a_loss_of_the_face():
    """A hole that reaches out below: its sides stand as horns, so the polygon's far face is lower, never higher."""
    voids = (Void(width_in=4, height_in=5, offset_in=-4.5),)
    found = round_section(diameter_in=12, voids=voids)
    area, _inertia, modulus, _shear = polygon_section(12, voids=voids)
    assert found.area_in2 == pytest.approx(area, rel=2e-3)
    assert found.modulus_in3 == pytest.approx(modulus, rel=2e-2)


def test_wood_parted_by_a_void_carries_nothing():
    """Policy as for rectangles: pieces that hang together nowhere are not one beam."""
    assert round_section(diameter_in=12, voids=(Void(width_in=12, height_in=2),)).modulus_in3 == 0
    assert round_section(diameter_in=12, surface=(cut("left", 7), cut("right", 6))).area_in2 == 0
    assert round_section(diameter_in=12, shell_in=0.0).area_in2 == 0


depths = st.floats(min_value=0, max_value=4)


@settings(max_examples=60, deadline=None)
@given(depths, depths, st.sampled_from(["top", "bottom", "left", "right"]), st.floats(0, 3), st.floats(-2, 2))
def test_more_decay_never_leaves_more(first, more, face, hole, offset):
    """Monotony: a deeper cut, or a hole besides, leaves no more area, stiffness or shear strength."""
    holes = (Void(width_in=hole, height_in=hole, offset_in=offset),)
    small = round_section(diameter_in=14, surface=(cut(face, first),))
    deep = round_section(diameter_in=14, surface=(cut(face, first + more / 2),))
    holed = round_section(diameter_in=14, surface=(cut(face, first),), voids=holes)
    for worse in (deep, holed):
        assert worse.area_in2 <= small.area_in2 + 1e-9
        assert worse.inertia_in4 <= small.inertia_in4 + 1e-9
        assert worse.shear_in2 <= small.shear_in2 * (1 + 1e-6)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.1, 4), st.floats(-3, 3))
def test_turned_upside_down_it_is_the_same(size, offset):
    """Symmetry: what is lost below or above gives the same strength."""
    one = round_section(
        diameter_in=12, surface=(cut("top", 1),), voids=(Void(width_in=size, height_in=size, offset_in=offset),)
    )
    two = round_section(
        diameter_in=12, surface=(cut("bottom", 1),), voids=(Void(width_in=size, height_in=size, offset_in=-offset),)
    )
    assert one.modulus_in3 == pytest.approx(two.modulus_in3)
    assert one.shear_in2 == pytest.approx(two.shear_in2, rel=1e-6)


def test_shell_beside_a_low_void_is_thinner():
    """A 4 in hole centred 3 in below the middle of a 12 in log: at its centre the chord is 2 sqrt(36 - 9) = 10.39."""
    side, cover = round_shell_in(width_in=12, depth_in=12, surface=(), void=Void(width_in=4, height_in=4, offset_in=-3))
    assert cover == pytest.approx(6 - 3 - 2)
    assert side <= (2 * sqrt(27) - 4) / 2
    assert side > (2 * sqrt(36 - 25) - 4) / 2  # the chord at its foot


@pytest.mark.parametrize(
    "bad",
    [
        {"diameter_in": 0},
        {"diameter_in": float("nan")},
        {"diameter_in": 12, "shell_in": -1},
        {"diameter_in": 12, "surface": (cut("end", 1),)},
        {"diameter_in": 12, "surface": (cut("top", -1),)},
        {"diameter_in": 12, "voids": (Void(width_in=-1, height_in=2),)},
        {"diameter_in": 12, "voids": (Void(width_in=2, height_in=2, offset_in=7),)},
    ],
)
def test_refusals(bad):
    with pytest.raises(OutsideValidity):
        round_section(**bad)


def test_a_round_stringer_with_decay_on_one_side_is_rated():
    """Policy: 0.75 in of decay and 0.25 in of transition; capacity falls with S of the cut log."""
    loss = SectionLoss(kind="surface", face="top", depth_in=0.75, from_ft=0, to_ft=18)
    sound, decayed = (rate_span(stringer_span(losses=x, **LOG), vehicles=("H15",)) for x in ((), (loss,)))
    ratio = (
        round_section(diameter_in=12, surface=(cut("top", 1),)).modulus_in3 / round_section(diameter_in=12).modulus_in3
    )
    capacity = [
        next(r.capacity for r in x.results if r.limit_state == "bending" and r.level == "inventory")
        for x in (sound, decayed)
    ]
    assert capacity[1] / capacity[0] == pytest.approx(ratio)


def test_a_round_stringer_bears_on_half_its_diameter():
    """Model: flat of D/2 = 6 in; F_cp' = 625 x 0.67 wet, 10 in long: 625 x 0.67 x 6 x 10 = 25,125 lb."""
    rating = rate_span(stringer_span(bearing_length_in=10.0, **LOG), vehicles=("H15",))
    bearing = next(r for r in rating.results if r.limit_state == "bearing" and r.level == "inventory")
    assert bearing.capacity == pytest.approx(625 * 0.67 * 60)
    assert any("flat taken as 50%" in note for note in rating.notes)


def test_splits_of_a_log_are_measured_against_its_diameter():
    """Policy: past half the diameter near a support halves shear, right through also parts the section."""
    policy = RatingPolicy()

    def rated(depth):
        loss = SectionLoss(kind="split", depth_in=depth, from_ft=0, to_ft=18)
        return rate_span(stringer_span(losses=(loss,), **LOG), vehicles=("H15",), policy=policy)

    assert factor(rated(7.0), "H15", "shear") < 0.55 * factor(rated(5.0), "H15", "shear")
    assert factor(rated(7.0), "H15", "bending") == factor(rated(5.0), "H15", "bending")
    assert factor(rated(12.0), "H15", "bending") < 0.5 * factor(rated(7.0), "H15", "bending")
