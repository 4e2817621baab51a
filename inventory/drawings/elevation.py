"""The elevation: spans end to end at one scale, with deck, surfacing, bars, supports and the sign in force."""

from dataclasses import dataclass

from .ink import (
    ASPHALT,
    BLUE,
    INK,
    LAYER_FILL,
    LINE,
    PAPER,
    SKY,
    SOFT,
    VERMILION,
    WOOD,
    WOOD_DARK,
    Ink,
    refused_drawing,
    wrapped,
)
from .plates import draw_sign_post, sign_words
from .profile import RIBBED, Profile, missing_for_drawing, profile_of, surfacing_words
from .shapes import FindingMark, SpanShape, StructureShape, feet_and_inches, shape_nonsense

WIDTH = 760.0
BANK = 104.0
MOST_UNIT_PER_FT = 40.0
MOST_DEEP = 200.0
# Height of a timber rail above the deck where none is on record; common practice, no source; the drawing says so.
USUAL_RAIL_FT = 2.75


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Where things stand, in drawing units: `unit` per foot, the first bearing, wood top, total depth, channel bed."""

    unit: float
    left: float
    top: float
    deep: float
    bed: float
    surface: float

    def x(self, station_ft: float) -> float:
        return self.left + station_ft * self.unit

    def inch(self, size_in: float) -> float:
        return size_in * self.unit / 12


def elevation(shape: StructureShape, *, marks: tuple[FindingMark, ...] = ()) -> str:
    """The elevation as SVG text. What is not on record is left out and named below the drawing."""
    title = f"Elevation of {shape.title}"
    nonsense = shape_nonsense(shape)
    if not shape.spans:
        nonsense = ["No span is on record. Enter each span's length, centre to centre of bearings."]
    if nonsense:
        return refused_drawing(key=f"{shape.key}-elevation", title=title, sentences=nonsense)
    frame = _frame(shape)
    notes = _notes(shape)
    height = frame.bed + 48 + 17 * len(notes)
    ink = Ink(key=f"{shape.key}-elevation", width=WIDTH, height=height, title=title, desc=_in_words(shape, marks))
    ink.measured(frame.x(0), frame.unit, sum(span.length_ft for span in shape.spans))
    _draw_ground(ink, frame, shape)
    begin = 0.0
    starts = {}
    for span in shape.spans:
        starts[span.index] = begin
        _draw_span(ink, frame, span, begin)
        begin += span.length_ft
    _draw_surfacing(ink, frame, shape, begin)
    _draw_supports(ink, frame, shape)
    if shape.railing_kinds:
        _draw_railing(ink, frame, begin)
    _draw_dimensions(ink, frame, shape, begin)
    _draw_marks(ink, frame, [mark for mark in marks if mark.span_index in starts], starts)
    if shape.sign and shape.sign.restriction in ("posted", "closed"):
        draw_sign_post(ink, shape.sign, x=44, far_x=WIDTH - 44, ground=frame.top - frame.surface)
    ink.scale_bar(WIDTH - 180, frame.bed + 24, frame.unit)
    for place, line in enumerate(notes):
        ink.text(14, frame.bed + 50 + 17 * place, line, kind="note", size=12.0, fill=SOFT)
    return ink.svg()


def _frame(shape: StructureShape) -> Frame:
    total_ft = sum(span.length_ft for span in shape.spans)
    deepest_in = max(profile_of(span).total_in for span in shape.spans)
    unit = min((WIDTH - 2 * BANK) / total_ft, MOST_UNIT_PER_FT, MOST_DEEP * 12 / deepest_in)
    surface = sum(max(layer.thickness_in * unit / 12, 0.8) for layer in shape.layers)
    rail = _rail_height(unit) if shape.railing_kinds else 12
    is_signed = shape.sign is not None and shape.sign.restriction in ("posted", "closed")
    top = max(40 + rail, 98 if is_signed else 0) + surface
    deep = deepest_in * unit / 12
    # The channel is for orientation only: its depth is not on record.
    bed = top + deep + min(max(0.16 * total_ft * unit, 84), 130) + (22 if len(shape.spans) > 1 else 0)
    return Frame(unit=unit, left=(WIDTH - total_ft * unit) / 2, top=top, deep=deep, bed=bed, surface=surface)


def _rail_height(unit: float) -> float:
    return min(max(USUAL_RAIL_FT * unit, 20), 74)


def _draw_ground(ink: Ink, frame: Frame, shape: StructureShape) -> None:
    total_ft = sum(span.length_ft for span in shape.spans)
    face = max(0.9 * frame.unit, 7)
    road, sill = frame.top - frame.surface, frame.top + frame.deep
    left, right = frame.x(0) - face, frame.x(total_ft) + face
    slope = min(0.16 * (right - left), 90)
    ledge = left + 2 * face, right - 2 * face
    bank = [(8, road), (left, road), (left, sill + 12), (ledge[0], sill + 12), (ledge[0], sill + 30)]
    bed = [(ledge[0] + slope, frame.bed - 8), (ledge[1] - slope, frame.bed - 8)]
    far = [(ledge[1], sill + 30), (ledge[1], sill + 12), (right, sill + 12), (right, road), (WIDTH - 8, road)]
    line = [*bank, *bed, *far]
    ink.hatched([*line, (WIDTH - 8, frame.bed + 4), (8, frame.bed + 4)])
    ink.path("M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in line), kind="ground-line", stroke_width=1.4)
    if shape.over_water:
        x1, x2, y = bed[0][0] - 8, bed[1][0] + 8, frame.bed - 20
        waves = max(int((x2 - x1) / 44), 1)
        step = (x2 - x1) / waves
        d = f"M{x1:.2f} {y:.2f} " + " ".join(
            f"q{step / 4:.2f} -6 {step / 2:.2f} 0 q{step / 4:.2f} 6 {step / 2:.2f} 0" for _ in range(waves)
        )
        ink.path(d, kind="water", stroke=SKY, stroke_width=1.8)


def _draw_span(ink: Ink, frame: Frame, span: SpanShape, begin_ft: float) -> None:
    profile = profile_of(span)
    x, width = frame.x(begin_ft) - 0.4 * frame.unit, (span.length_ft + 0.8) * frame.unit
    y, deck = frame.top, frame.inch(profile.deck_in)
    if deck:
        ink.box(x, y, width, deck, kind="deck", fill=WOOD_DARK)
    ink.box(
        x,
        y + deck,
        width,
        frame.inch(profile.member_in),
        kind="member" if profile.is_known else "member unknown",
        fill=WOOD if profile.is_known else PAPER,
        stroke_dasharray=None if profile.is_known else "5 4",
    )
    if span.system in RIBBED and profile.flange_in:
        edge = y + frame.inch(min(profile.flange_in, profile.member_in))
        ink.line(x, edge, x + width, edge, kind="flange-edge", stroke=WOOD_DARK, stroke_width=1.1)
    if not profile.is_known:
        ink.text(
            x + width / 2, y + deck + frame.inch(profile.member_in) / 2 + 4, "depth not on record", anchor="middle"
        )
    if span.stressing:
        _draw_bars(ink, frame, span, profile, begin_ft)


def _draw_bars(ink: Ink, frame: Frame, span: SpanShape, profile: Profile, begin_ft: float) -> None:
    stressing = span.stressing
    squeezed = frame.inch(min(stressing.stressed_depth_in, profile.total_in))
    share = {"top": 0.25, "mid": 0.5, "bottom": 0.75}
    radius = min(max(squeezed * 0.14, 3.2), 6)
    shown = [bar for bar in stressing.bars if -1 <= bar.station_ft <= span.length_ft + 1]
    every = 1 if len(shown) < 2 or stressing.spacing_in * frame.unit / 12 >= 17 else 5
    for bar in shown:
        x, y = frame.x(begin_ft + bar.station_ft), frame.top + squeezed * share.get(bar.level, 0.5)
        if stressing.plate_width_in and stressing.plate_height_in:
            wide, high = frame.inch(stressing.plate_width_in), frame.inch(stressing.plate_height_in)
            ink.box(x - wide / 2, y - high / 2, wide, high, kind="plate", fill="none", stroke=BLUE, stroke_width=0.8)
        is_open = bar.state == "slack" or not bar.is_usable
        colour = VERMILION if is_open or bar.state == "low" else BLUE
        ink.dot(x, y, radius, kind="bar", fill=PAPER if is_open else colour, stroke=colour, data_bar=bar.number)
        if not bar.is_usable:
            ink.path(f"M{x - 4:.2f} {y - 4:.2f} l8 8 m0 -8 l-8 8", kind="bar-cross", stroke=VERMILION, stroke_width=1.4)
        if bar.level != "bottom" and (bar.number == 1 or bar.number % every == 0):
            below = frame.top + frame.inch(profile.total_in) + 13
            ink.text(x, below, str(bar.number), kind="bar-number", size=10.5, fill=SOFT, anchor="middle")


def _draw_surfacing(ink: Ink, frame: Frame, shape: StructureShape, total_ft: float) -> None:
    x, width, y = frame.x(0) - 0.4 * frame.unit, (total_ft + 0.8) * frame.unit, frame.top
    for layer in shape.layers:
        thick = max(frame.inch(layer.thickness_in), 0.8)
        y -= thick
        fill = LAYER_FILL.get(layer.material, ASPHALT)
        ink.box(x, y, width, thick, kind="layer", fill=fill, stroke=INK, stroke_width=0.3)


def _draw_supports(ink: Ink, frame: Frame, shape: StructureShape) -> None:
    sill = frame.top + frame.deep
    station = 0.0
    last = len(shape.spans)
    for place in range(last + 1):
        x = frame.x(station)
        half = max(0.6 * frame.unit, 6)
        ink.box(x - half, sill, 2 * half, 12, kind="bearing", fill=WOOD_DARK)
        if 0 < place < last:
            _draw_bent(ink, x, sill + 12, frame.bed - 8, _support_kind(shape, place))
        if place < last:
            station += shape.spans[place].length_ft


def _support_kind(shape: StructureShape, place: int) -> str:
    between = [kind for kind in shape.support_kinds if kind != "abutment"]
    return between[place - 1] if place - 1 < len(between) else ""


def _draw_bent(ink: Ink, x: float, top: float, bed: float, kind: str) -> None:
    if kind == "pier":
        ink.box(x - 6, top, 12, bed - top, kind="support", fill=LINE, stroke=INK)
    else:
        dashes = None if kind else "5 4"
        ink.box(x - 3.5, top, 7, bed - top, kind="support", fill=WOOD if kind else PAPER, stroke_dasharray=dashes)


def _draw_railing(ink: Ink, frame: Frame, total_ft: float) -> None:
    high = _rail_height(frame.unit)
    base = frame.top - frame.surface
    x, width = frame.x(0) - 0.3 * frame.unit, (total_ft + 0.6) * frame.unit
    count = max(2, round(total_ft / 6.25) + 1)
    post = max(0.5 * frame.unit, 2.5)
    for place in range(count):
        at = x + (width - post) * place / (count - 1)
        ink.box(at, base - high, post, high + frame.surface, kind="post", fill=WOOD_DARK, stroke_width=0.4)
    ink.box(x - 2, base - high - 2, width + 4, max(0.5 * frame.unit, 4), kind="rail")


def _draw_dimensions(ink: Ink, frame: Frame, shape: StructureShape, total_ft: float) -> None:
    y = frame.top + frame.deep + 42
    begin = 0.0
    for span in shape.spans:
        end = begin + span.length_ft
        words = feet_and_inches(span.length_ft)
        long = (end - begin) * frame.unit > 250
        ink.dimension(frame.x(begin), frame.x(end), y, f"{words} centre to centre of bearings" if long else words)
        begin = end
    if len(shape.spans) > 1:
        words = f"{len(shape.spans)} spans, {feet_and_inches(total_ft)} between end bearings"
        ink.dimension(frame.x(0), frame.x(total_ft), y + 24, words)


def _draw_marks(ink: Ink, frame: Frame, marks: list[FindingMark], starts: dict[int, float]) -> None:
    """Findings from left to right; words that would stand on a neighbour's go a line higher."""
    taken: list[tuple[float, float, int]] = []
    for mark in sorted(marks, key=lambda mark: starts[mark.span_index] + mark.station_ft + mark.extent_ft / 2):
        middle = frame.x(starts[mark.span_index] + mark.station_ft + mark.extent_ft / 2)
        half = 3.7 * len(mark.label) + 6
        line = 0
        while any(at == line and abs(middle - x) < half + reach for x, reach, at in taken):
            line += 1
        taken.append((middle, half, line))
        _draw_mark(ink, frame, mark, starts[mark.span_index], line)


