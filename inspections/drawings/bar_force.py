"""Bar force along the span against its floor, the need and the design force."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.drawings.ink import BLUE, INK, PAPER, SOFT, VERMILION, Ink

LEFT = 48.0
RIGHT = 190.0
PLOT_WIDTH = 460.0
PLOT_HEIGHT = 150.0
TOP = 26.0


@dataclass(frozen=True, kw_only=True)
class BarPoint:
    """One bar: number, station from the first bearing (ft), force (lb) or None where no reading counts."""

    number: int
    station_ft: float
    force_lb: float | None
    is_low: bool = False


@dataclass(frozen=True, kw_only=True)
class ForceLevel:
    """A line across the chart: force per bar (lb) and its words."""

    force_lb: float
    words: str
    is_need: bool = False


def bar_profile(
    points: Sequence[BarPoint], levels: Sequence[ForceLevel], *, span_ft: float, title: str, key: str
) -> str:
    """Forces drawn to one scale from zero, bars at their stations. A bar with no reading is a cross."""
    highest = max([1000.0, *(p.force_lb or 0 for p in points), *(level.force_lb for level in levels)]) * 1.12
    base = TOP + PLOT_HEIGHT
    low = [str(point.number) for point in points if point.is_low]
    ink = Ink(
        key=key,
        width=LEFT + PLOT_WIDTH + RIGHT,
        height=base + 50,
        title=title,
        desc=f"Low or without a reading: bars {', '.join(low)}." if low else "No bar is low.",
    )
    ink.text(LEFT - 12, TOP + 4, "kip", anchor="end", fill=SOFT)
    _draw_levels(ink, levels, base, highest)
    ink.line(LEFT, base, LEFT + PLOT_WIDTH, base, stroke=SOFT)
    step = _label_step(points, span_ft)
    for order, point in enumerate(points):
        x = LEFT + PLOT_WIDTH * min(max(point.station_ft / span_ft, 0.0), 1.0)
        _draw_point(ink, point, x, base, highest, labelled=order % step == 0 or point.is_low)
    ink.text(LEFT + PLOT_WIDTH / 2, base + 40, f"bar, at its place along {span_ft:g} ft", anchor="middle", fill=SOFT)
    return ink.svg()


def _label_step(points: Sequence[BarPoint], span_ft: float) -> int:
    """Every bar is labelled where there is room, else every second or further."""
    if len(points) < 2:
        return 1
    pitch = PLOT_WIDTH / len(points)
    return 1 if pitch >= 26 else int(26 // pitch) + 1


def _draw_levels(ink: Ink, levels: Sequence[ForceLevel], base: float, highest: float) -> None:
    previous = None
    for level in sorted(levels, key=lambda item: -item.force_lb):
        y = base - PLOT_HEIGHT * level.force_lb / highest
        colour = VERMILION if level.is_need else SOFT
        ink.line(
            LEFT,
            y,
            LEFT + PLOT_WIDTH,
            y,
            stroke=colour,
            kind="force-level",
            stroke_dasharray="7 3" if level.is_need else "2 3",
        )
        # Words of neighbouring levels must not stand on each other.
        words_y = y + 4 if previous is None else max(y + 4, previous + 15)
        ink.text(LEFT + PLOT_WIDTH + 8, words_y, level.words, fill=colour, size=12.0)
        previous = words_y


def _draw_point(ink: Ink, point: BarPoint, x: float, base: float, highest: float, *, labelled: bool) -> None:
    colour = VERMILION if point.is_low else BLUE
    if point.force_lb is None:
        ink.line(x - 5, base - 5, x + 5, base + 5, stroke=VERMILION, stroke_width=2)
        ink.line(x - 5, base + 5, x + 5, base - 5, stroke=VERMILION, stroke_width=2)
        words = "none"
    else:
        y = base - PLOT_HEIGHT * point.force_lb / highest
        ink.line(x, base, x, y, stroke=colour, stroke_width=2, kind="bar-stem")
        ink.dot(x, y, 5.5, fill=PAPER if point.is_low else colour, stroke=colour, stroke_width=2)
        words = f"{point.force_lb / 1000:.3g}"
        if labelled:
            ink.text(x, y - 10, words, anchor="middle", size=11.0)
    if labelled:
        ink.text(
            x,
            base + 17,
            str(point.number),
            anchor="middle",
            fill=INK if point.force_lb is not None else VERMILION,
            size=11.0,
        )
