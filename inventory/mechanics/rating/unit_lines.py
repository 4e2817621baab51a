"""Stringers that run through over piers: which spans run together, and which members of them are one line.

A line is a member of one span with those it runs on into in the other spans of the unit: the member of the same label,
else the one of the same place (outside or not) and section. A member damaged in one span is sound in the others. Spans
are joined only where nothing has to be guessed; everything else is refused in a sentence. Dead load and stiffness of a
line are those of each span: E' I of the sound section, constant along the span (``model``: damage is small in length).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from inventory.mechanics.beam import ContinuousBeam
from inventory.mechanics.beam.continuous import MOST_SPANS
from inventory.mechanics.distribution import Share
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.vehicle import Vehicle

from .cases import MemberCase, SpanCase
from .elements import Element, Shares

SOURCE = "stringers that run through"
CONTINUOUS_NOTE = (
    "Stringers run through over their piers (unit {unit}): dead and vehicle load on the continuous beam, supports that "
    "do not yield, E I of the sound section of each span. Axles of legal, emergency and county vehicles all count, "
    "those of design trucks and the notional load that relieve are left out."
)
_FIGURES = 9
_SAME_FT = 1e-6


@dataclass(frozen=True, kw_only=True)
class UnitSpan:
    """A span of a continuous unit: the cases of all its spans left to right, and which of them (from 1) this is."""

    cases: tuple[SpanCase, ...]
    span_no: int

    @property
    def case(self) -> SpanCase:
        return self.cases[self.span_no - 1]

    @property
    def inner_ends(self) -> tuple[bool, bool]:
        """Whether the stringers run on over the left and over the right support of this span."""
        return self.span_no > 1, self.span_no < len(self.cases)


@dataclass(frozen=True, kw_only=True)
class UnitLine:
    """One stringer along its unit: the beam, and DC and DW of each span, lb/ft."""

    beam: ContinuousBeam
    dc_plf: tuple[float, ...]
    dw_plf: tuple[float, ...]
    elements: tuple[Element, ...]


def unit_spans(cases: tuple[SpanCase, ...]) -> tuple[UnitSpan | None, ...]:
    """For every span of a structure, in order, the unit it belongs to; None for a span by itself.

    Neighbours with the same ``continuous_unit`` belong together.
    """
    found: list[UnitSpan | None] = []
    start = 0
    while start < len(cases):
        end = start + 1
        while cases[start].continuous_unit and end < len(cases):
            if cases[end].continuous_unit != cases[start].continuous_unit:
                break
            end += 1
        row = cases[start:end]
        alone = not cases[start].continuous_unit
        found += [None if alone else UnitSpan(cases=row, span_no=at + 1) for at in range(len(row))]
        start = end
    return tuple(found)


def unit_sentences(unit: UnitSpan) -> tuple[str, ...]:
    """Why the spans of a unit cannot be rated together; empty where they can."""
    name = unit.case.continuous_unit
    told = []
    if not 2 <= len(unit.cases) <= MOST_SPANS:
        told.append(
            f"Unit {name}: {len(unit.cases)} span{'s' * (len(unit.cases) != 1)} side by side run through; stringers "
            f"over 2 to {MOST_SPANS} spans are rated."
        )
    for case in unit.cases:
        if case.system != "stringer":
            words = case.system.replace("_", " ")
            told.append(
                f"Unit {name}: span {case.label} is a {words}; only stringers are rated as running through over piers. "
                "Have the engineer rate the unit."
            )
        labels = [member.label for member in case.members]
        if len(set(labels)) != len(labels):
            told.append(f"Unit {name}: two members of span {case.label} have one name; give each its own.")
    return tuple(told)


def matched_member(*, unit: UnitSpan, member: MemberCase, case: SpanCase) -> MemberCase:
    """The member of another span that ``member`` runs on into; ``OutsideValidity`` where it is not clear."""
    same = [other for other in case.members if other.label == member.label and other.exterior == member.exterior]
    found = same or [other for other in case.members if other.exterior == member.exterior]
    near = [other for other in found if abs((other.spacing_ft or 0.0) - (member.spacing_ft or 0.0)) <= _SAME_FT]
    kinds = {_section_of(other) for other in near}
    if len(kinds) == 1:
        return near[0]
    here, there = f"{member.label} of span {unit.case.label}", f"span {case.label}"
    if not found:
        problem = f"no {'outside' if member.exterior else 'inside'} stringer in {there}"
    elif not near:
        spacings = ", ".join(sorted({f"{other.spacing_ft:g} ft" for other in found if other.spacing_ft}))
        problem = (
            f"{member.spacing_ft:g} ft of spacing and {spacings} in {there} (differing spacing, or a broken stringer "
            "that no longer runs through)"
        )
    else:
        problem = f"{len(kinds)} unlike stringers of that place in {there}"
    raise OutsideValidity(
        name=f"the line of {here}",
        value=problem,
        valid="one stringer of the same place, section and spacing in every span; have the engineer rate the unit",
        source=SOURCE,
    )


def _section_of(member: MemberCase) -> tuple:
    """What of a member bears on its weight and stiffness."""
    return member.material, member.width_in, member.depth_in, member.shape, member.count, member.wet_service


def unit_line(*, unit: UnitSpan, member: MemberCase, build: Callable[[SpanCase, MemberCase], Element]) -> UnitLine:
    """The line of a member of this span, sound in every span; ``build`` makes an element as if a span stood alone."""
    elements = []
    for at, case in enumerate(unit.cases, 1):
        mine = member if at == unit.span_no else matched_member(unit=unit, member=member, case=case)
        elements.append(build(case, replace(mine, losses=())))
    return UnitLine(
        beam=ContinuousBeam(spans_ft=tuple(case.span_ft for case in unit.cases), stiffnesses=_stiffnesses(elements)),
        dc_plf=tuple(element.dc_plf for element in elements),
        dw_plf=tuple(element.dw_plf for element in elements),
        elements=tuple(elements),
    )


def _stiffnesses(elements: list[Element]) -> tuple[float, ...]:
    """E' I of each span over that of the first; empty where they are alike, so that like lines share one search."""
    values = [element.modulus.stress_psi * element.stiffest_in4 for element in elements]
    ratios = tuple(float(f"{value / values[0]:.{_FIGURES}g}") for value in values)
    return () if all(ratio == 1.0 for ratio in ratios) else ratios


def line_shares(*, line: UnitLine, vehicle: Vehicle) -> Shares:
    """Shares of a vehicle on a line: of each the largest over its spans, so that no loaded span is underrated.

    Span lengths do not enter the rules for stringers (S/D, lever); where the record differs between spans (deck,
    lanes, curb) the harsher counts for the whole line (``model``).
    """
    found = [element.shares(vehicle) for element in line.elements]

    def most(name: str) -> Share:
        return max((getattr(shares, name) for shares in found), key=lambda share: share.wheel_lines)

    return replace(
        found[0], bending=most("bending"), shear=most("shear"), over_bearing=most("over_bearing"), rest=most("rest")
    )
