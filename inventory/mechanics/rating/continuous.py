"""A stringer that runs through over piers, ready to rate in one of its spans: its line, its strength over the piers.

It stands where a plain ``Element`` stands in the rating of a span. Hogging strength: the value of the layup's other
face where it is given (half of F_b for glulam where it is not, as old tables gave it for unbalanced layups, memory);
C_V with L the two spans beside a pier together, the longest the part between zero moments can be in any usual unit
(safe side, ``model``; NDS 5.3.6 and LRFD 8.4.4.5 take the length between zero moments); C_L with the lower edge free
between supports unless a shorter free length is on record. Sagging keeps C_V of the span length, never shorter than
the part between zero moments.

A support can push up and not hold down unless hold-downs are on record. Where the factored vehicle would lift the
stringer off a bearing against 0.90 of DC, the span is rated as a simple one too and the lower factor counts: a lifted
stringer sags more, never more than a simple one, and hogs less (``model``; holding down: Standard Specifications 3.17,
memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from inventory.mechanics.beam import (
    LaneLive,
    continuous_dead_reactions_lb,
    continuous_dead_support_moments_lbft,
    live_uplift_lb,
    load_factor_live,
    vehicle_live,
)
from inventory.mechanics.material import Allowable, Use, bending_resistance, bending_stress
from inventory.mechanics.tables.design_values import DesignValue
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .build import Build, build_stringer, stringer_sharing
from .cases import MemberCase
from .elements import Element, Shares, member_material, member_service, trace_allowable
from .levels import Level
from .limit_states import limit_state_results
from .results import LimitStateResult
from .unit_lines import SOURCE, UnitLine, UnitSpan, line_shares, unit_line
from .unit_states import STEPS, SpanPart, span_part_results

HOLDING_SHARE = 0.90
"""Of DC against uplift: the least load factor of DC (LRFD Table 3.4.1-2, memory)."""
OTHER_FACE_UNKNOWN = 0.5
_NOTHING_LB = 1e-6
E_MIN_OVER_E = {"glulam_x": 0.528, "glulam_y": 0.528}
E_MIN_OVER_E_SAWN = 0.365
"""(1 - 1.645 COV) x 1.03/1.66, COV 0.25; glulam (1 - 1.645 x 0.10) x 1.05/1.66 (NDS appendix D, memory)."""


@dataclass(frozen=True, kw_only=True)
class UnitElement:
    """One member in one span of its unit, by one method; the fields and questions of ``Element`` answered for it."""

    element: Element
    line: UnitLine
    span_no: int
    hogging: Allowable
    hogging_dead: Allowable
    held_down: bool

    @property
    def label(self) -> str:
        return self.element.label

    @property
    def pieces(self):
        return self.element.pieces

    @property
    def standing(self) -> UnitElement:
        return self

    def choose(self, vehicle: Vehicle) -> Element:
        """For deflection as of a simple span, which bends more."""
        return self.element

    def live(self, vehicle: Vehicle) -> LaneLive:
        return load_factor_live(vehicle=vehicle) if self.element.strength else vehicle_live(vehicle=vehicle)

    def shares(self, vehicle: Vehicle) -> Shares:
        own = self.element.shares(vehicle).capacity_ratio
        return replace(line_shares(line=self.line, vehicle=vehicle), capacity_ratio=own)

    def results(self, vehicle: Vehicle) -> tuple[LimitStateResult, ...]:
        """Every limit state at every level of the method."""
        levels, shares = self.element.levels(vehicle), self.shares(vehicle)
        if not levels:
            return ()
        part = SpanPart(
            element=self.element,
            hogging_psi=self.hogging.stress_psi,
            line=self.line,
            span_no=self.span_no,
            live=self.live(vehicle),
            shares=shares,
        )
        found = span_part_results(part=part, vehicle=vehicle, levels=levels)
        lifted = {level.name for level in levels if self.lifted(vehicle, level)}
        if not lifted:
            return found
        simple = limit_state_results(element=replace(self.element, shares=lambda _vehicle: shares), vehicle=vehicle)
        return _lower_of(found, tuple(replace(one, as_simple=True) for one in simple if one.level in lifted))

    def uplift(self, vehicle: Vehicle, support_no: int) -> tuple[float, float]:
        """(pull of the unfactored vehicle on the member, what holds it down), lb, at a support of the unit."""
        lane = live_uplift_lb(beam=self.line.beam, live=self.live(vehicle), support_no=support_no)
        dead = continuous_dead_reactions_lb(beam=self.line.beam, loads_plf=self.line.dc_plf)[support_no - 1]
        return lane * self.shares(vehicle).bending.wheel_lines / 2.0, HOLDING_SHARE * max(0.0, dead)

    def lifted(self, vehicle: Vehicle, level: Level) -> list[int]:
        """Supports of the unit from which the vehicle of this level would lift the stringer."""
        if self.held_down:
            return []
        found = []
        for support in range(1, len(self.line.beam.supports_ft) + 1):
            pull, held = self.uplift(vehicle, support)
            if pull > _NOTHING_LB and pull * level.live > held:
                found.append(support)
        return found

    def notes(self, vehicles: tuple[Vehicle, ...]) -> tuple[str, ...]:
        """What was taken for the member over its piers, and the vehicles that would lift its ends."""
        told = [
            f"{self.label}: hogging with F_b {self.hogging.reference_psi:g} psi; C_V over a pier with the two spans "
            "beside it together, C_L with the lower edge free between supports (safe side, model)."
        ]
        lifting = sorted({v.id for v in vehicles for level in self.element.levels(v) if self.lifted(v, level)})
        if lifting:
            told.append(
                f"{self.label}: {', '.join(lifting)} would lift the stringer off a bearing and nothing on record holds "
                "it down there: rated as a simple span too, the lower factor counts. Check the hold-downs."
            )
        if self.held_down:
            told.append(f"{self.label}: hold-downs at every support are on record, so uplift is not looked at.")
        return tuple(told)

    def dead_alone(self) -> tuple[float, float, float] | None:
        """Dead load alone, C_D = 0.90, either way: (allowable, dead) moment lb-ft where their ratio is least, station.

        As ``dead_load_alone`` for a plain element.
        """
        part = SpanPart(
            element=self.element,
            hogging_psi=self.hogging_dead.stress_psi,
            line=self.line,
            span_no=self.span_no,
            live=vehicle_live(vehicle=_ANY),
            shares=self.shares(_ANY),
        )
        best = None
        for piece in self.pieces:
            for step in range(STEPS + 1):
                x = piece.from_ft + (piece.to_ft - piece.from_ft) * step / STEPS
                for sign, stress in ((1, self.element.bending_dead.stress_psi), (-1, part.hogging_psi)):
                    dead = sum(part.dead_moments(x, sign))
                    allowed = stress * piece.section.modulus_in3 * self.element.scale / 12.0
                    if dead > 0 and (best is None or allowed / dead < best[0] / best[1]):
                        best = (allowed, dead, x)
        return best


_ANY = Vehicle(id="any", name="one axle", axles_kip=(1.0,), spacings_ft=())


def _lower_of(first: tuple[LimitStateResult, ...], second: tuple[LimitStateResult, ...]) -> tuple:
    """The lower factor of each limit state and level; those only one side has are kept."""
    least: dict[tuple[str, str], LimitStateResult] = {}
    for result in (*first, *second):
        key = (result.limit_state, result.level)
        if key not in least or result.rating_factor < least[key].rating_factor:
            least[key] = result
    return tuple(least.values())


def build_unit_stringer(build: Build, member: MemberCase, trace: Trace) -> UnitElement:
    """A stringer of ``build.unit`` in its own span, with the rest of its line, recorded."""
    unit: UnitSpan = build.unit
    element = build_stringer(build, member, trace)
    line = unit_line(
        unit=unit,
        member=member,
        build=lambda case, other: build_stringer(replace(build, case=case), other, Trace()),
    )
    stress, dead = (_hogging(build, member, duration) for duration in ("vehicle", "permanent"))
    words = f"resistance, {build.strength}" if build.strength else "stress"
    trace.heading(f"Hogging {words}: {member.label}")
    trace_allowable(trace, stress, _hogging_value(member))
    _trace_line(trace, member.label, line)
    return UnitElement(
        element=element,
        line=line,
        span_no=unit.span_no,
        hogging=stress,
        hogging_dead=dead,
        held_down=all(case.held_down for case in unit.cases),
    )


def _hogging_value(member: MemberCase) -> DesignValue:
    """Design values for tension on the upper face; E_min by appendix D where the table has none."""
    value = member_material(member)
    other = value.fb_psi
    if value.kind == "glulam_x":
        other = value.fb_psi * OTHER_FACE_UNKNOWN if value.fb_neg_psi is None else value.fb_neg_psi
    e_min = value.e_min_psi or value.e_psi * E_MIN_OVER_E.get(value.kind, E_MIN_OVER_E_SAWN)
    return replace(value, fb_psi=min(value.fb_psi, other), e_min_psi=e_min)


def _hogging(build: Build, member: MemberCase, duration: str) -> Allowable:
    """F_b' or phi F_b for tension on the upper face (C_D of dead load alone only in allowable stress)."""
    unit, span = build.unit, build.case.span_ft
    spans = [case.span_ft for case in unit.cases]
    left, right = unit.inner_ends
    pairs = [span + spans[unit.span_no - 2]] * left + [span + spans[unit.span_no % len(spans)]] * right
    free = span if member.braced or member.unbraced_ft is None else member.unbraced_ft
    use = Use(
        width_in=member.width_in,
        depth_in=member.depth_in,
        span_ft=max(pairs, default=span),
        sharing=stringer_sharing(member),
        unbraced_ft=free,
    )
    common = {"value": _hogging_value(member), "service": member_service(build.case, member), "use": use}
    if build.strength and duration == "vehicle":
        return bending_resistance(**common, strength=build.strength)
    return bending_stress(**common, duration=duration)


def _trace_line(trace: Trace, label: str, line: UnitLine) -> None:
    """Spans, loads and stiffness ratios of the line, and its dead moments over the supports."""
    trace.heading(f"Continuous line: {label}")
    ratios = line.beam.relative_ei
    for at, span in enumerate(line.beam.spans_ft):
        trace.add(f"L{at + 1}", span, "ft", "of the unit", "record", "input")
        trace.add(f"EI{at + 1}/EI1", ratios[at], "", "E' I, sound section", SOURCE, "model")
        trace.add(f"w DC, span {at + 1}", line.dc_plf[at], "lb/ft", "as of its span", "statics", "computed")
        trace.add(f"w DW, span {at + 1}", line.dw_plf[at], "lb/ft", "as of its span", "statics", "computed")
    for name, loads in (("DC", line.dc_plf), ("DW", line.dw_plf)):
        moments = continuous_dead_support_moments_lbft(beam=line.beam, loads_plf=loads)
        for support, moment in enumerate(moments[1:-1], 2):
            trace.add(f"M {name}, support {support}", moment, "lb-ft", "three-moment equation", "statics", "computed")
