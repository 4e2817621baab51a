"""Members of a span made ready to rate, by system, with the assumptions each makes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from inventory.mechanics.bars import PressureWorth, pressure_worth
from inventory.mechanics.section import SEAT_RATIO
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .cases import MemberCase, SpanCase
from .dead import deck_dead_plf, stringer_dead_plf
from .elements import Element, make_element
from .levels import Level, levels_of
from .needed import needed_pressure, trace_needed
from .policy import RatingPolicy
from .refined import refined_notes, refined_of, with_refined
from .shares import (
    BUTT_JOINT_EVERY,
    STRIP_IN,
    Lrfd,
    curb_offset_ft,
    lamination_shares,
    panel_shares,
    stringer_shares,
)
from .unit_lines import CONTINUOUS_NOTE, UnitSpan

REPETITIVE_SPACING_FT = 2.0


def span_pressure_worth(
    case: SpanCase, policy: RatingPolicy, trace: Trace, vehicles: Iterable[str | Vehicle] = ()
) -> PressureWorth | None:
    """What the bar pressure is worth, recorded; None for spans without bars.

    The need is the engineer's where it is on record, else what the plate asks under ``vehicles``, else the floor.
    """
    if case.bars is None:
        return None
    bars, words, mark = case.bars, "engineer's value", "input"
    needed_psi = bars.needed_pressure_psi
    if needed_psi is None:
        words, mark = "floor taken as the need", "memory"
        needed = needed_pressure(case=case, policy=policy, vehicles=vehicles)
        if needed is not None:
            trace_needed(trace, needed)
            needed_psi = needed.psi
            words, mark = f"larger of floor, gap and slip, worst under {needed.worst.vehicle}", "model"
    worth = pressure_worth(
        pressure_psi=bars.least_local_pressure_psi,
        needed_psi=needed_psi,
        full_length=bars.butt_jointed is False,
        interconnected=bool(bars.interconnection_proven),
        floor_psi=policy.pressure_floor_psi,
        closing_psi=policy.closing_pressure_psi,
    )
    worth = replace(worth, need_words=f"{words} ({mark})")
    trace.heading("Bar pressure")
    when = f"least mean over three bars or 10 ft, {bars.reading_date or 'no date'}"
    trace.add("N", worth.pressure_psi, "psi", when, "bar readings", "input")
    trace.add("N needed", worth.needed_psi, "psi", words, "EM 7700-8 chapter 9", mark)
    trace.add("treatment", worth.treatment, "", "stressed, loose or none", "use of pressure in a rating", "model")
    return worth


@dataclass(frozen=True, kw_only=True)
class Build:
    """What every member of a span is built with: case, policy, pressure, the method's limit state ("" allowable).

    ``unit`` the spans its stringers run through with, None for a simple span.
    """

    case: SpanCase
    policy: RatingPolicy
    worth: PressureWorth | None
    strength: str = ""
    unit: UnitSpan | None = None

    @property
    def method(self) -> str:
        return "LRFR" if self.strength else "ASR"

    def lrfd(self) -> Lrfd | None:
        """Settings of LRFD distribution; None in allowable stress."""
        if not self.strength:
            return None
        return Lrfd(one_lane_too=self.policy.one_lane_case_too, edge_strip=self.policy.rate_edge_strip)

    def levels(self, vehicle: Vehicle) -> tuple[Level, ...]:
        """Levels at which the vehicle is rated with the strengths of this method and limit state."""
        girders = max((member.count or 0 for member in self.case.members), default=0) or None
        found = levels_of(vehicle=vehicle, case=self.case, policy=self.policy, method=self.method, girders=girders)
        return tuple(level for level in found if level.strength == self.strength)

    def at_hand(self, vehicle: Vehicle) -> SpanCase:
        """The case, with one lane loaded for an emergency vehicle where the policy has only one on the bridge."""
        if vehicle.vehicle_class == "emergency" and self.strength and self.policy.emergency_in_one_lane:
            return replace(self.case, lanes_loaded=1)
        return self.case

    def is_by_plate(self, member: MemberCase) -> bool:
        """Whether the refined distribution was chosen and a plate stands for the member."""
        refined = refined_of(case=self.case, member=member, worth=self.worth)
        return refined is not None and refined.plate is not None

    def element(self, member: MemberCase, trace: Trace, **fields) -> Element:
        """The member ready to rate; its shares by the plate where the span is rated so."""
        fields["shares"] = with_refined(
            case=self.case,
            case_of=self.at_hand,
            member=member,
            worth=self.worth,
            method=self.method,
            rules=fields["shares"],
        )
        return make_element(
            case=self.case,
            member=member,
            policy=self.policy,
            trace=trace,
            strength=self.strength,
            levels=self.levels,
            **fields,
        )


def build_stringer(build: Build, member: MemberCase, trace: Trace) -> Element:
    """Interior or outside stringer under a deck."""
    case = build.case
    trace.heading(f"Dead load: {member.label}")
    width = tributary_ft(case, member)
    dead = stringer_dead_plf(case=case, member=member, width_ft=width, trace=trace)
    _trace_shares(trace, build, member, stringer_shares(case, member, build.lrfd()))
    return build.element(
        member,
        trace,
        dead=dead,
        sharing=stringer_sharing(member),
        scale=1.0,
        shares=lambda vehicle: stringer_shares(build.at_hand(vehicle), member, build.lrfd()),
    )


def stringer_sharing(member: MemberCase) -> str:
    """Repetitive where three and more stand within 2 ft (NDS 4.3.9), else single."""
    close = member.spacing_ft <= REPETITIVE_SPACING_FT and (member.count or 0) >= 3
    return "repetitive" if close else "single"


def tributary_ft(case: SpanCase, member: MemberCase) -> float:
    """Deck width carried: the spacing; outside members half of it and the overhang (half again where unknown)."""
    if not member.exterior:
        return member.spacing_ft
    if member.count and member.count > 1:
        overhang = (case.deck_width_ft - (member.count - 1) * member.spacing_ft) / 2.0
        return member.spacing_ft / 2.0 + max(0.0, overhang)
    return member.spacing_ft


def build_lamination(build: Build, member: MemberCase, trace: Trace, pressed: bool) -> Element:
    """One foot of a nail-laminated or stress-laminated longitudinal deck; ``pressed`` where it has bars."""
    worth = build.worth if pressed else None
    trace.heading(f"Dead load: {member.label}")
    dead = deck_dead_plf(case=build.case, member=member, width_ft=STRIP_IN / 12.0, trace=trace)
    stressed = worth is not None and worth.treatment == "stressed"
    return build.element(
        member,
        trace,
        dead=dead,
        sharing="stress_laminated" if stressed else "nail_laminated",
        scale=STRIP_IN / member.width_in,
        shares=lambda vehicle: lamination_shares(
            case=build.at_hand(vehicle), member=member, worth=worth, vehicle=vehicle, lrfd=build.lrfd()
        ),
    )


def build_panel(build: Build, member: MemberCase, trace: Trace) -> Element:
    """One longitudinal glulam panel."""
    trace.heading(f"Dead load: {member.label}")
    dead = deck_dead_plf(case=build.case, member=member, width_ft=member.width_in / 12.0, trace=trace)
    return build.element(
        member,
        trace,
        dead=dead,
        sharing="single",
        scale=1.0,
        shares=lambda vehicle: panel_shares(build.at_hand(vehicle), member, vehicle, build.lrfd()),
    )


def _trace_shares(trace: Trace, build: Build, member: MemberCase, shares) -> None:
    if build.is_by_plate(member):
        return  # the plate's shares are recorded by vehicle
    trace.heading(f"Distribution, {build.method}: {member.label}")
    for symbol, share in (("g bending", shares.bending), ("g over bearing", shares.over_bearing)):
        trace.add(symbol, share.wheel_lines, "wheel lines", share.rule, share.source, share.mark)


def assumption_notes(case: SpanCase, worth: PressureWorth | None) -> list[str]:
    """Every assumption of the case that a reader cannot see from the numbers."""
    told = ["No dynamic allowance on wood; dead and vehicle load on a simple span."]
    if case.continuous_unit:
        told = [f"No dynamic allowance on wood. {CONTINUOUS_NOTE.format(unit=case.continuous_unit)}"]
    told.append("Reference design values are of the edition named with each; splits are not credited (no C_H).")
    if case.lanes_loaded == 1 and case.roadway_width_ft >= 18.0:
        told.append(f"One lane is loaded although the roadway is {case.roadway_width_ft:g} ft wide.")
    if case.skew_deg:
        told.append(f"The skew of {case.skew_deg:g} degrees is not in the distribution rules used.")
    if case.railing_plf and case.system == "stringer":
        told.append("Railing and curb of one side are carried by the outside member alone (model).")
    for layer in case.surfacing:
        if not layer.measured:
            told.append(f"The thickness of {layer.name} is from the record, not measured.")
    if worth is not None:
        told += _bar_notes(case, worth)
    if case.system == "glulam_panel_deck" and not case.deck_interconnected:
        told.append("Panels are taken as not interconnected; stiffeners as 3.25.3 asks are not on record.")
    if case.system == "nail_laminated_deck":
        told += _nailed_deck_notes(case)
    for member in case.members:
        told += _member_notes(case, member)
    return told + refined_notes(case, worth)


def load_factor_notes(case: SpanCase, policy: RatingPolicy) -> list[str]:
    """What load and resistance factor rating took for granted."""
    told = []
    if case.condition_rating is None:
        told.append("LRFR: no condition of the superstructure is on record; poor is taken (phi_c 0.85).")
    if case.adtt is None:
        told.append("LRFR: trucks a day are not on record; the greatest live-load factor of legal loads is taken.")
    if policy.emergency_in_one_lane:
        told.append("LRFR: emergency vehicles with the one-lane share (setting).")
    if not policy.one_lane_case_too and case.lanes_loaded > 1:
        told.append("LRFR: shares of several lanes only; one lane alone is not tried (setting).")
    if not policy.rate_edge_strip and case.system in ("nail_laminated_deck", "stress_laminated_deck"):
        told.append("LRFR: the edge strip of the deck is not rated (setting).")
    return told


def _nailed_deck_notes(case: SpanCase) -> list[str]:
    told = [] if case.deck_interconnected else ["The deck is taken as not interconnected across its width."]
    if case.deck_butt_jointed is None:
        told.append("Whether the laminations have butt joints is not on record; they are taken as full length.")
    elif case.deck_butt_jointed:
        told.append(f"Butt joints: strength of the strip x ({BUTT_JOINT_EVERY} - 1)/{BUTT_JOINT_EVERY} (model).")
    return told


def _bar_notes(case: SpanCase, worth: PressureWorth) -> list[str]:
    told = list(worth.sentences)
    if case.bars.needed_pressure_psi is None:
        told.append(f"The needed pressure was not entered; {worth.needed_psi:.0f} psi is taken: {worth.need_words}.")
    if case.bars.butt_jointed is not False:
        every = case.bars.joint_every or BUTT_JOINT_EVERY
        known = "" if case.bars.joint_every else ", taken where the joint pattern is not recorded"
        told.append(f"Butt joints: strength of the strip x ({every} - 1)/{every} (model){known}.")
    return told


def _member_notes(case: SpanCase, member: MemberCase) -> list[str]:
    told = []
    wet = case.wet_service if member.wet_service is None else member.wet_service
    told.append(f"{member.label}: {'wet' if wet else 'dry'} service; {member.material.title} ({member.material.mark}).")
    if member.bearing_length_in is None:
        told.append(f"{member.label}: bearing length not measured, so bearing is not rated.")
    elif member.shape == "round":
        told.append(f"{member.label}: it bears on a flat taken as {SEAT_RATIO:.0%} of its diameter (model).")
    if member.incised is None and member.material.kind in ("dimension", "timber"):
        told.append(f"{member.label}: no incising on record; taken as not incised.")
    if member.exterior and member.role == "stringer":
        offset, how = curb_offset_ft(case, member)
        told.append(f"{member.label}: curb {offset:g} ft outside the stringer ({how}).")
    if not member.braced and member.unbraced_ft is None:
        told.append(f"{member.label}: unbraced length not given; the whole span is taken.")
    if member.material.kind == "glulam_x" and member.material.volume_exponent is None:
        told.append(f"{member.label}: the stress class does not fix the species; C_V uses 1/10, the lower.")
    if any(loss.kind == "surface" and loss.depth_in > 0 for loss in member.losses):
        told.append(f"{member.label}: a transition layer is taken off behind surface decay (setting).")
    return told
