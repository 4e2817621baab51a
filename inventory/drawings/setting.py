"""Beams of a span being set, from above and in section, to scale: places, setting order, marks, lift points."""

from dataclasses import dataclass

from .ink import BLUE, INK, LINE, PAPER, SOFT, WOOD, WOOD_DARK, Ink, refused_drawing
from .shapes import feet_and_inches, is_size

WIDTH = 760.0
LEFT, RIGHT = 96.0, 40.0
TOP = 46.0
LEAST_ROW, MOST_ROW = 15.0, 34.0
MOST_DEEP = 120.0


@dataclass(frozen=True, kw_only=True)
class BeamShape:
    """One beam; lift points in feet from the near end. `order` counts from 1, the reference beam."""

    mark: str
    place: int
    order: int
    length_ft: float | None = None
    depth_in: float | None = None
    lifts_ft: tuple[float, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SettingShape:
    """A span's beams. `spacing_ft` between places and `width_in` of a beam where they are on record."""

    key: str
    title: str
    span_ft: float
    beams: tuple[BeamShape, ...]
    spacing_ft: float | None = None
    width_in: float | None = None


def setting_drawing(shape: SettingShape) -> str:
    """Plan and section as SVG text; a beam without a length is drawn as long as the span, and that is said."""
    title = f"{shape.title}: beams from above, the near end to the left"
    if not shape.beams:
        return refused_drawing(key=shape.key, title=title, sentences=["The delivery list is empty. Enter the beams."])
    if not is_size(shape.span_ft, 200) or any(not -200 <= beam.place <= 200 for beam in shape.beams):
        return refused_drawing(key=shape.key, title=title, sentences=["The span or a place makes no sense."])
    places = [beam.place for beam in shape.beams]
    lowest, rows = min(places), max(places) - min(places) + 1
    longest = max([shape.span_ft, *(beam.length_ft or 0 for beam in shape.beams)])
    spacing = _spacing(shape)
    unit = min((WIDTH - LEFT - RIGHT) / longest, MOST_ROW / spacing)
    unit_across = max(unit, LEAST_ROW / spacing)
    plan = rows * spacing * unit_across
    section_top = TOP + plan + 64
    deep = _deep(shape, unit_across)
    ink = Ink(key=shape.key, width=WIDTH, height=section_top + deep + 74, title=title, desc=_in_words(shape))
    ink.text(LEFT, 22, "From above. The figure in the ring is the setting order.", bold=True)
    for beam in sorted(shape.beams, key=lambda beam: beam.place):
        _draw_from_above(ink, shape, beam, TOP + (beam.place - lowest + 0.5) * spacing * unit_across, unit, unit_across)
    centre = TOP + (0.5 - lowest) * spacing * unit_across
    ink.line(LEFT - 14, centre, LEFT + longest * unit + 14, centre, stroke=BLUE, stroke_dasharray="14 4 3 4")
    ink.text(WIDTH - 6, centre - 4, "CL", fill=BLUE, anchor="end", bold=True)
    ink.dimension(LEFT, LEFT + shape.span_ft * unit, TOP + plan + 24, f"{feet_and_inches(shape.span_ft)} span")
    _draw_section(ink, shape, section_top, unit_across, lowest, rows)
    if abs(unit_across - unit) > 1e-9:
        words = "Across the span drawn wider than along it, so that every beam can be read."
        ink.text(LEFT, section_top + deep + 62, words, size=11.5, fill=SOFT)
    else:
        ink.scale_bar(WIDTH - 180, section_top + deep + 60, unit)
    return ink.svg()


def _spacing(shape: SettingShape) -> float:
    if is_size(shape.spacing_ft, 40):
        return shape.spacing_ft
    return shape.width_in / 12 if is_size(shape.width_in, 240) else 2.0


def _wide(shape: SettingShape, unit: float) -> float:
    """Drawn width of a beam: its own where known, otherwise nearly the whole place."""
    inches = shape.width_in if is_size(shape.width_in, 240) else _spacing(shape) * 12 * 0.8
    return min(inches, _spacing(shape) * 12) / 12 * unit


def _deep(shape: SettingShape, unit: float) -> float:
    depths = [beam.depth_in for beam in shape.beams if is_size(beam.depth_in, 240)]
    return min(max(depths, default=12.0) / 12 * unit, MOST_DEEP)


def _draw_from_above(ink: Ink, shape: SettingShape, beam: BeamShape, y: float, unit: float, across: float) -> None:
    high = max(_wide(shape, across), 4.0)
    length = beam.length_ft if is_size(beam.length_ft, 200) else None
    is_first = beam.place == 0
    ink.box(
        LEFT,
        y - high / 2,
        (length or shape.span_ft) * unit,
        high,
        kind="beam reference" if is_first else "beam",
        fill=WOOD_DARK if is_first else WOOD,
        stroke=INK if is_first else WOOD_DARK,
        stroke_width=2 if is_first else 0.8,
        stroke_dasharray=None if length else "5 4",
    )
    ink.text(6, y + 4, f"{beam.place:+d}" if beam.place else "0", size=12.0, bold=is_first)
    ink.text(36, y + 4, beam.mark[:8], size=11.0, fill=SOFT)
    for lift in beam.lifts_ft:
        x = LEFT + lift * unit
        ink.path(f"M{x - 4:.2f} {y + 4:.2f} L{x:.2f} {y - 4:.2f} L{x + 4:.2f} {y + 4:.2f} Z", kind="lift", fill=PAPER)
    # The ring stands where no lift point is usual: a little before the middle.
    _ring(ink, LEFT + (length or shape.span_ft) * unit * 0.46, y, beam.order)


def _ring(ink: Ink, x: float, y: float, order: int) -> None:
    ink.dot(x, y, 8.5, kind="order", fill=PAPER, stroke=INK, stroke_width=1.2)
    ink.text(x, y + 4, str(order), kind="order-number", size=11.0, anchor="middle", bold=True)


def _draw_section(ink: Ink, shape: SettingShape, top: float, unit: float, lowest: int, rows: int) -> None:
    """Looking ahead: beams side by side at their places, tops level, on the line of the bearings."""
    ink.text(LEFT, top - 12, "Section, looking ahead", bold=True)
    step = min(_spacing(shape) * unit, (WIDTH - LEFT - RIGHT) / rows)
    shrink = step / (_spacing(shape) * unit)
    wide = max(_wide(shape, unit) * shrink, 3.0)
    for beam in shape.beams:
        x = LEFT + (beam.place - lowest + 0.5) * step
        known = is_size(beam.depth_in, 240)
        high = min((beam.depth_in if known else 12.0) / 12 * unit * shrink, MOST_DEEP)
        ink.box(
            x - wide / 2,
            top,
            wide,
            high,
            kind="beam-section",
            fill=WOOD_DARK if beam.place == 0 else WOOD,
            stroke_dasharray=None if known else "5 4",
        )
        ink.text(x, top + _deep(shape, unit) + 16, str(beam.order), size=11.5, anchor="middle", bold=True)
        ink.text(x, top + _deep(shape, unit) + 30, f"{beam.place:+d}" if beam.place else "0", size=10.5, fill=SOFT,
                 anchor="middle")  # fmt: skip
    ink.line(LEFT - 14, top, LEFT + rows * step + 14, top, stroke=LINE)


def _in_words(shape: SettingShape) -> str:
    order = ", ".join(f"{beam.order}: {beam.mark}" for beam in sorted(shape.beams, key=lambda beam: beam.order))
    return f"{len(shape.beams)} beams on a span of {feet_and_inches(shape.span_ft)}, set in the order {order}."
