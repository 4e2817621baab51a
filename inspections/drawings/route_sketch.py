"""A sketch of a day's route to scale, north up: numbered stops and the straight lines between them."""

from dataclasses import dataclass
from math import cos, hypot, pi, sin

from inventory.drawings.ink import BLUE, INK, LINE, PAPER, SOFT, Ink

WIDTH, EDGE, TOP = 720.0, 56.0, 30.0
LEAST_HEIGHT, MOST_HEIGHT = 260.0, 480.0
LEAST_SPREAD_MI = 0.5  # stops at one place are not blown up without end
BUBBLE = 14.0
STEPS_MI = (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50)


@dataclass(frozen=True, kw_only=True)
class SketchStop:
    """A numbered stop, miles east and north of any common point."""

    number: int
    number_words: str
    title: str
    east_mi: float
    north_mi: float


@dataclass(frozen=True, kw_only=True)
class Frame:
    """From miles to drawing units: one scale both ways, y downwards."""

    unit_per_mi: float
    west_mi: float
    north_mi: float
    left: float
    height: float

    def point(self, stop: SketchStop) -> tuple[float, float]:
        x = self.left + (stop.east_mi - self.west_mi) * self.unit_per_mi
        return x, TOP + EDGE + (self.north_mi - stop.north_mi) * self.unit_per_mi


def frame_of(stops: list[SketchStop]) -> Frame:
    """The largest scale at which every stop fits."""
    easts, norths = [stop.east_mi for stop in stops], [stop.north_mi for stop in stops]
    wide, high = max(easts) - min(easts), max(norths) - min(norths)
    wide_room, high_room = WIDTH - 2 * EDGE, MOST_HEIGHT - TOP - 2 * EDGE
    scale = min(wide_room / max(wide, LEAST_SPREAD_MI), high_room / max(high, LEAST_SPREAD_MI))
    height = max(LEAST_HEIGHT, TOP + 2 * EDGE + high * scale)
    return Frame(
        unit_per_mi=scale,
        west_mi=min(easts),
        north_mi=max(norths),
        left=EDGE + (wide_room - wide * scale) / 2,
        height=height,
    )


def route_sketch(stops: list[SketchStop], *, key: str) -> str:
    """The sketch as SVG; at least one stop. The table under it says the same in words."""
    frame = frame_of(stops)
    points = [frame.point(stop) for stop in stops]
    ink = Ink(
        key=key, width=WIDTH, height=frame.height + 40, title="Sketch of the route, north up, to scale",
        desc="; then ".join(f"{stop.number}: {stop.number_words}, {stop.title}" for stop in stops)
        + ". Straight lines between stops, not roads.",
    )  # fmt: skip
    ink.box(6, 6, WIDTH - 12, frame.height + 28, kind="frame", fill=PAPER, stroke=LINE)
    if len(points) > 1:
        d = "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in points)
        ink.path(d, kind="way", stroke=SOFT, stroke_width=1.4, stroke_dasharray="7 5")
    taken = list(points)
    for stop, (x, y) in zip(stops, points, strict=True):
        bx, by = _free_spot((x, y), taken, frame.height)
        taken.append((bx, by))
        ink.line(x, y, bx, by, kind="leader", stroke=INK, stroke_width=0.9)
        ink.dot(x, y, 3.2, kind="place", fill=INK, stroke=INK)
        ink.dot(bx, by, BUBBLE, kind="stop", fill=PAPER, stroke=BLUE, stroke_width=2)
        ink.text(bx, by + 5, str(stop.number), anchor="middle", bold=True, size=14.0)
        # A rim of paper keeps the words readable where a line runs under them.
        ink.text(
            bx + BUBBLE + 4,
            by + 5,
            stop.number_words,
            kind="structure-number",
            size=13.0,
            stroke=PAPER,
            stroke_width=4,
            paint_order="stroke",
        )
    _north(ink)
    _scale(ink, frame)
    return ink.svg()


def _free_spot(at: tuple[float, float], taken: list[tuple[float, float]], height: float) -> tuple[float, float]:
    """The first of sixteen bearings, near before far, where a number covers nothing drawn before."""
    for reach in (24.0, 40.0, 60.0, 85.0):
        for turn in range(16):
            angle = -pi / 2 + turn * pi / 8
            x, y = at[0] + reach * cos(angle), at[1] + reach * sin(angle)
            inside = 26 < x < WIDTH - 90 and 26 < y < height - 6
            # Numbers of structures stand to the right of the bubble, so level neighbours need more room.
            if inside and all(
                hypot(x - other, y - down) > 2 * BUBBLE + 3 and (abs(y - down) > 18 or abs(x - other) > 78)
                for other, down in taken
                if (other, down) != at
            ):
                return x, y
    return at[0], at[1] - 24.0


def _north(ink: Ink) -> None:
    x, y = WIDTH - 34, 62
    ink.path(f"M{x} {y - 36} L{x + 8} {y - 12} L{x} {y - 18} L{x - 8} {y - 12} Z", fill=INK, stroke=INK)
    ink.line(x, y - 18, x, y, stroke_width=1.4)
    ink.text(x, y + 14, "N", anchor="middle", bold=True)


def _scale(ink: Ink, frame: Frame) -> None:
    miles = max((step for step in STEPS_MI if step * frame.unit_per_mi <= 170), default=STEPS_MI[0])
    length, x, y = miles * frame.unit_per_mi, 26.0, frame.height + 16
    ink.box(x, y, length / 2, 5, kind="scale-bar", fill=INK, stroke=INK)
    ink.box(x + length / 2, y, length / 2, 5, kind="scale-bar", fill=PAPER, stroke=INK)
    ink.text(x, y - 5, "0", size=11.0, fill=SOFT)
    ink.text(x + length, y - 5, f"{miles:g} mi", size=11.0, fill=SOFT, anchor="middle")
    ink.text(x + max(length, 60) + 40, y + 5, "Straight lines, not roads.", size=11.0, fill=SOFT)
