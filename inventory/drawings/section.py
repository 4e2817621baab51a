"""The cross-section of one span, looking ahead: members at their offsets and sizes, deck, bars, surfacing, railing."""

from dataclasses import dataclass

from .ink import ASPHALT, BLUE, INK, LAYER_FILL, PAPER, SOFT, WOOD, WOOD_DARK, Ink, refused_drawing, wrapped
from .profile import (
    ON_STRINGERS,
    RIBBED,
    Profile,
    carrying_roles,
    layer_words,
    missing_for_drawing,
    profile_of,
    surfacing_words,
)
from .section_marks import balloons, draw_balloons, room_below
from .shapes import (
    MemberShape,
    SectionMark,
    SpanShape,
    StructureShape,
    feet_and_inches,
    inches,
    is_size,
    shape_nonsense,
)

WIDTH = 760.0
MARGIN = 112.0
MOST_UNIT_PER_FT = 48.0
MOST_DEEP = 220.0
USUAL_RAIL_FT = 2.75
ROLE_WORDS = {
    "stringer": "stringers",
    "lamination": "laminations",
    "panel": "panels",
    "web": "webs",
    "flange": "flange laminations",
    "bottom_flange": "bottom flange laminations",
    "deck": "transverse deck",
    "stiffener": "transverse stiffeners",
    "cap": "pile caps",
}


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Drawing units per foot, left edge and width of the deck, top of the wood, thickness of the surfacing drawn."""

    unit: float
    left: float
    width_ft: float
    top: float
    surface: float

    def x(self, offset_ft: float) -> float:
        return self.left + offset_ft * self.unit

    def inch(self, size_in: float) -> float:
        return size_in * self.unit / 12

    @property
    def right(self) -> float:
        return self.x(self.width_ft)


def cross_section(shape: StructureShape, *, span_index: int | None = None, marks: tuple[SectionMark, ...] = ()) -> str:
    """The cross-section of a span (the first unless said) as SVG text; what is not on record is named below it."""
    title = f"Cross-section of {shape.title}, looking ahead"
    key = f"{shape.key}-section-{span_index or 1}"
    span = next((s for s in shape.spans if span_index is None or s.index == span_index), None)
    nonsense = shape_nonsense(shape)
    if span is None:
        nonsense = ["No span is on record. Enter the span and its members."]
    elif not nonsense and deck_width(shape, span) is None:
        nonsense = ["Neither the deck width nor any member is on record. Enter the deck width, out to out."]
    if nonsense:
        return refused_drawing(key=key, title=title, sentences=nonsense)
    profile = profile_of(span)
    frame = _frame(shape, span, profile)
    notes = _notes(shape, span)
    lowest = _under(frame, span, profile)
    deep = frame.inch(profile.total_in)
    placed = balloons(marks, left=frame.left, unit=frame.unit, width_ft=frame.width_ft, top=frame.top, deep=deep)
    under = lowest + room_below(placed)
    desc = _in_words(shape, span, marks)
    ink = Ink(key=key, width=WIDTH, height=under + 66 + 18 * len(notes), title=title, desc=desc)
    ink.measured(frame.left, frame.unit, frame.width_ft)
    _draw_members(ink, frame, span, profile)
    _draw_stressing(ink, frame, span, profile)
    _draw_surfacing(ink, frame, shape)
    _draw_railing(ink, frame, shape)
    _draw_dimensions(ink, frame, shape, profile, under)
    draw_balloons(ink, placed, lowest)
    for place, (line, is_main) in enumerate(notes):
        ink.text(WIDTH / 2, under + 72 + 18 * place, line, kind="note", fill=INK if is_main else SOFT, anchor="middle")
    return ink.svg()


def deck_width(shape: StructureShape, span: SpanShape) -> float | None:
    """Deck width in feet: on record, else the roadway's, else what the members cover; None where nothing is known."""
    if shape.deck_width_ft or shape.roadway_width_ft:
        return shape.deck_width_ft or shape.roadway_width_ft
    covered = [member_reach(member) for member in span.of_role(*carrying_roles(span))]
    return max(covered, default=None)


