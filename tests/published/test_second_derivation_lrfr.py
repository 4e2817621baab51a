"""Seeded spans rated by load and resistance factors twice: by the kernel, and by a derivation apart from it.

Sources and marks stand in `second_derivation_lrfr`. The walk stops at 120 sections of half the span and can only miss
the least bending factor, so the kernel may lie up to 0.5 % below it and never above; shear has one place and agrees to
rounding. The needed pressure of stressed decks is given, it has tests of its own.
"""

from __future__ import annotations

import random
from math import floor

import pytest

from inventory.mechanics.rating import BarState, DeadLayer, MemberCase, RatingPolicy, SectionLoss, SpanCase, rate_span
from inventory.mechanics.vehicle import Vehicle
from tests.published import second_derivation_lrfr as second
from tests.unit.mechanics.spans import DF_DIMENSION, DF_GLULAM, DF_TIMBER, PANEL_GLULAM

LEGAL = second.ROUTINE + second.HAULING + second.EMERGENCY
CRANE = Vehicle(
    id="CRANE",
    name="Crane of our own invention",
    vehicle_class="permit",
    axles_kip=(14.0, 14.0, 21.0, 21.0, 21.0),
    spacings_ft=((5.0, 5.0), (12.0, 12.0), (4.5, 4.5), (4.5, 4.5)),
)
NAMES = {"CRANE": CRANE}


def drawn(seed):
    """What every kind of span draws alike: site, setting, vehicles, and the changes they make to case and policy."""
    pick = random.Random(seed)
    site = {
        "condition_rating": pick.choice([None, *range(10)]),
        "adtt": pick.choice([None, 0, 60, 100, 430, 1000, 1800, 3300, 5000, 9000]),
        "wet_service": pick.random() < 0.5,
    }
    inches, measured = pick.choice([0, 0, 1.5, 3, 4.5]), pick.random() < 0.5
    site["surfacing"] = (
        (DeadLayer(name="asphalt", thickness_in=inches, unit_weight_pcf=140.0, measured=measured),) if inches else ()
    )
    policy = RatingPolicy(
        transition_in=0.0,
        posting_method="LRFR",
        load_factor_table=pick.choice(["2013", "2008"]),
        one_lane_case_too=pick.random() < 0.5,
        raise_condition_where_measured=pick.random() < 0.5,
    )
    vehicles = ("HL93", "CRANE", *pick.sample(LEGAL, 4))
    return pick, site, policy, vehicles, (140 * inches / 12, 1.25 if measured else 1.50)


def levels(vehicle):
    if vehicle == "HL93":
        return ("design inventory", "design operating")
    return ("permit",) if vehicle == "CRANE" else ("legal",)


def compare(*, case, policy, vehicles, wearing_psf, wearing_gamma, structure_plf, share_ft, share, stress, losses=None):
    """Kernel against walk for every vehicle and level; ``share`` of a vehicle, ``stress`` of a limit state."""
    (member,) = case.members
    rating = rate_span(case, vehicles=tuple(NAMES.get(v, v) for v in vehicles), policy=policy)
    assert rating.is_rated, rating
    top, bottom, left, right = losses or (0, 0, 0, 0)
    least = {}
    for vehicle in vehicles:
        for level in levels(vehicle):
            gamma = second.live_factor(vehicle, level, edition=policy.load_factor_table, adtt=case.adtt)
            wide = member.width_in if member.role != "lamination_deck" else 12.0
            bend, across = second.rating_factors(
                vehicle=vehicle,
                span_ft=case.span_ft,
                wide_in=wide - left - right,
                deep_in=member.depth_in - top - bottom,
                full_in=member.depth_in,
                strengths=stress("strength II" if level == "permit" else "strength I"),
                lanes=share(vehicle),
                dead=(structure_plf, wearing_psf * share_ft),
                gammas=(1.25, wearing_gamma, gamma),
                cut=second.condition_factor(
                    case.condition_rating, raised=policy.raise_condition_where_measured and any(losses or ())
                ),
                stringer=member.role == "stringer",
            )
            found = {
                r.limit_state: r.rating_factor
                for r in rating.results
                if (r.method, r.vehicle, r.level) == ("LRFR", vehicle, level)
            }
            assert set(found) == {"bending", "shear"}
            where = (vehicle, level, found, bend, across)
            assert bend * 0.995 - 1e-9 <= found["bending"] <= bend * (1 + 1e-6) + 1e-9, where
            assert found["shear"] == pytest.approx(across, rel=1e-6, abs=1e-9), where
            least[vehicle, level] = min(bend, across)
    compare_posting(rating, least, vehicles)


