"""Bar force along the span against the least pressure, the need and the design force, with the worst stretch."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.drawings.ink import BLUE, INK, PAPER, SKY, SOFT, VERMILION, Ink

LEFT = 48.0
RIGHT = 190.0
PLOT_WIDTH = 460.0
PLOT_HEIGHT = 150.0
TOP = 40.0
LEGEND = {
    "read": "read since the bars were last pulled",
    "low": "that bar below the least or the needed",
    "before_pull": "read before the last pull",
    "filled": "not read, lower of the bars beside",
    "absent": "no reading in date: absent",
    "estimate": "forecast of a bar not read, 8 in 10",
    "lock_off": "gauge at lock-off: no standing force",
}


@dataclass(frozen=True, kw_only=True)
class BarPoint:
    """One bar: number, station from the first bearing (ft), force counted (lb) or None where it counts as absent.

    ``state`` read, before_pull or filled. ``lock_off_lb`` is drawn apart; ``estimate_lb`` is (low, middle, high).
    """

    number: int
    station_ft: float
    force_lb: float | None
    is_low: bool = False
    state: str = "read"
    lock_off_lb: float | None = None
    estimate_lb: tuple[float, float, float] | None = None

    @property
    def shapes(self) -> set[str]:
        """Keys of the legend that this bar needs."""
        found = {"absent" if self.force_lb is None else self.state}
        found |= {"low"} if self.is_low and self.force_lb is not None else set()
        found |= {"lock_off"} if self.lock_off_lb is not None else set()
        return found | ({"estimate"} if self.estimate_lb is not None else set())

    @property
    def greatest_lb(self) -> float:
        return max(self.force_lb or 0.0, self.lock_off_lb or 0.0, self.estimate_lb[2] if self.estimate_lb else 0.0)


@dataclass(frozen=True, kw_only=True)
class ForceLevel:
    """A line across the chart: force per bar (lb) and its words."""

    force_lb: float
    words: str
    is_need: bool = False


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """The worst stretch: its ends (ft), the force in one bar at its mean pressure (lb), and its words."""

    from_ft: float
    to_ft: float
    force_lb: float
    words: str
    is_low: bool = False


@dataclass(frozen=True, kw_only=True)
class _Plot:
    """Where a station and a force are on the paper."""

    span_ft: float
    highest_lb: float

    @property
    def base(self) -> float:
        return TOP + PLOT_HEIGHT

    def x(self, station_ft: float) -> float:
        return LEFT + PLOT_WIDTH * min(max(station_ft / self.span_ft, 0.0), 1.0)

    def y(self, force_lb: float) -> float:
        return self.base - PLOT_HEIGHT * force_lb / self.highest_lb


def bar_profile(
    points: Sequence[BarPoint],
    levels: Sequence[ForceLevel],
    *,
    span_ft: float,
    title: str,
    key: str,
    stretch: Stretch | None = None,
) -> str:
    """Forces drawn to one scale from zero, bars at their stations. A bar that counts as absent is a cross."""
    highest = max([1000.0, *(p.greatest_lb for p in points), *(level.force_lb for level in levels)]) * 1.12
    plot = _Plot(span_ft=span_ft, highest_lb=highest)
    legend = [key for key in LEGEND if any(key in point.shapes for point in points)]
    ink = Ink(
        key=key,
        width=LEFT + PLOT_WIDTH + RIGHT,
        height=plot.base + 58 + 19 * ((len(legend) + 1) // 2),
        title=title,
        desc=_told(points, stretch),
    )
    ink.text(LEFT - 12, TOP + 4, "kip", anchor="end", fill=SOFT)
    if stretch is not None:
        _draw_stretch(ink, stretch, plot)
    _draw_levels(ink, levels, plot)
    ink.line(LEFT, plot.base, LEFT + PLOT_WIDTH, plot.base, stroke=SOFT)
    step = _label_step(points)
    for order, point in enumerate(points):
        _draw_point(ink, point, plot, labelled=order % step == 0)
    ink.text(
        LEFT + PLOT_WIDTH / 2, plot.base + 38, f"bar, at its place along {span_ft:g} ft", anchor="middle", fill=SOFT
    )
    _draw_legend(ink, legend, plot.base + 58)
    return ink.svg()


def _told(points: Sequence[BarPoint], stretch: Stretch | None) -> str:
    low = [str(point.number) for point in points if point.is_low]
    told = f"Low or without a reading: bars {', '.join(low)}." if low else "No bar is low."
    return f"{stretch.words}. {told}" if stretch else told


def _label_step(points: Sequence[BarPoint]) -> int:
    """Every bar is labelled where there is room, else every second or further."""
    if len(points) < 2:
        return 1
    pitch = PLOT_WIDTH / len(points)
    room = 44 if any(point.estimate_lb for point in points) else 26
    return 1 if pitch >= room else int(room // pitch) + 1


def _draw_stretch(ink: Ink, stretch: Stretch, plot: _Plot) -> None:
    left, right = plot.x(stretch.from_ft), plot.x(stretch.to_ft)
    ink.box(left, TOP, right - left, PLOT_HEIGHT, kind="worst-stretch", fill=SKY, fill_opacity="0.18", stroke="none")
    for x in (left, right):
        ink.line(x, TOP - 6, x, plot.base, stroke=SOFT, stroke_width=0.7, stroke_dasharray="2 2")
    y = plot.y(stretch.force_lb)
    ink.line(left, y, right, y, kind="worst-mean", stroke=VERMILION if stretch.is_low else INK, stroke_width=2.4)
    middle = min(max((left + right) / 2, LEFT + 150), LEFT + PLOT_WIDTH - 130)
    ink.text(middle, TOP - 14, stretch.words, anchor="middle", size=12.0, bold=True)


def _draw_levels(ink: Ink, levels: Sequence[ForceLevel], plot: _Plot) -> None:
    previous = None
    for level in sorted(levels, key=lambda item: -item.force_lb):
        y = plot.y(level.force_lb)
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


def _draw_point(ink: Ink, point: BarPoint, plot: _Plot, *, labelled: bool) -> None:
    x = plot.x(point.station_ft)
    colour = VERMILION if point.is_low else BLUE
    if point.estimate_lb is not None:
        _draw_whisker(ink, x + 9, *(plot.y(force) for force in point.estimate_lb))
    if point.lock_off_lb is not None:
        _draw_lock_off(ink, x - 9, plot.y(point.lock_off_lb))
    if point.force_lb is None:
        _draw_cross(ink, x, plot.base)
    else:
        y = plot.y(point.force_lb)
        dashes = None if point.state == "read" else "3 2"
        ink.line(x, plot.base, x, y, stroke=colour, stroke_width=2, kind="bar-stem", stroke_dasharray=dashes)
        _draw_head(ink, point.state, x, y, colour, is_low=point.is_low)
        if labelled and point.state != "filled":
            # Beside its whisker a figure stands to the left, above the head otherwise.
            at = (x - 8, y + 4, "end") if point.estimate_lb is not None else (x, y - 10, "middle")
            ink.text(at[0], at[1], f"{point.force_lb / 1000:.3g}", anchor=at[2], size=11.0)
    if labelled:
        known = point.force_lb is not None
        ink.text(x, plot.base + 17, str(point.number), anchor="middle", fill=INK if known else VERMILION, size=11.0)


def _draw_head(ink: Ink, state: str, x: float, y: float, colour: str, *, is_low: bool) -> None:
    if state == "before_pull":
        ink.box(x - 5, y - 5, 10, 10, kind="bar-before", fill=PAPER, stroke=colour, stroke_width=2)
    elif state == "filled":
        path = f"M{x:.2f} {y - 6:.2f} L{x + 6:.2f} {y:.2f} L{x:.2f} {y + 6:.2f} L{x - 6:.2f} {y:.2f} Z"
        ink.path(path, kind="bar-filled", fill=PAPER, stroke=colour, stroke_width=1.6)
    else:
        ink.dot(x, y, 5.5, kind="bar-read", fill=PAPER if is_low else colour, stroke=colour, stroke_width=2)


def _draw_cross(ink: Ink, x: float, y: float) -> None:
    for sign in (-1, 1):
        ink.line(x - 5, y - 5 * sign, x + 5, y + 5 * sign, stroke=VERMILION, stroke_width=2, kind="bar-absent")


def _draw_whisker(ink: Ink, x: float, low: float, middle: float, high: float) -> None:
    ink.line(x, low, x, high, kind="estimate", stroke=SOFT, stroke_width=1.4)
    for y, half in ((low, 3.5), (high, 3.5), (middle, 5.0)):
        ink.line(x - half, y, x + half, y, stroke=SOFT, stroke_width=1.4)


def _draw_lock_off(ink: Ink, x: float, y: float) -> None:
    path = f"M{x - 6:.2f} {y - 5:.2f} L{x + 6:.2f} {y - 5:.2f} L{x:.2f} {y + 6:.2f} Z"
    ink.path(path, kind="lock-off", fill=PAPER, stroke=SOFT, stroke_width=1.6, stroke_dasharray="2 1.5")


def _draw_legend(ink: Ink, shown: Sequence[str], top: float) -> None:
    for place, key in enumerate(shown):
        x, y = LEFT + 10 + 330 * (place % 2), top + 19 * (place // 2)
        if key == "absent":
            _draw_cross(ink, x, y)
        elif key == "estimate":
            _draw_whisker(ink, x, y + 6, y, y - 6)
        elif key == "lock_off":
            _draw_lock_off(ink, x, y)
        elif key == "low":
            _draw_head(ink, "read", x, y, VERMILION, is_low=True)
        else:
            _draw_head(ink, key, x, y, BLUE, is_low=False)
        ink.text(x + 14, y + 4, LEGEND[key], size=12.0, fill=SOFT)
