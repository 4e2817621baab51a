"""Bar force in time: forecast band, each bar, readings, stressings, and the levels it must not fall below.

Two such charts stand on a page: least local pressure (psi) and mean bar force (lb). Both axes to scale, force from
zero. A gauge reading at lock-off is no standing force, so it stands in a strip of its own above the scale.
"""

from collections.abc import Sequence
from datetime import date
from math import floor, isfinite, log10

from inventory.drawings.ink import BLUE, INK, LINE, SKY, SOFT, VERMILION, Ink, refused_drawing

from .label_room import spread
from .markers import MOST_PICKED, Look, draw_marker, looks_of
from .time_axis import day_words, draw_time_axis
from .time_chart import (
    AXIS_ROOM,
    LEFT,
    LEGEND_COLUMNS,
    LEGEND_ROW,
    RIGHT,
    WIDTH,
    BandDay,
    BarLine,
    Frame,
    LockOff,
    ReadMark,
    TimeChart,
    TimeLevel,
    frame_of,
)
from .time_marks import draw_legend, draw_marks, draw_readings, legend_of

__all__ = ["BandDay", "BarLine", "LockOff", "ReadMark", "TimeChart", "TimeLevel", "force_in_time"]


def force_in_time(chart: TimeChart, *, key: str) -> str:
    """The chart as SVG; a drawing that says why where nothing can be drawn."""
    values = [*chart.values(), *(each.value for each in chart.lock_offs)]
    if not all(isfinite(value) for value in values):
        return refused_drawing(key=key, title=chart.title, sentences=["A force is no finite number; correct it."])
    if not (chart.band or chart.bars or chart.readings or chart.lock_offs):
        sentences = ["No reading, no stressing force and no forecast is on record for these bars. Read the bars."]
        return refused_drawing(key=key, title=chart.title, sentences=sentences)
    frame = frame_of(chart)
    looks = looks_of([bar.name for bar in chart.bars], chart.chosen)
    legend = list(legend_of(chart, looks))
    rows = -(-len(legend) // LEGEND_COLUMNS)
    ink = Ink(
        key=key,
        width=LEFT + WIDTH + RIGHT,
        height=frame.base + AXIS_ROOM + LEGEND_ROW * rows + 12,
        title=chart.title,
        desc=_described(chart),
    )
    _draw_scale(ink, chart, frame)
    _draw_band(ink, chart, frame)
    _draw_bars(ink, chart, frame, looks)
    draw_marks(ink, chart, frame)
    draw_readings(ink, chart, frame)
    _draw_right_words(ink, chart, frame)
    draw_legend(ink, legend, frame.base + AXIS_ROOM + 10)
    return ink.svg()


def _step(top: float) -> float:
    """1, 2 or 5 times a power of ten, so that four to ten ticks stand on the scale."""
    power = 10.0 ** floor(log10(top / 4.0))
    return max(step * power for step in (1, 2, 5) if step * power <= top / 4.0)


def _draw_scale(ink: Ink, chart: TimeChart, frame: Frame) -> None:
    draw_time_axis(ink, frame.axis, base=frame.base, top=frame.top)
    step = _step(frame.top_value)
    for count in range(int(frame.top_value / step) + 1):
        y = frame.y(count * step)
        ink.line(LEFT - 4, y, LEFT, y, stroke=SOFT, kind="value-tick")
        ink.line(LEFT, y, LEFT + WIDTH, y, stroke=LINE, stroke_width=0.4)
        ink.text(LEFT - 7, y + 4, f"{count * step:,.0f}", size=11.0, fill=SOFT, anchor="end", kind="value-word")
    ink.line(LEFT, frame.base, LEFT + WIDTH, frame.base, stroke=SOFT)
    ink.line(LEFT, frame.top, LEFT, frame.base, stroke=SOFT)
    ink.text(4, 14, f"{chart.quantity}, {chart.unit}", size=12.0, bold=True)


def _points(frame: Frame, points: Sequence[tuple[date, float]]) -> str:
    return " L".join(f"{frame.axis.x(day):.2f} {frame.y(value):.2f}" for day, value in points)


def _draw_band(ink: Ink, chart: TimeChart, frame: Frame) -> None:
    """The lower edge is the strongest line: it is what counts."""
    if not chart.band:
        return
    band = sorted(chart.band, key=lambda point: point.on_day)
    lower, middle, upper = ([(p.on_day, getattr(p, edge)) for p in band] for edge in ("lower", "middle", "upper"))
    ink.path(
        f"M{_points(frame, upper)} L{_points(frame, lower[::-1])} Z",
        kind="band",
        fill=SKY,
        fill_opacity=0.22,
        stroke="none",
    )
    ink.path(f"M{_points(frame, upper)}", kind="band-upper", stroke=BLUE, stroke_width=0.9)
    ink.path(f"M{_points(frame, middle)}", kind="band-middle", stroke=BLUE, stroke_width=1.5, stroke_dasharray="8 3")
    ink.path(f"M{_points(frame, lower)}", kind="band-lower", stroke=BLUE, stroke_width=2.6)


def _draw_bars(ink: Ink, chart: TimeChart, frame: Frame, looks: dict[str, Look | None]) -> None:
    for bar in sorted(chart.bars, key=lambda each: looks[each.name] is not None):
        look = looks[bar.name]
        runs: list[list[tuple[date, float]]] = [[]]
        for day, value in bar.points:
            if value is None:
                runs.append([])
            else:
                runs[-1].append((day, value))
        style = {"stroke": SOFT, "stroke_width": 0.6, "stroke_opacity": 0.55}
        if look is not None:
            style = {"stroke": INK, "stroke_width": 1.5, "stroke_dasharray": look.dash}
        for run in runs:
            if len(run) > 1:
                ink.path(f"M{_points(frame, run)}", kind="bar-line" if look else "bar-line faint", **style)
            for day, value in run if look or len(run) == 1 else ():
                if look is None:
                    ink.dot(frame.axis.x(day), frame.y(value), 1.2, fill=SOFT, stroke="none", kind="bar-point faint")
                else:
                    draw_marker(ink, look.marker, frame.axis.x(day), frame.y(value), kind="bar-point")


def _draw_right_words(ink: Ink, chart: TimeChart, frame: Frame) -> None:
    """Names of levels and of the band's edges at the right end, apart from each other."""
    ends = []
    for level in chart.levels:
        y = frame.y(level.value)
        colour = VERMILION if level.is_need else SOFT
        ink.line(LEFT, y, LEFT + WIDTH, y, kind="time-level", stroke=colour, stroke_width=1.4,
                 stroke_dasharray="7 3" if level.is_need else "2 3")  # fmt: skip
        ends.append((y, level.words, colour, level.is_need))
    if chart.band:
        last = max(chart.band, key=lambda point: point.on_day)
        ends += [
            (frame.y(last.upper), "upper edge", BLUE, False),
            (frame.y(last.middle), "middle", BLUE, False),
            (frame.y(last.lower), f"lower edge ({chart.band_words})", BLUE, True),
        ]
    ends.sort(key=lambda end: end[0])
    heights = spread([end[0] for end in ends], apart=14.0, top=frame.top, bottom=frame.base)
    for (at, words, colour, bold), y in zip(ends, heights, strict=True):
        ink.line(LEFT + WIDTH, at, LEFT + WIDTH + 12, y, stroke=colour, stroke_width=0.7)
        ink.text(LEFT + WIDTH + 15, y + 4, words[:34], size=11.0, fill=colour, bold=bold, kind="end-word")


def _described(chart: TimeChart) -> str:
    told = [f"{chart.quantity} in {chart.unit} against time."]
    if chart.stressed_on:
        told.append(f"Stressed on {', '.join(day_words(day) for day in sorted(set(chart.stressed_on)))}.")
    now = [point for point in chart.band if point.on_day >= chart.today] or list(chart.band[-1:])
    for at in dict.fromkeys((now[0], now[-1])) if now else ():
        told.append(
            f"Forecast on {day_words(at.on_day)}: lower edge {at.lower:,.0f}, middle {at.middle:,.0f}, "
            f"upper edge {at.upper:,.0f} {chart.unit}."
        )
    left_out = sum(bool(each.left_out) for each in chart.readings)
    told.append(f"{len(chart.readings)} readings, {left_out} of them left out of the fit.")
    told += [f"Line at {level.value:,.0f} {chart.unit}: {level.words}." for level in chart.levels]
    if len(chart.chosen) > MOST_PICKED:
        told.append(f"Only the first {MOST_PICKED} chosen bars are picked out.")
    return " ".join([*told, "The table below holds the same values."])