def compare_posting(rating, least, vehicles):
    """Safe tons of each legal vehicle, and the whole tons posted, from the walk's own factor, within 0.5 %."""
    rows = {(row.vehicle, row.level): row for row in rating.load_factor}
    for vehicle in vehicles:
        if levels(vehicle) != ("legal",):
            continue
        row, factor = rows[vehicle, "legal"], least[vehicle, "legal"]
        gross = sum(float(axle) for axle in second.TRAINS[vehicle][0]) / 2
        assert row.rating_factor == pytest.approx(factor, rel=0.005, abs=1e-9)
        assert row.safe_tons <= second.safe_tons(factor * (1 + 1e-6), gross) + 1e-9
        assert row.safe_tons >= second.safe_tons(factor * 0.995, gross) - 1e-9
        if vehicle in second.EMERGENCY:
            continue
        if factor < 1.0 - 1e-6:
            assert floor(second.safe_tons(factor * 0.995, gross)) <= rating.posting.vehicle_tons[vehicle]
            assert rating.posting.vehicle_tons[vehicle] <= floor(second.safe_tons(factor * (1 + 1e-6), gross) + 1e-9)
        elif factor > 1.005:
            assert vehicle not in rating.posting.vehicle_tons


@pytest.mark.parametrize("seed", range(26))
def test_stringers(seed):
    """Sawn or glulam, inner or outer, under every floor, beyond its largest spacing too, some decayed all along."""
    pick, site, policy, vehicles, (wearing, gamma) = drawn(seed)
    glulam, outer, lanes = pick.random() < 0.4, pick.random() < 0.4, pick.choice([1, 2])
    material = DF_GLULAM if glulam else DF_TIMBER
    wide, deep = pick.choice([(6.75, 24.0), (8.75, 36.0)] if glulam else [(6, 16), (8, 18), (6, 12), (10, 20)])
    span = pick.uniform(22, 55) if glulam else pick.uniform(10, 26)
    floor, thick = pick.choice([("plank", 3.0), ("nail_laminated", 5.5), ("glulam_panel", 5.125)])
    spacing, curb, rail = pick.uniform(1.4, 6.8 if glulam else 3.5), pick.uniform(-1.5, 1.5), pick.choice([0, 90])
    incised = not glulam and pick.random() < 0.5
    loss = [pick.choice([0, 0.25, 0.75]) for _ in range(4)] if not glulam and pick.random() < 0.4 else [0, 0, 0, 0]
    member = MemberCase(
        label="s",
        role="stringer",
        material=material,
        width_in=wide,
        depth_in=deep,
        spacing_ft=spacing,
        exterior=outer,
        curb_offset_ft=curb if outer else None,
        incised=incised,
        losses=tuple(
            SectionLoss(kind="surface", face=face, depth_in=gone, from_ft=0, to_ft=span, measured_by="probe")
            for face, gone in zip(("top", "bottom", "left", "right"), loss, strict=True)
            if gone
        ),
    )
    case = SpanCase(
        label="1",
        span_ft=span,
        system="stringer",
        lanes_loaded=lanes,
        roadway_width_ft=24,
        deck_width_ft=25,
        deck_kind=floor,
        deck_thickness_in=thick,
        members=(member,),
        railing_plf=rail,
        **site,
    )
    common = {"floor": floor, "spacing_ft": spacing, "lanes": lanes, "one_too": policy.one_lane_case_too}
    lanes_on = second.outer_lanes(**common, curb_ft=curb) if outer else second.inner_lanes(**common)
    compare(
        case=case,
        policy=policy,
        vehicles=vehicles,
        wearing_psf=wearing,
        wearing_gamma=gamma,
        structure_plf=50 * (wide * deep / 144 + spacing * thick / 12) + (rail if outer else 0),
        share_ft=spacing,
        share=lambda vehicle: lanes_on,
        losses=loss,
        stress=lambda limit: second.factored(
            kind=material.kind,
            fb=material.fb_psi,
            fv=material.fv_psi,
            thick=wide,
            deep=deep,
            span_ft=span,
            wet=case.wet_service,
            incised=incised,
            exponent=10,
            limit=limit,
        ),
    )


