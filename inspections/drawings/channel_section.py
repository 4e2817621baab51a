"""A section across the channel, looking ahead on the road: the newest bed, earlier ones dashed, to a stated scale."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from inventory.drawings.ink import BLUE, INK, LINE, SOFT, VERMILION, WOOD_EDGE, Ink

from .label_room import LabelRoom
from .markers import DASHES
from .time_axis import day_words

LEFT, WIDTH, RIGHT, TOP, FOOT = 70.0, 620.0, 150.0, 44.0, 60.0
LEAST_TALL, MOST_TALL, MOST_DRAWN = 150.0, 460.0, 4
EXAGGERATIONS = (1, 2, 4, 5, 10)
STEPS_FT = (1, 2, 5, 10, 20, 25, 50, 100, 200, 500)


@dataclass(frozen=True, kw_only=True)
class Bed:
    """One survey: points (station_ft, depth_ft) by rising station."""

    on: date
    points: tuple[tuple[float, float], ...]
    water_ft: float | None = None


@dataclass(frozen=True, kw_only=True)
class Scale:
    """Feet to drawing units: along by `px_per_ft`, down by that times `exaggeration`."""

    px_per_ft: float
    exaggeration: int
    first_ft: float
    top_ft: float

    def x(self, station_ft: float) -> float:
        return LEFT + (station_ft - self.first_ft) * self.px_per_ft

    def y(self, depth_ft: float) -> float:
        return TOP + (depth_ft - self.top_ft) * self.px_per_ft * self.exaggeration

    @property
    def words(self) -> str:
        if self.exaggeration == 1:
            return "Heights and lengths to one scale."
        return f"Heights {self.exaggeration} times larger than lengths."


def channel_drawing(
    beds: Sequence[Bed], *, datum: str, name: str, key: str, foundation_ft: float | None = None
) -> tuple[str, Scale]:
    """The drawing and its scale; `beds` oldest first, at least one. Only the first and the newest three are drawn."""
    drawn = [*beds[:1], *beds[1:][-(MOST_DRAWN - 1) :]]
    scale, bottom_ft = _scale(drawn, foundation_ft)
    last = drawn[-1]
    height = scale.y(bottom_ft) + FOOT + 20 * len(drawn)
    deepest = max(last.points, key=lambda point: (point[1], -point[0]))
    days = ", ".join(day_words(bed.on) for bed in drawn)
    desc = (
        f"{name}, depths down from {datum}, sounded {days}. Deepest on {day_words(last.on)}: "
        f"{deepest[1]:g} ft below the datum at {deepest[0]:g} ft. {scale.words}"
    )
    ink = Ink(key=key, width=LEFT + WIDTH + RIGHT, height=height, title=f"Channel section: {name}", desc=desc)
    ink.text(LEFT, 20, f"Left bank{' ' * 3}looking ahead on the road. {scale.words}", size=12.0, fill=SOFT)
    _grid(ink, scale, bottom_ft, drawn)
    _ground(ink, scale, last, bottom_ft)
    _levels(ink, scale, last, foundation_ft)
    for place, bed in enumerate(drawn):
        _bed(ink, scale, bed, is_last=place == len(drawn) - 1, dash=DASHES[1 + place % (len(DASHES) - 1)])
    _deepest(ink, scale, deepest)
    _legend(ink, drawn, scale.y(bottom_ft) + 44)
    return ink.svg(), scale


def _scale(beds: Sequence[Bed], foundation_ft: float | None) -> tuple[Scale, float]:
    stations = [station for bed in beds for station, _ in bed.points]
    depths = [depth for bed in beds for _, depth in bed.points] + [
        bed.water_ft for bed in beds if bed.water_ft is not None
    ]
    depths += [] if foundation_ft is None else [foundation_ft]
    top_ft, bottom_ft = min(0.0, *depths), max(depths) + 1.0
    px_per_ft = WIDTH / (max(stations) - min(stations))
    tall = (bottom_ft - top_ft) * px_per_ft
    if tall > MOST_TALL:
        px_per_ft *= MOST_TALL / tall
        tall = MOST_TALL
    fits = [times for times in EXAGGERATIONS if tall * times <= MOST_TALL]
    # Equal scales where the section is tall enough to be read; otherwise the least that makes it so.
    times = next((times for times in fits if tall * times >= LEAST_TALL), fits[-1])
    return Scale(px_per_ft=px_per_ft, exaggeration=times, first_ft=min(stations), top_ft=top_ft), bottom_ft


def _grid(ink: Ink, scale: Scale, bottom_ft: float, beds: Sequence[Bed]) -> None:
    last_ft = max(station for bed in beds for station, _ in bed.points)
    along = next(step for step in STEPS_FT if step * scale.px_per_ft >= 42 or step == STEPS_FT[-1])
    down = next(step for step in STEPS_FT if step * scale.px_per_ft * scale.exaggeration >= 22 or step == STEPS_FT[-1])
    base = scale.y(bottom_ft)
    station = -(-scale.first_ft // along) * along
    while station <= last_ft + 1e-9:
        ink.line(scale.x(station), TOP, scale.x(station), base, stroke=LINE, stroke_width=0.4)
        ink.text(scale.x(station), base + 16, f"{station:g}", size=10.5, fill=SOFT, anchor="middle")
        station += along
    ink.text(scale.x(last_ft) + 12, base + 16, "ft from the left end", size=10.5, fill=SOFT)
    depth = -(-scale.top_ft // down) * down
    while depth <= bottom_ft + 1e-9:
        ink.line(LEFT, scale.y(depth), scale.x(last_ft), scale.y(depth), stroke=LINE, stroke_width=0.4)
        ink.text(LEFT - 8, scale.y(depth) + 4, f"{depth:g} ft", size=10.5, fill=SOFT, anchor="end")
        depth += down


def _ground(ink: Ink, scale: Scale, bed: Bed, bottom_ft: float) -> None:
    points = [(scale.x(station), scale.y(depth)) for station, depth in bed.points]
    ink.hatched([*points, (points[-1][0], scale.y(bottom_ft)), (points[0][0], scale.y(bottom_ft))])


def _levels(ink: Ink, scale: Scale, bed: Bed, foundation_ft: float | None) -> None:
    """Datum, water on the day, underside of the foundation: each with its words, none on another."""
    room = LabelRoom()
    end = scale.x(bed.points[-1][0])
    marks = [(0.0, "datum", INK, None)]
    if bed.water_ft is not None:
        marks.append((bed.water_ft, f"water {bed.water_ft:g} ft", BLUE, "10 4"))
    if foundation_ft is not None:
        marks.append((foundation_ft, f"foundation {foundation_ft:g} ft", VERMILION, "2 3"))
    for depth, words, colour, dash in marks:
        ink.line(LEFT, scale.y(depth), end, scale.y(depth), kind="level", stroke=colour, stroke_width=1.2,
                 stroke_dasharray=dash)  # fmt: skip
        at = scale.y(depth) + 4
        while not room.take_words(end + 8, at, words, size=11.0):
            at += 6
        ink.text(end + 8, at, words, size=11.0, fill=colour, kind="level-word")


def _bed(ink: Ink, scale: Scale, bed: Bed, *, is_last: bool, dash: str | None) -> None:
    d = "M" + " L".join(f"{scale.x(station):.2f} {scale.y(depth):.2f}" for station, depth in bed.points)
    if is_last:
        ink.path(d, kind="bed", stroke=WOOD_EDGE, stroke_width=2.4)
        for station, depth in bed.points:
            ink.dot(scale.x(station), scale.y(depth), 2.2, kind="sounding", fill=INK, stroke=INK, stroke_width=0.5)
    else:
        ink.path(d, kind="bed-before", stroke=SOFT, stroke_width=1.3, stroke_dasharray=dash)


def _deepest(ink: Ink, scale: Scale, deepest: tuple[float, float]) -> None:
    x, y = scale.x(deepest[0]), scale.y(deepest[1])
    ink.path(f"M{x - 6:.2f} {y + 14:.2f} L{x + 6:.2f} {y + 14:.2f} L{x:.2f} {y + 4:.2f} Z", kind="deepest", fill=INK,
             stroke="none")  # fmt: skip
    side = "end" if x > LEFT + WIDTH * 0.6 else "start"
    ink.text(
        x + (-10 if side == "end" else 10), y + 15, f"deepest {deepest[1]:g} ft", size=11.0, anchor=side, bold=True
    )


def _legend(ink: Ink, beds: Sequence[Bed], top: float) -> None:
    for place, bed in enumerate(reversed(beds)):
        y = top + 20 * place
        number = len(beds) - 1 - place
        if place == 0:
            ink.line(LEFT, y, LEFT + 34, y, stroke=WOOD_EDGE, stroke_width=2.4)
        else:
            ink.line(LEFT, y, LEFT + 34, y, stroke=SOFT, stroke_width=1.3,
                     stroke_dasharray=DASHES[1 + number % (len(DASHES) - 1)])  # fmt: skip
        ink.text(LEFT + 42, y + 4, f"bed on {day_words(bed.on)}", size=11.5)
