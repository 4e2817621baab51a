"""Webs of stress-laminated T and box spans: composite with their flanges while friction holds, else alone.

All of this is ``model`` and mechanics: shear-lag width, lane fraction S/9.2 or S/9.0 of LRFD Table 4.6.2.2.2a-1, and
friction mu N t_f on a web's side against the longitudinal shear flow V Q_side / I. Where a vehicle would break that
friction, or the pressure is below need, the web is rated with its own depth only.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from inventory.mechanics.bars import FRICTION
from inventory.mechanics.beam import dead_reaction_lb, shear_at
from inventory.mechanics.distribution import Share
from inventory.mechanics.material import Service, Use, bending_resistance, bending_stress, modulus
from inventory.mechanics.section import Flange, NetSection, composite_section, effective_side_in
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .build import Build
from .cases import MemberCase, SectionLoss, SpanCase
from .dead import Dead, timber_pcf, trace_layers, trace_sum
from .elements import Element, member_service, trace_pieces
from .limit_states import level_result, limit_state_results
from .policy import RatingPolicy
from .results import LimitStateResult
from .sections import effective_surfaces, effective_voids, is_split_through, member_section
from .shares import butt_joint_ratio, web_shares

SOURCE = "interface of web and flange"


@dataclass(frozen=True, kw_only=True)
class StressedBeam:
    """A web rated composite (None where pressure gives no composite action) or alone; ``slip_lb`` shear at slip."""

    alone: Element
    composite: Element | None
    slip_lb: float
    told: tuple[str, ...]

    @property
    def span_ft(self) -> float:
        return self.alone.span_ft

    @property
    def standing(self) -> Element:
        return self.composite or self.alone

    def interface_factor(self, vehicle: Vehicle) -> tuple[float, float, float, float, Share]:
        """RF, dead shear, lane shear and live shear at the support against slip, with the share used."""
        share = self.alone.shares(vehicle).shear
        lane = shear_at(vehicle=vehicle, span_ft=self.span_ft, station_ft=0.0).value
        live = lane * share.wheel_lines / 2.0
        dead = dead_reaction_lb(load_plf=self.alone.dead_plf, span_ft=self.span_ft)
        return (self.slip_lb - dead) / live, dead, lane, live, share

    def choose(self, vehicle: Vehicle) -> Element:
        """The stiffness that counts: composite where friction holds for the whole vehicle, else the web alone."""
        if self.composite is None or self.interface_factor(vehicle)[0] < 1.0:
            return self.alone
        return self.composite

    def results(self, vehicle: Vehicle) -> tuple[LimitStateResult, ...]:
        """Composite (slip among its limit states) or alone, whichever carries more, at each level.

        Both are safe where friction carries the whole vehicle: a web that slips still has its own strength.
        """
        alone = limit_state_results(element=self.alone, vehicle=vehicle)
        if self.choose(vehicle) is self.alone:
            return alone
        composite = limit_state_results(element=self.composite, vehicle=vehicle) + self._interface_results(vehicle)
        found = []
        for level in self.alone.levels(vehicle):
            sets = [tuple(r for r in group if r.level == level.name) for group in (composite, alone)]
            found += max(sets, key=lambda group: min(r.rating_factor for r in group))
        return tuple(found)

    def _interface_results(self, vehicle: Vehicle) -> tuple[LimitStateResult, ...]:
        """Interface slip as a limit state of the composite web.

        Friction gains nothing at operating level; the load factors of LRFR stand on the same friction.
        """
        _factor, _dead, lane, live, share = self.interface_factor(vehicle)
        dead = [dead_reaction_lb(load_plf=w, span_ft=self.span_ft) for w in (self.alone.dc_plf, self.alone.dw_plf)]
        return tuple(
            level_result(
                element=self.alone,
                vehicle=vehicle,
                state="interface",
                level=level if level.strength else replace(level, ratio=1.0),
                capacity=self.slip_lb,
                dead=(dead[0], dead[1]),
                lane=lane,
                live=live,
                station_ft=0.0,
                unit="lb",
                share=share,
            )
            for level in self.alone.levels(vehicle)
        )

    def notes(self, vehicles: tuple[Vehicle, ...]) -> tuple[str, ...]:
        """How the web was taken to work, and for which vehicles alone."""
        if self.composite is None:
            return self.told
        alone = [vehicle.id for vehicle in vehicles if self.choose(vehicle) is self.alone]
        if not alone:
            return self.told
        return (*self.told, f"{self.alone.label}: friction does not carry {', '.join(alone)}: web alone for these.")

    @property
    def pieces(self):
        return self.alone.pieces


def build_beam(build: Build, member: MemberCase, trace: Trace) -> StressedBeam:
    """One web with its flanges, both ways of working, and the shear at which the interface would slip."""
    case, policy, worth = build.case, build.policy, build.worth
    dead = _dead(case, member, trace)
    if not build.is_by_plate(member):
        trace.heading(f"Distribution, {build.method}: {member.label}")
        bending = web_shares(case, member, worth, build.lrfd()).bending
        trace.add("g bending", bending.wheel_lines, "wheel lines", bending.rule, bending.source, bending.mark)

    def shares(vehicle: Vehicle):
        return web_shares(build.at_hand(vehicle), member, worth, build.lrfd())

    common = {"dead": dead, "sharing": "single", "scale": 1.0, "shares": shares}
    alone = build.element(member, trace, **common)
    if worth.treatment != "stressed":
        told = (f"{member.label}: no composite action of web and flange is counted at this bar pressure.",)
        return StressedBeam(alone=alone, composite=None, slip_lb=0.0, told=told)
    whole = _flanges(case, member, trace)
    flanges = _without_jointed(case, whole, trace)
    section_of = _section_of(build, member, flanges, alone.bending.stress_psi)
    composite = build.element(member, Trace(), **common, section_of=section_of)
    trace_pieces(trace, f"Composite section, {build.method}: {member.label}", composite.pieces, 1.0)
    slip = min(_slip_lb(case, member, policy, kept, worth.pressure_psi, trace) for kept in {whole, flanges})
    told = (
        f"{member.label}: rated composite with its flange for vehicles the friction between them can carry, with its "
        "own depth only for others (model).",
        f"{member.label}: published flange-width and load-fraction rules for T and box spans were not available; "
        f"shear-lag width and {'the plate' if build.is_by_plate(member) else 'S/9.2 or S/9.0 lanes'} stand in (model).",
    )
    return StressedBeam(alone=alone, composite=composite, slip_lb=slip, told=told)


def _dead(case: SpanCase, member: MemberCase, trace: Trace) -> Dead:
    trace.heading(f"Dead load: {member.label}")
    source = "AASHTO, timber 50 lb/ft3 (EM 7700-8 chapter 6)"
    own = member.width_in * member.depth_in / 144.0 * timber_pcf(member)
    total = trace.add("w web", own, "lb/ft", "A/144 x weight", source, "checked")
    clear = max(0.0, member.spacing_ft * 12.0 - member.width_in)
    depth = member.flange_depth_in + (member.bottom_flange_depth_in or 0.0)
    flange = clear * depth / 144.0 * case.deck_unit_weight_pcf
    total += trace.add("w flange", flange, "lb/ft", "clear width x depth x weight", source, "checked")
    layers = trace_layers(case=case, width_ft=member.spacing_ft, trace=trace)
    if case.railing_plf:
        spread = 2.0 * case.railing_plf * member.spacing_ft / case.deck_width_ft
        total += trace.add("w railing", spread, "lb/ft", "spread over all webs", "distribution of railing", "model")
    return trace_sum(dc_plf=total, layers=layers, trace=trace)


def _flange_service(case: SpanCase, member: MemberCase) -> Service:
    """The flange stands as wet as the span; one maker's wet factors hold for web and flange of a composite."""
    return Service(wet=case.wet_service, temperature_f=case.service_temperature_f, maker_wet=member.maker_wet)


