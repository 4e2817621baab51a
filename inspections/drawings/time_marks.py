"""What stands on a chart of force in time: readings, stressings, today, the strip of lock-off readings, the legend."""

from collections.abc import Iterator
from datetime import date

from inventory.drawings.ink import BLUE, INK, LINE, PAPER, SOFT, VERMILION, Ink

from .label_room import LabelRoom, words_wide
from .markers import Look, draw_marker, looks_of
from .time_axis import day_words
from .time_chart import HEAD, LEFT, LEGEND_COLUMNS, LEGEND_ROW, RIGHT, STRIP, WIDTH, Frame, TimeChart


def draw_readings(ink: Ink, chart: TimeChart, frame: Frame) -> None:
    """Filled dots; hollow with a word where left out of the fit, one word for a day's, where there is room."""
    room = LabelRoom()
    tops: dict[tuple[date, str], float] = {}
    for each in chart.readings:
        x, y = frame.axis.x(each.on_day), frame.y(each.value)
        hollow = bool(each.left_out)
        colour = VERMILION if hollow else INK
        ink.dot(x, y, 3.4, kind="reading left-out" if hollow else "reading", fill=PAPER if hollow else colour,
                stroke=colour, stroke_width=1.4)  # fmt: skip
        room.taken.append((x - 4, y - 4, x + 4, y + 4))
        if hollow:
            of_day = (each.on_day, each.left_out)
            tops[of_day] = min(y, tops.get(of_day, y))
    for (day, words), y in tops.items():
        _left_out_word(ink, room, frame.axis.x(day), y, words)


def _left_out_word(ink: Ink, room: LabelRoom, x: float, y: float, words: str) -> None:
    """Beside or over the topmost hollow dot, where there is room inside the scale."""
    wide = words_wide(words, 10.5)
    places = (
        (x + 7, y + 4, "start", x + 7, x + 7 + wide),
        (x - 7, y + 4, "end", x - 7 - wide, x - 7),
        (x, y - 8, "middle", x - wide / 2, x + wide / 2),
        (x, y + 15, "middle", x - wide / 2, x + wide / 2),
    )
    for at, base, side, left, right in places:
        if left >= LEFT and right <= LEFT + WIDTH and room.take_words(at, base, words, size=10.5, anchor=side):
            ink.text(at, base, words, size=10.5, fill=VERMILION, anchor=side, kind="left-out-word", stroke=PAPER,
                     stroke_width=3, paint_order="stroke")  # fmt: skip
            return


def draw_marks(ink: Ink, chart: TimeChart, frame: Frame) -> None:
    """Today, stressings and the strip of lock-off readings, above and through the scale."""
    room = LabelRoom()
    x = frame.axis.x(chart.today)
    ink.line(x, HEAD - 40, x, frame.base, kind="today", stroke=BLUE, stroke_width=1.4, stroke_dasharray="7 2")
    _head_word(ink, room, x, (HEAD - 44,), "today", BLUE, "today-word")
    for day in sorted(set(chart.stressed_on), reverse=True):
        x = frame.axis.x(day)
        ink.line(x, HEAD - 8, x, frame.base, kind="stressing-line", stroke_width=1.1, stroke_dasharray="2 2")
        d = f"M{x - 5:.2f} {HEAD - 14} L{x + 5:.2f} {HEAD - 14} L{x:.2f} {HEAD - 5} Z"
        ink.path(d, kind="stressing", fill=INK, stroke="none")
        _head_word(ink, room, x, (HEAD - 17, HEAD - 30), day_words(day), INK, "stressing-word")
    if chart.lock_offs:
        _draw_strip(ink, chart, frame)


