"""The deck of members side by side as a plate: webs of T and box spans with their flanges, or a row of stringers.

D_x = E I/S of a web with its flanges, D_y and D_k of the flanges alone (``plate.ribbed_stiffness``); half a spacing of
plate beyond the outer members, which are beams under the edges where they are stiffer. Mark ``model``.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.material import Service, modulus
from inventory.mechanics.plate import Deck, EdgeBeam, PlateStiffness, TransverseRatios, ribbed_stiffness
from inventory.mechanics.plate.stiffness import NO_EDGE_BEAM
from inventory.mechanics.section import Flange, composite_section, effective_side_in

from .cases import MemberCase, SpanCase
from .elements import member_service


@dataclass(frozen=True, kw_only=True)
class RibbedDeck:
    """The plate of a T or box span, I of a web with its flanges (in4, web material), E I outer web over inner."""

    deck: Deck
    web_inertia_in4: float
    outer_ratio: float


def ribbed_deck(*, case: SpanCase, ratios: TransverseRatios) -> RibbedDeck | str:
    """Webs and flanges smeared into one plate, stiffer outer webs as edge beams; or why there is none."""
    inner = inner_member(case)
    if not inner.spacing_ft or not inner.flange_depth_in or inner.flange_material is None:
        return "spacing or flange of the webs is not on record"
    depths = (inner.flange_depth_in,)
    if case.system == "stress_laminated_box":
        if not inner.bottom_flange_depth_in:
            return "the lower flange is not on record"
        depths = (inner.flange_depth_in, inner.bottom_flange_depth_in)
    stiff = [_web_stiffness(case, web) for web in (inner, next((web for web in case.members if web.exterior), inner))]
    flange_e = modulus(value=inner.flange_material, service=_flange_service(case, inner)).stress_psi
    web_e, inertia = stiff[0][1:]
    stiffness = ribbed_stiffness(
        web_e_psi=web_e,
        web_inertia_in4=inertia,
        web_spacing_in=12.0 * inner.spacing_ft,
        flange_e_psi=flange_e,
        flange_depths_in=depths,
        e_ratio=ratios.e_ratio,
        g_ratio=ratios.g_ratio,
    )
    return RibbedDeck(
        deck=member_deck(case, inner, stiffness, stiff[1][0] / stiff[0][0]),
        web_inertia_in4=inertia,
        outer_ratio=stiff[1][0] / stiff[0][0],
    )


def _web_stiffness(case: SpanCase, web: MemberCase) -> tuple[float, float, float]:
    """E I (lb-in2), E (psi) and I (in4) of a sound web with its flanges on both sides, web material.

    Flanges without their butt joints: stiffer along the span a deck spreads less, and joints never raise a rating.
    """
    web_e = modulus(value=web.material, service=member_service(case, web)).stress_psi
    ratio = modulus(value=web.flange_material, service=_flange_service(case, web)).stress_psi / web_e
    clear = max(0.0, 12.0 * web.spacing_ft - web.width_in)
    width = 2.0 * effective_side_in(clear_in=clear, span_ft=case.span_ft)
    top = Flange(low_in=web.depth_in - web.flange_depth_in, high_in=web.depth_in, width_in=width, ratio=ratio)
    flanges = [top]
    if case.system == "stress_laminated_box":
        flanges.append(Flange(low_in=0.0, high_in=web.bottom_flange_depth_in, width_in=width, ratio=ratio))
    whole = composite_section(width_in=web.width_in, depth_in=web.depth_in, flanges=tuple(flanges))
    return web_e * whole.inertia_in4, web_e, whole.inertia_in4


def member_deck(case: SpanCase, inner: MemberCase, stiffness: PlateStiffness, outer_ratio: float = 1.0) -> Deck:
    """Half a spacing beyond the outer members; an edge beam of what their E I is more than the inner ones' D_x S."""
    width = 12.0 * inner.spacing_ft * (inner.count or 0)
    edge = NO_EDGE_BEAM
    if outer_ratio > 1.0 + 1e-6:
        more_lbin2 = (outer_ratio - 1.0) * stiffness.dx_lbin * 12.0 * inner.spacing_ft
        edge = EdgeBeam(e_psi=1e6, inertia_in4=more_lbin2 / 1e6)
    return Deck(span_in=12.0 * case.span_ft, width_in=width, stiffness=stiffness, near_edge=edge, far_edge=edge)


def inner_member(case: SpanCase) -> MemberCase:
    return next((member for member in case.members if not member.exterior), case.members[0])


def _flange_service(case: SpanCase, web: MemberCase) -> Service:
    return Service(wet=case.wet_service, temperature_f=case.service_temperature_f, maker_wet=web.maker_wet)
