"""Invented spans for tests of the kernel; D1 and D3 name the worked examples whose inputs they carry."""

from __future__ import annotations

from dataclasses import replace

from inventory.mechanics.rating import (
    BarState,
    DeadLayer,
    MemberCase,
    SectionLoss,
    SpanCase,
    find_design_value,
)

DF_TIMBER = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="beams and stringers")
DF_DIMENSION = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="dimension, 2 to 4 in thick")
DF_GLULAM = find_design_value(species="Glulam DF/DF", grade="24F-V4", size_class="glulam beam, bending about x-x")
PANEL_GLULAM = find_design_value(
    species="Glulam DF",
    grade="Combination 2 (L2), y-y axis, 4 or more laminations",
    size_class="glulam deck panel, bending about y-y",
)
ASPHALT_3_IN = DeadLayer(name="asphalt", thickness_in=3.0, unit_weight_pcf=140.0, measured=True)


def stringer_span(*, losses: tuple[SectionLoss, ...] = (), span_ft: float = 18.0, **changes) -> SpanCase:
    """6 x 16 in rough Douglas fir No.1 stringers at 2 ft under 3 in plank, two lanes, wet (input of example D1)."""
    member_changes = {
        k: changes.pop(k) for k in tuple(changes) if k in MemberCase.__dataclass_fields__ and k != "label"
    }
    member = MemberCase(
        label="stringer",
        role="stringer",
        material=DF_TIMBER,
        width_in=6.0,
        depth_in=16.0,
        spacing_ft=2.0,
        losses=losses,
    )
    case = SpanCase(
        label="1",
        span_ft=span_ft,
        system="stringer",
        lanes_loaded=2,
        roadway_width_ft=24.0,
        deck_width_ft=25.0,
        deck_kind="plank",
        deck_thickness_in=3.0,
        members=(replace(member, **member_changes),),
    )
    return replace(case, **changes)


def stressed_span(*, pressure_psi: float | None = 60.0, butt_jointed: bool | None = False, **changes) -> SpanCase:
    """12 in stress-laminated deck of 2x12 Douglas fir No.1, 24 ft, one lane, 3 in asphalt (input of example D3)."""
    losses = changes.pop("losses", ())
    member = MemberCase(
        label="deck", role="lamination_deck", material=DF_DIMENSION, width_in=1.5, depth_in=12.0, losses=losses
    )
    bars = BarState(
        least_local_pressure_psi=pressure_psi,
        reading_date="2026-05-04",
        butt_jointed=butt_jointed,
        interconnection_proven=changes.pop("interconnection_proven", None),
        needed_pressure_psi=changes.pop("needed_pressure_psi", None),
    )
    case = SpanCase(
        label="1",
        span_ft=24.0,
        system="stress_laminated_deck",
        lanes_loaded=1,
        roadway_width_ft=14.0,
        deck_width_ft=16.0,
        members=(member,),
        surfacing=(ASPHALT_3_IN,),
        bars=bars,
    )
    return replace(case, **changes)


def panel_span(**changes) -> SpanCase:
    """8-3/4 in longitudinal glulam panels 48 in wide, 24 ft, one lane, stiffeners on record."""
    member = MemberCase(label="panel", role="panel_deck", material=PANEL_GLULAM, width_in=48.0, depth_in=8.75)
    case = SpanCase(
        label="1",
        span_ft=24.0,
        system="glulam_panel_deck",
        lanes_loaded=1,
        roadway_width_ft=16.0,
        deck_width_ft=16.0,
        members=(member,),
        deck_interconnected=True,
    )
    return replace(case, **changes)


def factor(rating, vehicle: str, state: str, level: str = "inventory", member: str | None = None) -> float:
    """The one factor of a vehicle, limit state and level (of a member where there are several)."""
    (found,) = [
        result.rating_factor
        for result in rating.results
        if (result.vehicle, result.limit_state, result.level) == (vehicle, state, level)
        and member in (None, result.member)
    ]
    return found


def least(rating) -> float:
    return min(result.rating_factor for result in rating.results)


def void(width=2.0, height=6.0, from_ft=7.0, to_ft=11.0, **more) -> SectionLoss:
    return SectionLoss(kind="void", width_in=width, height_in=height, from_ft=from_ft, to_ft=to_ft, **more)


def surface(depth=0.5, face="top", from_ft=0.0, to_ft=18.0) -> SectionLoss:
    return SectionLoss(kind="surface", face=face, depth_in=depth, from_ft=from_ft, to_ft=to_ft)