def _flanges(case: SpanCase, member: MemberCase, trace: Trace) -> tuple[Flange, ...]:
    """Effective flanges; an outside web has one on its inner side only."""
    web = modulus(value=member.material, service=member_service(case, member)).stress_psi
    ratio = modulus(value=member.flange_material, service=_flange_service(case, member)).stress_psi / web
    clear = max(0.0, member.spacing_ft * 12.0 - member.width_in)
    side = effective_side_in(clear_in=clear, span_ft=case.span_ft)
    sides = 1 if member.exterior else 2
    trace.heading(f"Composite section: {member.label}")
    trace.add("n", ratio, "", "E' flange / E' web", "transformed section", "computed")
    trace.add("b_e", member.width_in + sides * side, "in", "b + sides x b_c tanh(k b_c)/(k b_c)", "shear lag", "model")
    found = [
        Flange(
            low_in=member.depth_in - member.flange_depth_in,
            high_in=member.depth_in,
            width_in=sides * side,
            ratio=ratio,
        )
    ]
    if case.system == "stress_laminated_box":
        found.append(Flange(low_in=0.0, high_in=member.bottom_flange_depth_in, width_in=sides * side, ratio=ratio))
    return tuple(found)


def _without_jointed(case: SpanCase, flanges: tuple[Flange, ...], trace: Trace) -> tuple[Flange, ...]:
    """Flanges as wide as the laminations that run past a butt joint; slip is looked at with the whole flange too."""
    run = butt_joint_ratio(case)
    if run < 1.0:
        trace.add("butt joints", run, "", "(j - 1)/j of the flange width", "butt joints in flanges", "model")
    return tuple(replace(flange, width_in=flange.width_in * run) for flange in flanges)