@pytest.mark.parametrize("seed", range(22))
def test_laminated_decks(seed):
    """Nail-laminated, proven together or not, and stress-laminated under pressure or without it, per foot of width."""
    pick, site, policy, vehicles, (wearing, gamma) = drawn(1000 + seed)
    stressed, proven, pressure = seed % 2 == 0, pick.random() < 0.6, pick.choice([70.0, 44.0, 41.0, 25.0])
    deep, span, lanes = pick.choice([7.25, 9.25, 11.25, 12.0, 15.0]), pick.uniform(10, 32), pick.choice([1, 2])
    width, joint = pick.uniform(21, 34), pick.choice([None, 4, 6]) if stressed else None
    member = MemberCase(label="d", role="lamination_deck", material=DF_DIMENSION, width_in=1.5, depth_in=deep)
    bars = BarState(
        least_local_pressure_psi=pressure,
        butt_jointed=joint is not None,
        joint_every=joint,
        interconnection_proven=proven,
        needed_pressure_psi=40.0,
    )
    case = SpanCase(
        label="1",
        span_ft=span,
        system="stress_laminated_deck" if stressed else "nail_laminated_deck",
        lanes_loaded=lanes,
        roadway_width_ft=width - 1,
        deck_width_ft=width,
        members=(member,),
        deck_interconnected=proven,
        railing_plf=60,
        bars=bars if stressed else None,
        **site,
    )
    together = pressure >= 40 if stressed else proven
    credit = 1.0 if joint is None else (joint - 1) / joint
    if stressed and not together and joint is not None and not proven:
        credit = 0.0  # butt-jointed laminations that nothing holds together carry nothing

    def share(vehicle):
        if together:
            return second.slab_lanes_per_ft(span_ft=span, width_ft=width, lanes=lanes, one_too=policy.one_lane_case_too)
        return second.apart_lanes_per_ft(vehicle=vehicle, deep_in=deep)

    def stress(limit):
        values = second.factored(
            kind="dimension",
            fb=DF_DIMENSION.fb_psi,
            fv=DF_DIMENSION.fv_psi,
            thick=1.5,
            deep=deep,
            span_ft=span,
            wet=case.wet_service,
            deck=1.50 if stressed and together else 1.15,
            limit=limit,
        )
        return tuple(value * credit for value in values)

    compare(
        case=case,
        policy=policy,
        vehicles=vehicles,
        wearing_psf=wearing,
        wearing_gamma=gamma,
        structure_plf=50 * deep / 12 + 2 * 60 / width,
        share_ft=1.0,
        share=share,
        stress=stress,
    )


@pytest.mark.parametrize("seed", range(12))
def test_glulam_panels(seed):
    """Panels with stiffeners take the strip of any slab deck (LRFD 4.6.2.3), each its own width of it."""
    pick, site, policy, vehicles, (wearing, gamma) = drawn(2000 + seed)
    wide, deep, span = pick.uniform(42, 54), pick.choice([6.75, 8.75, 10.75, 14.25]), pick.uniform(12, 36)
    lanes, width = pick.choice([1, 2]), pick.uniform(21, 34)
    member = MemberCase(label="p", role="panel_deck", material=PANEL_GLULAM, width_in=wide, depth_in=deep)
    case = SpanCase(
        label="1",
        span_ft=span,
        system="glulam_panel_deck",
        lanes_loaded=lanes,
        roadway_width_ft=width - 1,
        deck_width_ft=width,
        members=(member,),
        deck_interconnected=True,
        railing_plf=75,
        **site,
    )
    per_ft = second.slab_lanes_per_ft(span_ft=span, width_ft=width, lanes=lanes, one_too=policy.one_lane_case_too)
    compare(
        case=case,
        policy=policy,
        vehicles=vehicles,
        wearing_psf=wearing,
        wearing_gamma=gamma,
        structure_plf=(50 * deep / 12 + 2 * 75 / width) * wide / 12,
        share_ft=wide / 12,
        share=lambda vehicle: per_ft * wide / 12,
        stress=lambda limit: second.factored(
            kind="glulam_y",
            fb=PANEL_GLULAM.fb_psi,
            fv=PANEL_GLULAM.fv_psi,
            thick=wide,
            deep=deep,
            span_ft=span,
            wet=case.wet_service,
            limit=limit,
        ),
    )