def member_reach(member: MemberShape) -> float:
    """How far across like members reach, in feet."""
    if member.role in ("stringer", "web") and member.spacing_ft:
        return (member.count - 1) * member.spacing_ft + member.width_in / 12 + 2 * max(member.first_offset_ft or 0, 0)
    return member.count * member.width_in / 12


def centres(member: MemberShape, width_ft: float) -> list[float]:
    """Where like members stand, feet from the left edge of the deck to each centre line.

    Without an offset the group stands in the middle; without a spacing it is spread evenly over the width.
    """
    own = member.width_in / 12
    spacing = member.spacing_ft
    if not is_size(spacing, 2000):
        side_by_side = member.role not in ("stringer", "web")
        spacing = own if side_by_side else (width_ft - own) / max(member.count - 1, 1)
    first = member.first_offset_ft
    if first is None:
        first = (width_ft - (member.count - 1) * spacing) / 2
    return [first + place * spacing for place in range(member.count)]


def _frame(shape: StructureShape, span: SpanShape, profile: Profile) -> Frame:
    width_ft = deck_width(shape, span)
    unit = min((WIDTH - 2 * MARGIN) / width_ft, MOST_UNIT_PER_FT, MOST_DEEP * 12 / profile.total_in)
    surface = sum(max(layer.thickness_in * unit / 12, 0.8) for layer in shape.layers)
    rail = min(USUAL_RAIL_FT * unit, 120) if shape.railing_kinds else 0
    left = (WIDTH - width_ft * unit) / 2
    return Frame(unit=unit, left=left, width_ft=width_ft, top=44 + max(rail, surface), surface=surface)


def _under(frame: Frame, span: SpanShape, profile: Profile) -> float:
    """Underside of everything drawn."""
    under = frame.top + frame.inch(profile.total_in)
    stiff = max((member.depth_in for member in span.of_role("stiffener")), default=0.0)
    return under + frame.inch(stiff)


def _draw_members(ink: Ink, frame: Frame, span: SpanShape, profile: Profile) -> None:
    deck = frame.inch(profile.deck_in)
    carrying = span.of_role(*carrying_roles(span))
    if not carrying:
        ink.box(
            frame.left,
            frame.top + deck,
            frame.width_ft * frame.unit,
            frame.inch(profile.member_in),
            kind="member unknown",
            fill=WOOD if profile.is_known else PAPER,
            stroke_dasharray="5 4",
        )
    for member in carrying:
        _draw_group(ink, frame, member, frame.top + deck)
    if deck:
        ink.box(frame.left, frame.top, frame.width_ft * frame.unit, deck, kind="deck", fill=WOOD_DARK)
    if span.system in RIBBED:
        _draw_flanges(ink, frame, span, profile)
    for member in span.of_role("stiffener"):
        inset = 0.04 * frame.width_ft
        y = frame.top + frame.inch(profile.total_in)
        wide = (frame.width_ft - 2 * inset) * frame.unit
        ink.box(frame.x(inset), y, wide, frame.inch(member.depth_in), kind="stiffener", fill=WOOD_DARK)
        for panel in span.of_role("panel"):
            for centre in centres(panel, frame.width_ft):
                ink.line(
                    frame.x(centre), y - frame.inch(4), frame.x(centre), y + frame.inch(member.depth_in), kind="bolt"
                )


def _draw_group(ink: Ink, frame: Frame, member: MemberShape, y: float) -> None:
    wide, high = frame.inch(member.width_in), frame.inch(member.depth_in)
    for place, centre in enumerate(centres(member, frame.width_ft)):
        x = frame.x(centre)
        if member.is_round:
            ink.add(
                "ellipse",
                member.role,
                cx=x,
                cy=y + high / 2,
                rx=wide / 2,
                ry=high / 2,
                fill=WOOD,
                stroke=WOOD_DARK,
                stroke_width=0.8,
            )
            continue
        # Neighbouring laminations differ slightly in tone, so that each can be counted.
        fill = WOOD if member.role != "lamination" or place % 2 == 0 else "#c49a66"
        ink.box(x - wide / 2, y, wide, high, kind=member.role, fill=fill, stroke_width=0.5 if wide < 6 else 0.8)