def _head_word(
    ink: Ink, room: LabelRoom, x: float, heights: tuple[float, ...], words: str, colour: str, kind: str
) -> None:
    """Centred over its mark at the first height with room, pushed in at the edges; nothing where there is none."""
    half = words_wide(words, 11.0) / 2
    at = min(max(x, LEFT + half - 40), LEFT + WIDTH + 40 - half)
    for y in heights:
        if room.take_words(at, y, words, size=11.0, anchor="middle"):
            ink.text(at, y, words, size=11.0, fill=colour, anchor="middle", bold=colour == BLUE, kind=kind)
            return


def _draw_strip(ink: Ink, chart: TimeChart, frame: Frame) -> None:
    y = HEAD + 11
    ink.box(LEFT, HEAD, WIDTH, STRIP - 8, kind="lock-off-strip", fill="none", stroke=LINE, stroke_width=0.8)
    room = LabelRoom()
    by_day: dict[date, list[float]] = {}
    for each in chart.lock_offs:
        by_day.setdefault(each.on_day, []).append(each.value)
    for day, values in sorted(by_day.items()):
        x = frame.axis.x(day)
        draw_marker(ink, "cross", x, y, kind="lock-off")
        words = f"{min(values):,.0f}" if len(set(values)) == 1 else f"{min(values):,.0f} to {max(values):,.0f}"
        side = "end" if x > LEFT + WIDTH - 90 else "start"
        at = x - 8 if side == "end" else x + 8
        if room.take_words(at, y + 4, words, size=10.5, anchor=side):
            ink.text(at, y + 4, words, size=10.5, fill=SOFT, anchor=side, kind="lock-off-word")
    ink.text(LEFT + WIDTH + 8, y - 1, "gauge at lock-off:", size=11.0, fill=SOFT)
    ink.text(LEFT + WIDTH + 8, y + 12, "not a standing force", size=11.0, fill=SOFT)


def legend_of(chart: TimeChart, looks: dict[str, Look | None]) -> Iterator[tuple[str, str, str | None]]:
    """(what, words, dash or marker) of every kind of mark that is on the sheet."""
    if any(not each.left_out for each in chart.readings):
        yield "reading", "reading", None
    if any(each.left_out for each in chart.readings):
        yield "reading left-out", "reading, not in the fit", None
    if chart.stressed_on:
        yield "stressing", "bars stressed", None
    if chart.lock_offs:
        yield "lock-off", "gauge at lock-off", None
    faint = sum(look is None for look in looks.values())
    for name, look in looks.items():
        if look is not None:
            yield "bar", f"bar {name}", name
    if faint:
        yield "faint", f"{faint} bar{'s' if faint > 1 else ''}, one by one", None


def draw_legend(ink: Ink, legend: list[tuple[str, str, str | None]], top: float) -> None:
    """Three columns of marks with their words."""
    looks = looks_of([name for _what, _words, name in legend if name], ())
    for number, (what, words, name) in enumerate(legend):
        x = LEFT + (WIDTH + RIGHT - 20) / LEGEND_COLUMNS * (number % LEGEND_COLUMNS)
        y = top + LEGEND_ROW * (number // LEGEND_COLUMNS)
        if what.startswith("reading"):
            hollow = what.endswith("out")
            colour = VERMILION if hollow else INK
            ink.dot(x + 15, y, 3.4, fill=PAPER if hollow else colour, stroke=colour, stroke_width=1.4, kind="legend")
        elif what == "stressing":
            ink.path(f"M{x + 10:.2f} {y - 5} L{x + 20:.2f} {y - 5} L{x + 15:.2f} {y + 4} Z", fill=INK, stroke="none")
        elif what == "lock-off":
            draw_marker(ink, "cross", x + 15, y, kind="legend")
        elif what == "faint":
            ink.line(x, y, x + 30, y, stroke=SOFT, stroke_width=0.6, stroke_opacity=0.55)
        elif name and (look := looks[name]):
            ink.line(x, y, x + 30, y, stroke_width=1.5, stroke_dasharray=look.dash)
            draw_marker(ink, look.marker, x + 15, y, kind="legend")
        ink.text(x + 36, y + 4, words[:30], size=11.0, kind="legend-word")