def _draw_mark(ink: Ink, frame: Frame, mark: FindingMark, begin_ft: float, line: int) -> None:
    x, y = frame.x(begin_ft + mark.station_ft), frame.top - frame.surface - 10
    if mark.extent_ft:
        end = frame.x(begin_ft + mark.station_ft + mark.extent_ft)
        ink.path(f"M{x:.2f} {y + 6:.2f} V{y:.2f} H{end:.2f} V{y + 6:.2f}", kind="finding-extent", stroke=VERMILION)
        x = (x + end) / 2
    fill = VERMILION if mark.is_grave else PAPER
    points = f"M{x - 6:.2f} {y - 12:.2f} h12 l-6 10 Z"
    ink.path(points, kind="finding", fill=fill, stroke=VERMILION, stroke_width=1.6)
    ink.text(
        x,
        max(y - 17 - 14 * line, 12),
        mark.label,
        kind="finding-label",
        size=12.0,
        fill=VERMILION,
        anchor="middle",
        bold=True,
        stroke=PAPER,
        stroke_width=3,
        paint_order="stroke",
    )


def _notes(shape: StructureShape) -> list[str]:
    said = []
    for span in shape.spans:
        if missing := missing_for_drawing(span):
            where = f"Span {span.index}: n" if len(shape.spans) > 1 else "N"
            said += wrapped(f"{where}ot on record: {', '.join(missing)}.")
    rail = ", railing height" if shape.railing_kinds else ""
    said.append(f"Spans, depths, surfacing and bars to scale. Banks, water{rail} and sign for orientation only.")
    return said


def _in_words(shape: StructureShape, marks: tuple[FindingMark, ...]) -> str:
    parts = []
    for span in shape.spans:
        profile = profile_of(span)
        depth = f"members {profile.member_in:g} in deep" if profile.is_known else "member depth not on record"
        bars = f", {len(span.stressing.bars)} bars" if span.stressing else ""
        parts.append(f"Span {span.index}: {feet_and_inches(span.length_ft)}, {depth}{bars}.")
    parts.append(surfacing_words(shape).capitalize() + ".")
    if shape.sign:
        parts.append(f"Sign in force: {sign_words(shape.sign)}.")
    parts += [f"Finding in span {mark.span_index} at {mark.station_ft:g} ft: {mark.label}." for mark in marks]
    return " ".join(parts)
