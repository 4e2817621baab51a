"""The plan of a stressing day, pass by pass: force in every bar before and after against its target and its limit."""

from dataclasses import dataclass
from math import isfinite

from inventory.drawings.ink import BLUE, LINE, PAPER, SOFT, VERMILION, Ink, refused_drawing

from .label_room import rows_of, words_wide
from .pulling_order import OrderBar, OrderSheet, pulling_order

__all__ = ["OrderBar", "OrderSheet", "PassBar", "PassPanel", "PassesChart", "pass_panels", "pulling_order"]

WIDE, GAP, LEFT, PLOT = 720.0, 34.0, 44.0, 120.0
HEAD, FOOT, LEGEND = 30.0, 40.0, 30.0
FEW_BARS = 14
NUMBER = 9.5
# A number that lies across its column needs this much of the row of bars, one on its side this much.
LYING, UPRIGHT = 12.0, 11.0


@dataclass(frozen=True, kw_only=True)
class PassBar:
    """One bar in one pass, lb; ``pulls`` are the numbers of its pulls, ``limit_lb`` None where it is not known."""

    name: str
    station_ft: float
    before_lb: float
    after_lb: float
    target_lb: float
    limit_lb: float | None = None
    pulls: tuple[int, ...] = ()
    is_planned: bool = True


@dataclass(frozen=True, kw_only=True)
class PassPanel:
    """One pass over the row."""

    number: int
    bars: tuple[PassBar, ...]

    @property
    def numbered(self) -> list[PassBar]:
        return sorted((bar for bar in self.bars if bar.pulls), key=lambda bar: bar.station_ft)


@dataclass(frozen=True, kw_only=True)
class PassesChart:
    """What is drawn: the passes in order, all on one scale."""

    title: str
    span_ft: float
    panels: tuple[PassPanel, ...]


@dataclass(frozen=True, kw_only=True)
class PanelFrame:
    """Where a panel stands and its scales; ``head`` is the room for the numbers of the pulls."""

    left: float
    top: float
    width: float
    head: float
    span_ft: float
    top_lb: float

    @property
    def base(self) -> float:
        return self.top + self.head + PLOT

    def x(self, station_ft: float) -> float:
        return self.left + self.width * min(max(station_ft / self.span_ft, 0.0), 1.0)

    def y(self, force_lb: float) -> float:
        return self.base - PLOT * min(max(force_lb, 0.0), self.top_lb) / self.top_lb


