"""The governing case on the span, to scale: the vehicle where it does most, the section and the influence line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inventory.drawings.ink import ASPHALT, INK, PAPER, SOFT, VERMILION, WOOD, WOOD_DARK, Ink, refused_drawing
from inventory.drawings.shapes import feet_and_inches

from .governing_member import deck_on_members_in

WIDTH = 760.0
MARGIN = 62.0
ROAD = 112.0
LINE_DEEP = 54.0
MOST_DEEP = 70.0
LEAST_DEEP = 9.0
WHEEL_FT = 1.7
LOST_KINDS = ("surface", "void", "low_resistance", "shell", "split", "crushing")
UNITS_OF = {"moment": "ft", "shear": "", "reaction": ""}


@dataclass(frozen=True, kw_only=True)
class LoadDrawing:
    """What is drawn: plain values of one governing case, its span and its member, as stored with the rating."""

    key: str
    governing: Mapping
    span: Mapping
    member: Mapping
    title: str


@dataclass(frozen=True, kw_only=True)
class _Frame:
    unit: float
    begin_ft: float
    deep: float
    surface: float

    def x(self, place_ft: float) -> float:
        return MARGIN + (place_ft - self.begin_ft) * self.unit


def load_elevation(drawing: LoadDrawing) -> str:
    """The elevation as SVG text; without a stored position of the load it says so instead."""
    load = drawing.governing.get("load")
    if not load:
        sentence = "The place of each axle was not kept with this rating; rate the structure anew to draw it."
        return refused_drawing(key=drawing.key, title=drawing.title, sentences=[sentence])
    frame = _frame(drawing, load)
    bottom = ROAD + frame.surface + frame.deep
    height = bottom + 58 + LINE_DEEP + 58
    ink = Ink(key=drawing.key, width=WIDTH, height=height, title=drawing.title, desc=load_words(drawing))
    _draw_span(ink, frame, drawing, load)
    _draw_lane(ink, frame, load)
    _draw_axles(ink, frame, load)
    _draw_section(ink, frame, drawing, load, bottom)
    _draw_line(ink, frame, drawing, load, bottom + 58)
    return ink.svg()


def _frame(drawing: LoadDrawing, load: Mapping) -> _Frame:
    supports = load["supports_ft"]
    begin, end = supports[0], supports[-1]
    unit = (WIDTH - 2 * MARGIN) / (end - begin)
    depth = float(drawing.member.get("depth_in") or 12.0)
    deep = min(max(depth / 12 * unit, LEAST_DEEP), MOST_DEEP)
    layers = sum(layer.get("thickness_in", 0.0) for layer in drawing.span.get("surfacing") or [])
    surface = (layers + deck_on_members_in(drawing.span)) / 12 * unit
    return _Frame(unit=unit, begin_ft=begin, deep=deep, surface=min(max(surface, 3.0), 26.0))


def _draw_span(ink: Ink, frame: _Frame, drawing: LoadDrawing, load: Mapping) -> None:
    supports = load["supports_ft"]
    left, right = frame.x(supports[0]), frame.x(supports[-1])
    ink.box(left - 8, ROAD, right - left + 16, frame.surface, kind="deck", fill=WOOD_DARK)
    top = ROAD + frame.surface
    ink.box(left - 8, top, right - left + 16, frame.deep, kind="member", fill=WOOD)
    starts = _start_ft(load, drawing.governing)
    for loss in drawing.member.get("losses") or []:
        if loss.get("kind") in LOST_KINDS:
            _draw_loss(ink, frame, loss, starts, top)
    for place in supports:
        x, foot = frame.x(place), top + frame.deep
        ink.path(f"M{x:.2f} {foot:.2f} l-9 15 h18 Z", kind="bearing", fill=PAPER, stroke=INK, stroke_width=1.3)
        ink.line(x - 14, foot + 15, x + 14, foot + 15, stroke_width=1.3)
    section = frame.x(load["section_ft"])
    for low, high in zip(supports, supports[1:], strict=False):
        y, words = top + frame.deep + 40, feet_and_inches(high - low)
        ink.dimension(frame.x(low), frame.x(high), y, "")
        middle = (frame.x(low) + frame.x(high)) / 2
        aside = 50 if abs(middle - section) < 45 else 0  # the words stand beside the mark of the section
        ink.text(middle + aside, y - 5, words, anchor="middle")


def _start_ft(load: Mapping, governing: Mapping) -> float:
    """Place along the beam of the near bearing of the governing span."""
    before = load["section_ft"] - governing["station_ft"]
    return min(load["supports_ft"], key=lambda place: abs(place - before))


def _draw_loss(ink: Ink, frame: _Frame, loss: Mapping, start_ft: float, top: float) -> None:
    low, high = frame.x(start_ft + loss["from_ft"]), frame.x(start_ft + loss["to_ft"])
    inside = loss["kind"] in ("void", "low_resistance", "split")
    thick = frame.deep * (0.36 if inside else 0.2)
    y = top + (frame.deep - thick) / 2 if inside else top
    if loss.get("face") == "bottom" or loss["kind"] == "crushing":
        y = top + frame.deep - thick
    ink.box(low, y, max(high - low, 2.0), thick, kind="loss", fill=PAPER, stroke=VERMILION, stroke_dasharray="4 3")


def _draw_lane(ink: Ink, frame: _Frame, load: Mapping) -> None:
    for part in load.get("lane") or []:
        low, high = frame.x(part["from_ft"]), frame.x(part["to_ft"])
        ink.box(low, ROAD - 14, high - low, 10, kind="lane-load", fill="none", stroke=INK)
        count = max(2, int((high - low) // 26))
        for at in range(count + 1):
            x = low + (high - low) * at / count
            ink.path(f"M{x:.2f} {ROAD - 14:.2f} v10", stroke_width=0.7)
        ink.text(high - 4, ROAD - 19, f"{part['load_plf']:,.0f} lb/ft", size=12.0, anchor="end")


def _draw_axles(ink: Ink, frame: _Frame, load: Mapping) -> None:
    spots = sorted([*load["axles"], *load["points"]], key=lambda one: one["place_ft"])
    radius = min(max(WHEEL_FT * frame.unit, 7.0), 15.0)
    if len(load["axles"]) > 1:
        first, last = (frame.x(load["axles"][at]["place_ft"]) for at in (0, -1))
        low, high = min(first, last), max(first, last)
        ink.box(low - radius, ROAD - 2 * radius - 5, high - low + 2 * radius, 7, kind="frame", fill=ASPHALT, stroke=INK)
    rows = _rows([frame.x(one["place_ft"]) for one in spots])
    for one, row in zip(spots, rows, strict=True):
        x = frame.x(one["place_ft"])
        if one in load["axles"]:
            ink.dot(x, ROAD - radius, radius, kind="wheel", fill=PAPER, stroke=INK, stroke_width=2.2)
            ink.dot(x, ROAD - radius, 2.0, kind="hub", fill=INK, stroke=INK)
        top = 22 + 15 * row
        ink.line(x, top + 5, x, ROAD - 2 * radius - 12, kind="load", stroke=VERMILION, stroke_width=1.6)
        tip = ROAD - 2 * radius - 6
        ink.path(f"M{x - 4:.2f} {tip - 8:.2f} h8 l-4 8 Z", kind="arrow", fill=VERMILION, stroke=VERMILION)
        ink.text(x, top, f"{one['load_lb']:,.0f} lb", size=12.0, anchor="middle", bold=True)


def _rows(places: Sequence[float], apart: float = 62.0) -> list[int]:
    """Line of each label so that neighbours closer than ``apart`` stand on different ones."""
    rows: list[int] = []
    ends: list[float] = []
    for x in places:
        row = next((at for at, end in enumerate(ends) if x - end >= apart), len(ends))
        if row == len(ends):
            ends.append(x)
        ends[row] = x
        rows.append(row)
    return rows


def _draw_section(ink: Ink, frame: _Frame, drawing: LoadDrawing, load: Mapping, bottom: float) -> None:
    x = frame.x(load["section_ft"])
    ink.line(
        x,
        ROAD - 4,
        x,
        bottom + 54,
        kind="section-mark",
        stroke=VERMILION,
        stroke_width=1.8,
        stroke_dasharray="9 3 2 3",
    )
    to_right = x < WIDTH * 0.62
    words = f"{drawing.governing['limit_state']} at {drawing.governing['station_ft']:.2f} ft"
    ink.text(
        x + (8 if to_right else -8),
        bottom + 13,
        words,
        size=12.5,
        fill=VERMILION,
        bold=True,
        anchor="start" if to_right else "end",
        stroke=PAPER,
        stroke_width=4,
        paint_order="stroke",
    )


def _draw_line(ink: Ink, frame: _Frame, drawing: LoadDrawing, load: Mapping, base: float) -> None:
    """Ordinates at the loads under the span, with the straight influence line of a single span."""
    supports, section = load["supports_ft"], load["section_ft"]
    spots = [*load["axles"], *load["points"]]
    peaks = [abs(one["y"]) for one in spots] + [abs(y) for _place, y in _corners(load)]
    per = (LINE_DEEP - 16) / max([*peaks, 1e-9])
    ink.line(frame.x(supports[0]), base, frame.x(supports[-1]), base, kind="line-base", stroke=SOFT)
    if corners := _corners(load):
        d = " L".join(f"{frame.x(place):.2f} {base + y * per:.2f}" for place, y in corners)
        ink.path(f"M{d}", kind="influence-line", stroke=INK, stroke_width=1.3)
    spots = sorted(spots, key=lambda one: one["place_ft"])
    rows = _rows([frame.x(one["place_ft"]) for one in spots], 40.0)
    for one, row in zip(spots, rows, strict=True):
        x, y = frame.x(one["place_ft"]), base + one["y"] * per
        ink.line(x, base, x, y, kind="ordinate", stroke=VERMILION, stroke_width=1.4)
        ink.text(x, max(y, base) + 13 + 13 * row, f"{one['y']:.3f}", size=11.5, anchor="middle")
    unit = UNITS_OF.get(load["effect"], "")
    words = f"influence line of the {load['effect']} at {section:.2f} ft" + (f", ordinates in {unit}" if unit else "")
    governing = drawing.governing
    values = (
        f"{governing['lane_effect']:,.0f} {governing['unit']} for one lane, {governing['live_effect']:,.0f} "
        f"{governing['unit']} on the member"
    )
    foot = base + LINE_DEEP + 34
    ink.text(MARGIN, foot, words, size=12.0, fill=SOFT)
    ink.text(MARGIN, foot + 17, values, size=12.0, bold=True)


def _corners(load: Mapping) -> list[tuple[float, float]]:
    """The influence line of one span between its bearings; empty for spans that run through."""
    if len(load["supports_ft"]) != 2:
        return []
    near, far = load["supports_ft"]
    span, x = far - near, load["section_ft"] - near
    if load["effect"] == "moment":
        return [(near, 0.0), (near + x, x * (span - x) / span), (far, 0.0)]
    if load["effect"] == "shear":
        return [(near, 0.0), (near + x, -x / span), (near + x, 1 - x / span), (far, 0.0)]
    return [(near, 1.0), (far, 0.0)] if x <= span / 2 else [(near, 0.0), (far, 1.0)]


def load_words(drawing: LoadDrawing) -> str:
    """The drawing in words, for whoever cannot see it."""
    governing, load = drawing.governing, drawing.governing.get("load")
    if not load:
        return "The place of each axle was not kept with this rating."
    parts = [f"{one['load_lb']:,.0f} lb at {one['place_ft']:.2f} ft" for one in [*load["axles"], *load["points"]]]
    parts += [
        f"{part['load_plf']:,.0f} lb/ft from {part['from_ft']:.2f} to {part['to_ft']:.2f} ft" for part in load["lane"]
    ]
    return (
        f"{governing['name']} on span {governing['span']} of {feet_and_inches(governing['span_ft'])}: "
        f"{'; '.join(parts)}. {governing['limit_state'].capitalize()} of {governing['member']} governs at "
        f"{governing['station_ft']:.2f} ft: {governing['lane_effect']:,.0f} {governing['unit']} for one lane, "
        f"{governing['live_effect']:,.0f} {governing['unit']} on the member."
    )