def _section_of(build: Build, member: MemberCase, flanges: tuple[Flange, ...], web_psi: float):
    """Section of the composite web: its modulus is the moment at which web or flange reaches its stress, over F_b'."""
    use = Use(width_in=1.5, depth_in=flanges[0].high_in - flanges[0].low_in, span_ft=build.case.span_ft)
    common = {"value": member.flange_material, "service": _flange_service(build.case, member), "use": use}
    flange = bending_resistance(**common, strength=build.strength) if build.strength else bending_stress(**common)
    flange_psi = flange.stress_psi

    def section_of(member: MemberCase, losses: tuple[SectionLoss, ...], policy: RatingPolicy) -> NetSection:
        if is_split_through(losses, member):
            return member_section(member, losses, policy)
        whole = composite_section(
            width_in=member.width_in,
            depth_in=member.depth_in,
            flanges=flanges,
            surface=effective_surfaces(losses, policy),
            voids=effective_voids(member=member, losses=losses, policy=policy),
        )
        plain = member_section(member, losses, policy)
        if whole is None:
            return plain
        axis = whole.centroid_in
        limits = [web_psi / max(whole.web_high_in - axis, axis - whole.web_low_in)]
        limits += [flange_psi / (f.ratio * max(abs(f.high_in - axis), abs(f.low_in - axis))) for f in flanges]
        return replace(
            plain,
            area_in2=whole.area_in2,
            centroid_in=axis,
            inertia_in4=whole.inertia_in4,
            modulus_in3=whole.inertia_in4 * min(limits) / web_psi,
            shear_in2=whole.shear_in2,
        )

    return section_of


def _slip_lb(case, member, policy, flanges, pressure_psi: float, trace: Trace) -> float:
    """V at which the weaker flange slips on one side of the sound web: mu N t_f I / Q_side, lb."""
    whole = composite_section(width_in=member.width_in, depth_in=member.depth_in, flanges=flanges)
    sides = 1 if member.exterior else 2
    friction = FRICTION[case.bars.surface]
    trace.heading(f"Interface of web and flange: {member.label}")
    trace.add("I", whole.inertia_in4, "in4", "web material", "transformed section", "computed")
    trace.add("y bar", whole.centroid_in, "in", "above the soffit", "transformed section", "computed")
    least = float("inf")
    for flange in flanges:
        first = flange.area_in2 / sides * abs(flange.centre_in - whole.centroid_in)
        if first <= 0:
            continue
        trace.add("Q side", first, "in3", "n A_side (y_f - y bar)", SOURCE, "model")
        least = min(least, friction * pressure_psi * (flange.high_in - flange.low_in) * whole.inertia_in4 / first)
    return trace.add("V slip", least, "lb", f"mu N t_f I / Q_side, mu = {friction}", SOURCE, "model")
