"""Share of a vehicle on each kind of member, by the system of the span and the method.

``lrfd`` None takes the Standard Specifications; else the LRFD rules with its two settings.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.bars import PressureWorth
from inventory.mechanics.distribution import (
    Share,
    edge_strip_share,
    exterior_lever,
    exterior_share,
    interior_lever,
    interior_share,
    lane_share,
    lane_strip_width_in,
    loose_deck_width_in,
    loose_strip_share,
    outside_lane_share,
    panel_bending_share,
    panel_shear_share,
    stressed_deck_width_in,
    strip_share,
)
from inventory.mechanics.tables.lane_shares import PRESENCE
from inventory.mechanics.tables.wheel_lines import WHEEL_TO_CURB_FT
from inventory.mechanics.vehicle import Vehicle

from .cases import MemberCase, SpanCase
from .elements import Shares

STRIP_IN = 12.0
"""Longitudinal decks are rated per foot of width."""
LEAST_TIRE_IN = 10.0
"""b_t of a 4,000 lb wheel, sqrt(0.025 P): narrower than that of any vehicle rated."""
BUTT_JOINT_EVERY = 4
"""Where butt joints are on record without their spacing: one lamination in four (LRFD 9.9.5.3 permits no more)."""


@dataclass(frozen=True, kw_only=True)
class Lrfd:
    """Settings of the LRFD distribution: one lane tried besides several; the edge strip of slabs rated."""

    one_lane_too: bool
    edge_strip: bool


def curb_offset_ft(case: SpanCase, member: MemberCase) -> tuple[float, str]:
    """Distance from an outside stringer out to the curb, ft, and how it was found."""
    if member.curb_offset_ft is not None:
        return member.curb_offset_ft, "measured"
    if member.count and member.count > 1 and member.spacing_ft:
        return (case.roadway_width_ft - (member.count - 1) * member.spacing_ft) / 2.0, "from roadway and spacing"
    return WHEEL_TO_CURB_FT, "not measured: a wheel line is taken over the stringer"


def stringer_shares(case: SpanCase, member: MemberCase, lrfd: Lrfd | None = None) -> Shares:
    """Interior: S/D or the simple-beam reaction; outside: the lever. Over the bearing: the deck as a simple beam."""
    spacing, lanes = member.spacing_ft, case.lanes_loaded
    if lrfd is None:
        bending = interior_share(
            deck_kind=case.deck_kind, deck_thickness_in=case.deck_thickness_in, spacing_ft=spacing, lanes=lanes
        )
    else:
        bending = lane_share(deck_kind=case.deck_kind, spacing_ft=spacing, lanes=lanes, one_lane_too=lrfd.one_lane_too)
    bending, over = _outside(case, member, bending, lrfd)
    return Shares(bending=bending, shear=bending, over_bearing=over, rest=bending, wood_shear=True)


def _outside(case: SpanCase, member: MemberCase, interior: Share, lrfd: Lrfd | None) -> tuple[Share, Share]:
    """Bending share of the member, outside or not, and the share of a load standing over its bearing."""
    spacing, lanes = member.spacing_ft, case.lanes_loaded
    presence = None if lrfd is None else PRESENCE
    over = interior_lever(spacing_ft=spacing, lanes=lanes, presence=presence)
    if not member.exterior:
        return interior, over
    offset, _how = curb_offset_ft(case, member)
    common = {"spacing_ft": spacing, "curb_offset_ft": offset, "lanes": lanes}
    outside = exterior_share if lrfd is None else outside_lane_share
    bending = outside(interior=interior, **common)
    return bending, _at_least(exterior_lever(**common, presence=presence), bending)


def _at_least(lever: Share, bending: Share) -> Share:
    return lever if lever.wheel_lines >= bending.wheel_lines else bending


def web_shares(case: SpanCase, member: MemberCase, worth: PressureWorth, lrfd: Lrfd | None = None) -> Shares:
    """Web of a T or box span: the stressed-deck rule while pressure holds, the lever rule below the need."""
    common = {"deck_kind": "stress_laminated", "spacing_ft": member.spacing_ft, "lanes": case.lanes_loaded}
    presence = None if lrfd is None else PRESENCE
    if worth.treatment != "stressed":
        bending = interior_lever(spacing_ft=member.spacing_ft, lanes=case.lanes_loaded, presence=presence)
    elif lrfd is None:
        bending = interior_share(**common, deck_thickness_in=0.0)
    else:
        bending = lane_share(**common, one_lane_too=lrfd.one_lane_too)
    bending, over = _outside(case, member, bending, lrfd)
    credit = 0.0 if worth.treatment == "none" else 1.0
    return Shares(
        bending=bending, shear=bending, over_bearing=over, rest=bending, wood_shear=True, capacity_ratio=credit
    )


def lamination_shares(
    *, case: SpanCase, member: MemberCase, worth: PressureWorth | None, vehicle: Vehicle, lrfd: Lrfd | None = None
) -> Shares:
    """One wheel line over D_w, per foot of deck; lost or jointed laminations lower the strength of the strip."""
    thickness, wheel = member.depth_in, vehicle.heaviest_wheel_lb
    together = worth.treatment == "stressed" if worth is not None else bool(case.deck_interconnected)
    if lrfd is not None:
        share = _lrfd_strip(case, lrfd, vehicle, thickness, together)
        return _strip_shares(case, member, worth, share, together)
    if together:
        width, rule = stressed_deck_width_in(wheel_lb=wheel, thickness_in=thickness), "D_w = b_t + 2 t"
    else:
        width, rule = loose_deck_width_in(wheel_lb=wheel, thickness_in=thickness), "D_w = b_t + t"
    source, mark = "AASHTO Standard Specifications 3.25.2", "checked-2nd" if together else "memory"
    if worth is not None:
        source, mark = "AASHTO Guide Specification for stress-laminated decks 1991", "memory" if together else "model"
    share = Share(
        wheel_lines=STRIP_IN / width, rule=f"12/D_w per foot, {rule} = {width:.2f} in", source=source, mark=mark
    )
    return _strip_shares(case, member, worth, share, together)


def _strip_shares(case, member, worth, share: Share, together: bool) -> Shares:
    return Shares(
        bending=share,
        shear=share,
        over_bearing=share,
        rest=share,
        wood_shear=False,
        capacity_ratio=strip_ratio(case=case, member=member, worth=worth, together=together),
    )


def _lrfd_strip(case: SpanCase, lrfd: Lrfd, vehicle: Vehicle, thickness_in: float, together: bool) -> Share:
    """A foot of deck: the strip of a lane where the deck works together (its edge too if asked), else b_t + t."""
    if not together:
        return loose_strip_share(wide_in=STRIP_IN, wheel_lb=vehicle.heaviest_wheel_lb, thickness_in=thickness_in)
    common = {"span_ft": case.span_ft, "deck_width_ft": case.deck_width_ft, "lanes": case.lanes_loaded}
    inner = strip_share(wide_in=STRIP_IN, **common, one_lane_too=lrfd.one_lane_too)
    if not lrfd.edge_strip:
        return inner
    strip = lane_strip_width_in(span_ft=case.span_ft, width_ft=case.deck_width_ft, lanes=1)
    barrier = max(0.0, (case.deck_width_ft - case.roadway_width_ft) / 2.0) * 12.0
    edge = edge_strip_share(wide_in=STRIP_IN, strip_in=strip, edge_to_barrier_in=barrier)
    return max(inner, edge, key=lambda share: share.wheel_lines)


def strip_ratio(*, case: SpanCase, member: MemberCase, worth: PressureWorth | None, together: bool) -> float:
    """Part of the strip's laminations that carry: lost ones left out, one in j jointed, none without any credit.

    ``model``: the share of a lost lamination goes to its neighbours within a strip of ``LEAST_TIRE_IN`` and the deck's
    thickness (twice it where laminations act ``together``), the same for every vehicle: reaching more sound wood with
    a wider tire, a heavier vehicle would rate higher. (j - 1)/j for butt joints.
    """
    if worth is not None and worth.treatment == "none":
        return 0.0
    lost = sum(loss.count for loss in member.losses if loss.kind == "lamination_lost")
    strip_in = LEAST_TIRE_IN + (2.0 if together else 1.0) * member.depth_in
    ratio = max(0.0, 1.0 - lost * member.width_in / strip_in)
    return ratio * butt_joint_ratio(case)


def butt_joint_ratio(case: SpanCase) -> float:
    """(j - 1)/j of the laminations of a strip or flange run past any one section (``model``); not known is jointed.

    Without bars only joints on record count: nailed laminations are whole unless somebody saw otherwise.
    """
    if case.bars is None:
        return (BUTT_JOINT_EVERY - 1.0) / BUTT_JOINT_EVERY if case.deck_butt_jointed else 1.0
    if case.bars.butt_jointed is False:
        return 1.0
    every = case.bars.joint_every or BUTT_JOINT_EVERY
    return (every - 1.0) / every


def panel_shares(case: SpanCase, member: MemberCase, vehicle: Vehicle, lrfd: Lrfd | None = None) -> Shares:
    """Glulam panel: 3.25.3 with proven stiffeners; else one wheel line over b_t + t, not wider than the panel."""
    if lrfd is not None:
        bending = shear = _lrfd_panel(case, member, vehicle, lrfd)
    elif case.deck_interconnected:
        bending = panel_bending_share(panel_in=member.width_in, span_ft=case.span_ft, lanes=case.lanes_loaded)
        shear = panel_shear_share(panel_in=member.width_in)
    else:
        width = loose_deck_width_in(
            wheel_lb=vehicle.heaviest_wheel_lb, thickness_in=member.depth_in, panel_in=member.width_in
        )
        bending = shear = Share(
            wheel_lines=member.width_in / width,
            rule=f"W_p/D_w, D_w = b_t + t not above the panel = {width:.2f} in",
            source="AASHTO Standard Specifications 3.25.2",
            mark="memory",
        )
    return Shares(bending=bending, shear=shear, over_bearing=shear, rest=shear, wood_shear=False)


def _lrfd_panel(case: SpanCase, member: MemberCase, vehicle: Vehicle, lrfd: Lrfd) -> Share:
    if not case.deck_interconnected:
        return loose_strip_share(
            wide_in=member.width_in,
            wheel_lb=vehicle.heaviest_wheel_lb,
            thickness_in=member.depth_in,
            panel_in=member.width_in,
        )
    return strip_share(
        wide_in=member.width_in,
        span_ft=case.span_ft,
        deck_width_ft=case.deck_width_ft,
        lanes=case.lanes_loaded,
        one_lane_too=lrfd.one_lane_too,
    )