def _draw_flanges(ink: Ink, frame: Frame, span: SpanShape, profile: Profile) -> None:
    """Laminations between the webs, top edges flush; bottom flanges of a box between the webs, bottoms flush."""
    webs = [
        (centre - web.width_in / 24, centre + web.width_in / 24)
        for web in span.of_role("web")
        for centre in centres(web, frame.width_ft)
    ]
    edges = sorted(webs)
    outer = [(0.0, 0.0), *edges, (frame.width_ft, frame.width_ft)]
    gaps = [(a[1], b[0]) for a, b in zip(outer, outer[1:], strict=False) if b[0] - a[1] > 0.02]
    inner = [(a[1], b[0]) for a, b in zip(edges, edges[1:], strict=False) if b[0] - a[1] > 0.02]
    for flange in span.of_role("flange")[:1]:
        for gap in gaps:
            _fill_gap(ink, frame, gap, flange, frame.top)
    for flange in span.of_role("bottom_flange")[:1]:
        bottom = frame.top + frame.inch(profile.total_in - flange.depth_in)
        for gap in inner:
            _fill_gap(ink, frame, gap, flange, bottom)


def _fill_gap(ink: Ink, frame: Frame, gap: tuple[float, float], flange: MemberShape, y: float) -> None:
    count = max(1, round((gap[1] - gap[0]) * 12 / flange.width_in))
    wide = (gap[1] - gap[0]) / count
    for place in range(count):
        fill = WOOD if place % 2 == 0 else "#c49a66"
        x = frame.x(gap[0] + place * wide)
        ink.box(x, y, wide * frame.unit, frame.inch(flange.depth_in), kind=flange.role, fill=fill, stroke_width=0.5)


def _draw_stressing(ink: Ink, frame: Frame, span: SpanShape, profile: Profile) -> None:
    stressing = span.stressing
    if stressing is None:
        return
    squeezed = frame.inch(min(stressing.stressed_depth_in, profile.total_in))
    levels = sorted({bar.level for bar in stressing.bars} or {"mid"})
    high = frame.inch(stressing.plate_height_in or 0.7 * stressing.stressed_depth_in / len(levels))
    for level in levels:
        y = frame.top + squeezed * {"top": 0.25, "bottom": 0.75}.get(level, 0.5)
        reach = 0.55 * frame.unit
        thick = max(frame.inch(stressing.bar_diameter_in), 1.6)
        dashes = "12 3 2 3"
        ink.line(
            frame.left - reach,
            y,
            frame.right + reach,
            y,
            kind="bar",
            stroke=BLUE,
            stroke_width=thick,
            stroke_dasharray=dashes,
        )
        plate = max(frame.inch(1), 3)
        for x in (frame.left - plate, frame.right):
            ink.box(x, y - high / 2, plate, high, kind="plate", fill=BLUE, stroke=INK)
        nut = max(frame.inch(2.5), 5)
        for x in (frame.left - plate - nut, frame.right + plate):
            ink.box(x, y - nut / 2, nut, nut, kind="nut", fill=BLUE, stroke=INK, stroke_width=0.5)


def _draw_surfacing(ink: Ink, frame: Frame, shape: StructureShape) -> None:
    width_ft = min(shape.roadway_width_ft or frame.width_ft, frame.width_ft)
    x, y = frame.x((frame.width_ft - width_ft) / 2), frame.top
    for layer in shape.layers:
        thick = max(frame.inch(layer.thickness_in), 0.8)
        y -= thick
        fill = LAYER_FILL.get(layer.material, ASPHALT)
        ink.box(x, y, width_ft * frame.unit, thick, kind="layer", fill=fill, stroke=INK, stroke_width=0.4)


