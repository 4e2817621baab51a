"""What a drawing needs to know, as frozen values. None or an empty tuple always means "not on record"."""

import math
from dataclasses import dataclass

LEVELS = ("top", "mid", "bottom")

# Wider than any timber span of a county road, and far below what would make a drawing unreadable; our own limits.
LARGEST_FT = 2000.0
LARGEST_IN = 240.0


@dataclass(frozen=True, kw_only=True)
class MemberShape:
    """Like members of one span; offsets and spacings in feet across the deck, from its left edge, looking ahead."""

    role: str
    count: int
    width_in: float
    depth_in: float
    spacing_ft: float | None = None
    first_offset_ft: float | None = None
    is_round: bool = False
    label: str = ""


@dataclass(frozen=True, kw_only=True)
class BarShape:
    """One bar: feet from the first bearing of its span. `state` is sound, low, slack or unknown."""

    number: int
    station_ft: float
    level: str = "mid"
    is_usable: bool = True
    state: str = "unknown"


@dataclass(frozen=True, kw_only=True)
class StressingShape:
    bar_diameter_in: float
    spacing_in: float
    stressed_depth_in: float
    plate_width_in: float | None = None
    plate_height_in: float | None = None
    bars: tuple[BarShape, ...] = ()


@dataclass(frozen=True, kw_only=True)
class LayerShape:
    """A standing layer of surfacing, in the order laid."""

    material: str
    label: str
    thickness_in: float
    was_measured: bool = False
    laid_year: int | None = None


@dataclass(frozen=True, kw_only=True)
class SpanShape:
    index: int
    length_ft: float
    system: str
    deck_kind: str = ""
    deck_thickness_in: float | None = None
    members: tuple[MemberShape, ...] = ()
    stressing: StressingShape | None = None

    def of_role(self, *roles: str) -> tuple[MemberShape, ...]:
        return tuple(member for member in self.members if member.role in roles)


@dataclass(frozen=True, kw_only=True)
class SignShape:
    """The restriction in force: one gross limit, or limits by class (single unit, one trailer, two trailers), tons.

    `emergency_tons` are single axle, tandem and gross of the emergency vehicles' own sign, () where there is none.
    """

    restriction: str
    single_ton: float | None = None
    class_tons: tuple[float | None, ...] = ()
    emergency_tons: tuple[float | None, ...] = ()
    is_awaited: bool = False


@dataclass(frozen=True, kw_only=True)
class FindingMark:
    """A finding at its place, drawn on the elevation: feet from the first bearing of the span."""

    span_index: int
    station_ft: float
    label: str
    extent_ft: float = 0.0
    is_grave: bool = False


@dataclass(frozen=True, kw_only=True)
class SectionMark:
    """A finding at its place on a cross-section: feet from the left edge of the deck, looking ahead; `down_ratio` is 0
    at the top of the wood and 1 at its underside."""

    across_ft: float
    label: str
    down_ratio: float = 0.5
    is_grave: bool = False


@dataclass(frozen=True, kw_only=True)
class StructureShape:
    """One structure as a drawing sees it; `key` makes the names inside the drawing unique on its page."""

    key: str
    title: str
    spans: tuple[SpanShape, ...] = ()
    layers: tuple[LayerShape, ...] = ()
    deck_width_ft: float | None = None
    roadway_width_ft: float | None = None
    railing_kinds: tuple[str, ...] = ()
    railing_sides: frozenset[str] = frozenset()
    support_kinds: tuple[str, ...] = ()
    over_water: bool | None = None
    sign: SignShape | None = None


def is_size(value: float | None, limit: float) -> bool:
    """Whether a size can be drawn at all: finite, above zero, not above `limit`."""
    return value is not None and math.isfinite(value) and 0 < value <= limit


def span_nonsense(span: SpanShape) -> list[str]:
    """Sentences for sizes no span can have; a drawing shows them instead of a guess."""
    said = []
    if not is_size(span.length_ft, LARGEST_FT):
        said.append(f"Span {span.index} is recorded as {span.length_ft:g} ft long; correct the span length.")
    for member in span.members:
        if not (is_size(member.width_in, LARGEST_IN) and is_size(member.depth_in, LARGEST_IN)):
            said.append(
                f"Span {span.index}: {member.role.replace('_', ' ')} is recorded as {member.width_in:g} x "
                f"{member.depth_in:g} in; correct the member's size."
            )
        if not 1 <= member.count <= 2000:
            said.append(f"Span {span.index}: {member.count} members of one kind; correct the count.")
        bad_spacing = member.spacing_ft is not None and not is_size(member.spacing_ft, LARGEST_FT)
        bad_offset = member.first_offset_ft is not None and not (
            math.isfinite(member.first_offset_ft) and abs(member.first_offset_ft) <= LARGEST_FT
        )
        if bad_spacing or bad_offset:
            said.append(f"Span {span.index}: the spacing or offset of a member makes no sense; correct it.")
    if span.deck_thickness_in is not None and not is_size(span.deck_thickness_in, LARGEST_IN):
        said.append(f"Span {span.index}: a deck {span.deck_thickness_in:g} in thick; correct the deck thickness.")
    if span.stressing:
        said += _stressing_nonsense(span.index, span.stressing)
    return said


def _stressing_nonsense(index: int, stressing: StressingShape) -> list[str]:
    sizes = (
        ("the depth the bars squeeze", stressing.stressed_depth_in),
        ("the bar diameter", stressing.bar_diameter_in),
        ("the bar spacing", stressing.spacing_in),
        ("the plate width", stressing.plate_width_in),
        ("the plate height", stressing.plate_height_in),
    )
    return [
        f"Span {index}: {name} is recorded as {size:g} in; correct it."
        for name, size in sizes
        if size is not None and not is_size(size, LARGEST_IN)
    ]


def shape_nonsense(shape: StructureShape) -> list[str]:
    """All sentences of a structure: its spans, its widths and its layers."""
    said = [sentence for span in shape.spans for sentence in span_nonsense(span)]
    for name, width in (("Deck", shape.deck_width_ft), ("Roadway", shape.roadway_width_ft)):
        if width is not None and not is_size(width, LARGEST_FT):
            said.append(f"{name} width is recorded as {width:g} ft; correct the width.")
    for layer in shape.layers:
        if not (math.isfinite(layer.thickness_in) and 0 <= layer.thickness_in <= LARGEST_IN):
            said.append(f"{layer.label} is recorded {layer.thickness_in:g} in thick; correct the layer.")
    return said


def feet_and_inches(length_ft: float) -> str:
    """A length the way drawings write it, to the nearest 1/8 in: 18.5 -> "18 ft 6 in"."""
    eighths = round(length_ft * 96)
    feet, rest = divmod(eighths, 96)
    return f"{feet} ft {inches(rest / 8)}"


def inches(size_in: float) -> str:
    """Inches with a fraction to the nearest 1/8, as 5-1/4 in; finer sizes in decimals."""
    if 0 < size_in < 0.125:
        return f"{size_in:g} in"
    eighths = round(size_in * 8)
    if abs(eighths / 8 - size_in) > 0.02:
        return f"{size_in:.4g} in"
    whole, rest = divmod(eighths, 8)
    if not rest:
        return f"{whole} in"
    step = math.gcd(rest, 8)
    fraction = f"{rest // step}/{8 // step}"
    return f"{whole}-{fraction} in" if whole else f"{fraction} in"
