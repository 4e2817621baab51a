"""Total quantities of elements worked out from the structure's own geometry, each with its arithmetic in words.

Numbers and units: national element list (2019) [memory]. A county's own total stays; a difference is asked about.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from inspections.vocabulary.elements import ELEMENTS
from inventory.vocabulary.structures import MemberRole, System

DIFFERS_FROM = 0.05
"""A total that differs more from the geometry is asked about [model]."""
DECK_AREA, SLAB_AREA, SURFACE_AREA = 31, 54, 510

OF_ROLE: dict[str, tuple[int, ...]] = {
    MemberRole.STRINGER: (117, 111),
    MemberRole.WEB: (111, 106),
    MemberRole.BOTTOM_FLANGE: (106, 111),
    MemberRole.FLANGE: (DECK_AREA,),
    MemberRole.DECK: (DECK_AREA,),
    MemberRole.LAMINATION: (SLAB_AREA,),
    MemberRole.PANEL: (SLAB_AREA,),
    MemberRole.CAP: (235,),
}
"""Elements a kind of member may be listed as; the first that the sheet already has, otherwise the first."""


@dataclass(frozen=True, kw_only=True)
class MemberShape:
    """Like members of one span: sizes in inches."""

    role: str
    count: int
    width_in: float
    key: object = None


@dataclass(frozen=True, kw_only=True)
class SpanShape:
    index: int
    length_ft: float
    system: str = ""
    members: tuple[MemberShape, ...] = ()


@dataclass(frozen=True, kw_only=True)
class StructureShape:
    """What totals are worked out from; None is not on record. `railing_sides` counts sides that have a timber one."""

    spans: tuple[SpanShape, ...] = ()
    deck_width_ft: float | None = None
    roadway_width_ft: float | None = None
    railing_sides: int = 0
    timber_abutments: int = 0
    timber_piles: int = 0
    has_surface: bool = False

    @property
    def length_ft(self) -> float:
        return sum(span.length_ft for span in self.spans)


@dataclass(frozen=True, kw_only=True)
class ProposedTotal:
    """The whole quantity of an element and how it was worked out."""

    number: int
    unit: str
    total: float
    arithmetic: str


def number_for(role: str, system: str, present: Iterable[int] = ()) -> int | None:
    """The element a kind of member is listed as."""
    choices = OF_ROLE.get(role, ())
    if role in (MemberRole.WEB, MemberRole.BOTTOM_FLANGE):
        choices = (106, 111) if system == System.STRESS_LAMINATED_BOX else (111, 106)
    if role == MemberRole.STRINGER and system == System.GLULAM_STRINGER:
        choices = (111, 117)
    listed = set(present)
    return next((number for number in choices if number in listed), choices[0] if choices else None)


def proposed_totals(shape: StructureShape, present: Iterable[int] = ()) -> list[ProposedTotal]:
    """Every element whose quantity the record allows to be worked out, by number."""
    listed = set(present)
    totals = [*_members(shape, listed), *_areas(shape), *_supports(shape)]
    if shape.railing_sides and shape.spans:
        said = f"{_lengths(shape)} x {shape.railing_sides} side{'s' if shape.railing_sides > 1 else ''}"
        totals.append(_total(332, shape.length_ft * shape.railing_sides, said))
    return sorted(totals, key=lambda each: each.number)


def _total(number: int, quantity: float, arithmetic: str) -> ProposedTotal:
    unit = ELEMENTS[number][1]
    whole = float(round(quantity))
    return ProposedTotal(
        number=number, unit=unit, total=whole, arithmetic=f"{arithmetic} = {quantity:,.5g} {unit}".rstrip()
    )


def _lengths(shape: StructureShape) -> str:
    if len(shape.spans) == 1:
        return f"{shape.spans[0].length_ft:g} ft"
    return f"({' + '.join(f'{span.length_ft:g}' for span in shape.spans)}) ft"


def _members(shape: StructureShape, listed: set[int]) -> list[ProposedTotal]:
    """Beams by length times number, span by span."""
    parts: dict[int, list[tuple[float, int]]] = {}
    for span in shape.spans:
        for member in span.members:
            if member.role not in (MemberRole.STRINGER, MemberRole.WEB):
                continue
            number = number_for(member.role, span.system, listed)
            parts.setdefault(number, []).append((span.length_ft, member.count))
    made = []
    for number, pieces in parts.items():
        said = " + ".join(f"{length:g} ft x {count}" for length, count in pieces)
        made.append(_total(number, sum(length * count for length, count in pieces), said))
    return made


def _areas(shape: StructureShape) -> list[ProposedTotal]:
    made = []
    for number, roles in (
        (DECK_AREA, (MemberRole.DECK, MemberRole.FLANGE)),
        (SLAB_AREA, (MemberRole.LAMINATION, MemberRole.PANEL)),
    ):
        spans = tuple(span for span in shape.spans if any(member.role in roles for member in span.members))
        if spans and shape.deck_width_ft:
            part = StructureShape(spans=spans)
            said = f"{_lengths(part)} x {shape.deck_width_ft:g} ft out to out"
            made.append(_total(number, part.length_ft * shape.deck_width_ft, said))
    if shape.has_surface and shape.roadway_width_ft and shape.spans:
        said = f"{_lengths(shape)} x {shape.roadway_width_ft:g} ft between curbs"
        made.append(_total(SURFACE_AREA, shape.length_ft * shape.roadway_width_ft, said))
    return made


def _supports(shape: StructureShape) -> list[ProposedTotal]:
    made = []
    caps = sum(1 for span in shape.spans for member in span.members if member.role == MemberRole.CAP)
    for number, count, word in ((235, caps, "cap"), (216, shape.timber_abutments, "abutment")):
        if count and shape.deck_width_ft:
            said = f"{shape.deck_width_ft:g} ft x {count} {word}{'s' if count > 1 else ''}"
            made.append(_total(number, shape.deck_width_ft * count, said))
    if shape.timber_piles:
        made.append(_total(228, shape.timber_piles, f"{shape.timber_piles} piles on record"))
    return made


def total_warning(*, number: int, total: float, proposed: ProposedTotal | None) -> str:
    """A sentence where a total entered differs by more than 5 % from the geometry; "" where it does not."""
    if proposed is None or proposed.total <= 0 or abs(total - proposed.total) <= DIFFERS_FROM * proposed.total:
        return ""
    name = ELEMENTS.get(number, ("", ""))[0]
    return (
        f"Element {number} {name}: the total is {total:g} {proposed.unit}, but the record gives {proposed.arithmetic}. "
        "Correct the total, or the structure's record."
    )