def _draw_railing(ink: Ink, frame: Frame, shape: StructureShape) -> None:
    if not shape.railing_kinds:
        return
    sides = shape.railing_sides or frozenset({"both"})
    high, post = min(USUAL_RAIL_FT * frame.unit, 120), max(frame.inch(8), 4)
    for side, x, inward in (("left", frame.left, 1), ("right", frame.right, -1)):
        if side in sides or "both" in sides:
            edge = x if inward > 0 else x - post
            ink.box(edge, frame.top - high, post, high, kind="post", fill=WOOD_DARK)
            rail = x + post if inward > 0 else x - post - frame.inch(6)
            ink.box(rail, frame.top - high + 2, frame.inch(6), max(frame.inch(10.5), 5), kind="rail")


def _draw_dimensions(ink: Ink, frame: Frame, shape: StructureShape, profile: Profile, under: float) -> None:
    if shape.deck_width_ft:
        words = f"{feet_and_inches(shape.deck_width_ft)} deck, out to out"
        ink.dimension(frame.left, frame.right, under + 26, words, kind="deck-dimension")
    if shape.roadway_width_ft:
        half = shape.roadway_width_ft * frame.unit / 2
        ink.dimension(WIDTH / 2 - half, WIDTH / 2 + half, 24, f"{feet_and_inches(shape.roadway_width_ft)} roadway")
    if profile.is_known:
        below = frame.top + frame.inch(profile.total_in)
        ink.upright_dimension(frame.left - 46, frame.top, below, inches(profile.total_in))
    if frame.surface > 3:
        depth = sum(layer.thickness_in for layer in shape.layers)
        x = frame.right + 30
        ink.line(frame.right - 4, frame.top - frame.surface / 2, x, frame.top - frame.surface / 2, stroke=SOFT)
        ink.text(x + 4, frame.top - frame.surface / 2 + 4, inches(depth), size=12.0)
    ink.scale_bar(WIDTH - 180, under + 44, frame.unit)


def member_words(member: MemberShape) -> str:
    """One group in words: 10 stringers 6 x 16 in at 2 ft 0 in."""
    name = ROLE_WORDS.get(member.role, member.role.replace("_", " "))
    size = f"{member.width_in:g} x {member.depth_in:g} in"
    spacing = f" at {feet_and_inches(member.spacing_ft)}" if member.spacing_ft and member.count > 1 else ""
    count = f"{member.count} " if member.count > 1 else ""
    if member.count == 1 and name.endswith("s"):
        name = name[:-1]
        count = "1 "
    return f"{count}{name} {size}{spacing}"


def _notes(shape: StructureShape, span: SpanShape) -> list[tuple[str, bool]]:
    words = [member_words(member) for member in span.members if member.role != "cap"]
    if span.system in ON_STRINGERS and span.deck_thickness_in and not span.of_role("deck"):
        words.append(f"deck {inches(span.deck_thickness_in)}")
    if span.stressing:
        words.append(f"bars {inches(span.stressing.bar_diameter_in)} at {inches(span.stressing.spacing_in)}")
    lines = [(line, True) for line in wrapped("; ".join(words), 92)]
    if shape.layers:
        lines += [(line, False) for line in wrapped(", ".join(layer_words(layer) for layer in shape.layers), 92)]
    missing = missing_for_drawing(span)
    if not shape.deck_width_ft:
        missing.append("deck width, out to out")
    if missing:
        lines += [(line, True) for line in wrapped(f"Not on record: {', '.join(missing)}.", 92)]
    return lines


def _in_words(shape: StructureShape, span: SpanShape, marks: tuple[SectionMark, ...] = ()) -> str:
    members = "; ".join(member_words(member) for member in span.members) or "members not on record"
    width = f"deck {feet_and_inches(shape.deck_width_ft)} wide" if shape.deck_width_ft else "deck width not on record"
    found = "".join(f" Finding {mark.label} at {mark.across_ft:.1f} ft from the left edge." for mark in marks)
    return f"Span {span.index}: {members}; {width}; {surfacing_words(shape)}.{found}"