def pass_panels(chart: PassesChart, *, key: str) -> str:
    """Small multiples: one panel for each pass, forces to one scale from zero, bars at their stations."""
    problem = _problem(chart)
    if problem:
        return refused_drawing(key=key, title=chart.title, sentences=[problem])
    columns = 2 if len(chart.panels) > 1 and max(len(panel.bars) for panel in chart.panels) <= FEW_BARS else 1
    width = (WIDE - GAP * (columns - 1)) / columns - LEFT
    bars = [bar for panel in chart.panels for bar in panel.bars]
    top_lb = 1.08 * max(1000.0, *(max(b.before_lb, b.after_lb, b.target_lb, b.limit_lb or 0.0) for b in bars))
    head = HEAD + max(_numbers_high(panel, width, chart.span_ft) for panel in chart.panels)
    high = head + PLOT + FOOT
    rows = -(-len(chart.panels) // columns)
    ink = Ink(key=key, width=WIDE + 16, height=rows * high + LEGEND, title=chart.title, desc=_passes_described(chart))
    for place, panel in enumerate(chart.panels):
        frame = PanelFrame(
            left=LEFT + (place % columns) * (width + LEFT + GAP),
            top=(place // columns) * high,
            width=width,
            head=head,
            span_ft=chart.span_ft,
            top_lb=top_lb,
        )
        _draw_panel(ink, panel, frame)
    _draw_pass_legend(ink, rows * high + 10, with_limit=any(bar.limit_lb for bar in bars))
    return ink.svg()


def _problem(chart: PassesChart) -> str:
    if not chart.panels or not any(panel.bars for panel in chart.panels):
        return "The plan has no pass and no bar to draw."
    forces = [
        f for p in chart.panels for b in p.bars for f in (b.before_lb, b.after_lb, b.target_lb, b.limit_lb or 0.0)
    ]
    if not all(isfinite(force) for force in forces) or not (isfinite(chart.span_ft) and chart.span_ft > 0):
        return "A force or the span is no finite number above zero; correct it."
    return ""


def _lies(panel: PassPanel, width: float, span_ft: float) -> bool:
    """Whether the numbers can lie across their columns without touching."""
    rows = rows_of([_lying_box(bar, width, span_ft) for bar in panel.numbered])
    return max(rows, default=0) == 0


def _pull_words(bar: PassBar) -> str:
    return ",".join(str(number) for number in bar.pulls)


def _lying_box(bar: PassBar, width: float, span_ft: float) -> tuple[float, float]:
    x, half = width * bar.station_ft / span_ft, words_wide(_pull_words(bar), NUMBER) / 2 + 2
    return x - half, x + half


def _number_rows(panel: PassPanel, width: float, span_ft: float) -> tuple[list[int], float]:
    """The row of each number over the columns, and how high a row is."""
    if _lies(panel, width, span_ft):
        return [0] * len(panel.numbered), LYING
    centres = [width * bar.station_ft / span_ft for bar in panel.numbered]
    longest = max(words_wide(_pull_words(bar), NUMBER) for bar in panel.numbered)
    return rows_of([(x - UPRIGHT / 2, x + UPRIGHT / 2) for x in centres]), longest + 5


def _numbers_high(panel: PassPanel, width: float, span_ft: float) -> float:
    rows, high = _number_rows(panel, width, span_ft)
    return (max(rows, default=-1) + 1) * high + 4


def _draw_panel(ink: Ink, panel: PassPanel, frame: PanelFrame) -> None:
    ink.text(frame.left, frame.top + 16, f"pass {panel.number}, kip", bold=True, kind="pass-name")
    words = _least_words(panel)
    ink.text(frame.left + frame.width, frame.top + 16, words, size=11.0, anchor="end", fill=SOFT, kind="pass-least")
    step = next((step for step in (5e3, 1e4, 2e4, 5e4, 1e5, 2e5) if frame.top_lb / step <= 5), 5e5)
    for count in range(int(frame.top_lb / step) + 1):
        y = frame.y(count * step)
        ink.line(frame.left, y, frame.left + frame.width, y, stroke=LINE, stroke_width=0.4)
        if y > frame.top + frame.head + 8:
            ink.text(frame.left - 6, y + 4, f"{count * step / 1000:g}", size=10.5, anchor="end", fill=SOFT)
    ink.line(frame.left, frame.base, frame.left + frame.width, frame.base, stroke=SOFT, kind="panel-base")
    pitch = frame.width / max(1, len(panel.bars))
    column = min(12.0, max(2.4, pitch * 0.5))
    for bar in panel.bars:
        _draw_pass_bar(ink, bar, frame, column)
    _draw_pull_numbers(ink, panel, frame)
    _draw_bar_names(ink, panel, frame)


def _draw_pass_bar(ink: Ink, bar: PassBar, frame: PanelFrame, column: float) -> None:
    x, half = frame.x(bar.station_ft), column / 2
    if not bar.is_planned:
        ink.line(x, frame.base, x, frame.y(bar.after_lb), kind="bar-left", stroke=SOFT, stroke_dasharray="2 2")
        ink.path(f"M{x - 4:.2f} {frame.base - 8:.2f} l8 8 m0 -8 l-8 8", kind="bar-set-aside", stroke=VERMILION)
        return
    before, after = frame.y(bar.before_lb), frame.y(bar.after_lb)
    ink.box(x - half, before, column, frame.base - before, kind="force-before", fill=PAPER, stroke=SOFT,
            stroke_width=0.7)  # fmt: skip
    ink.box(x - half * 0.55, after, half * 1.1, frame.base - after, kind="force-after", fill=BLUE, stroke="none")
    target = frame.y(bar.target_lb)
    ink.line(x - half - 2, target, x + half + 2, target, kind="target", stroke_width=1.6)
    if bar.limit_lb:
        y = frame.y(bar.limit_lb)
        ink.line(x - half - 2, y, x + half + 2, y, kind="limit", stroke=VERMILION, stroke_width=2.2)


def _draw_pull_numbers(ink: Ink, panel: PassPanel, frame: PanelFrame) -> None:
    rows, high = _number_rows(panel, frame.width, frame.span_ft)
    is_lying = _lies(panel, frame.width, frame.span_ft)
    for bar, row in zip(panel.numbered, rows, strict=True):
        x, y = frame.x(bar.station_ft), frame.top + frame.head - 4 - row * high
        turn = {"anchor": "middle"} if is_lying else {"transform": f"rotate(-90 {x + 3.5:.2f} {y:.2f})"}
        ink.text(x if is_lying else x + 3.5, y, _pull_words(bar), size=NUMBER, kind="pull-number", **turn)


def _draw_bar_names(ink: Ink, panel: PassPanel, frame: PanelFrame) -> None:
    """Names of bars under the base, as many as there is room for; the first is always written."""
    end = -1e9
    for bar in sorted(panel.bars, key=lambda each: each.station_ft):
        x, half = frame.x(bar.station_ft), words_wide(bar.name[:8], 10.5) / 2 + 2
        if x - half >= end:
            ink.text(x, frame.base + 14, bar.name[:8], size=10.5, anchor="middle", fill=SOFT, kind="bar-name")
            end = x + half


def _least_words(panel: PassPanel) -> str:
    """'least 0.88 of target, bar 3': what the pass leaves."""
    least = _least(panel)
    return f"least {least[0]:.2f} of target, bar {least[1].name[:12]}" if least else ""


def _least(panel: PassPanel) -> tuple[float, PassBar] | None:
    parts = [(bar.after_lb / bar.target_lb, bar) for bar in panel.bars if bar.is_planned and bar.target_lb > 0]
    return min(parts, key=lambda part: part[0]) if parts else None


def _draw_pass_legend(ink: Ink, y: float, *, with_limit: bool) -> None:
    x = LEFT
    ink.box(x, y - 9, 10, 11, fill=PAPER, stroke=SOFT, stroke_width=0.7)
    ink.text(x + 15, y, "before the pass", size=11.0)
    ink.box(x + 124, y - 9, 6, 11, fill=BLUE, stroke="none")
    ink.text(x + 136, y, "after it", size=11.0)
    ink.line(x + 200, y - 4, x + 214, y - 4, stroke_width=1.6)
    ink.text(x + 220, y, "target", size=11.0)
    if with_limit:
        ink.line(x + 276, y - 4, x + 290, y - 4, stroke=VERMILION, stroke_width=2.2)
        ink.text(x + 296, y, "limit of the bar", size=11.0)
    ink.path(f"M{x + 396:.2f} {y - 8:.2f} l8 8 m0 -8 l-8 8", stroke=VERMILION)
    ink.text(x + 410, y, "left as it stands", size=11.0)
    ink.text(x + 516, y, "number above: pull", size=11.0)


def _passes_described(chart: PassesChart) -> str:
    told = []
    for panel in chart.panels:
        words = _least_words(panel)
        told.append(f"Pass {panel.number}: {words or 'no target'}.")
    left = [bar.name for bar in chart.panels[0].bars if not bar.is_planned]
    if left:
        told.append(f"Left as they stand: bars {', '.join(left)}.")
    return " ".join([*told, "The table below holds the same values."])
