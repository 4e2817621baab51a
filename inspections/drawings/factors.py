"""What it can carry: one bar for each vehicle, its length in proportion to the rating factor."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.drawings.ink import ASPHALT, INK, PAPER, SOFT, VERMILION, Ink

LABEL_WIDTH = 176.0
SCALE_WIDTH = 270.0
WORDS_WIDTH = 258.0
ROW = 30.0
BAR = 19.0
TOP = 12.0


@dataclass(frozen=True, kw_only=True)
class FactorBar:
    """One vehicle with its least rating factor (0 or more) and what governs it, in words."""

    label: str
    factor: float
    words: str = ""


def scale_end(bars: Sequence[FactorBar]) -> float:
    """The factor at the right end of the scale: above the longest bar, and never so short that 1.00 is not seen."""
    return max([1.5, *(bar.factor for bar in bars)]) * 1.02


def factor_chart(bars: Sequence[FactorBar], *, key: str) -> str:
    """The chart as SVG. A bar below 1.00 is hollow, drawn in vermilion and says 'below 1'."""
    height = TOP + ROW * len(bars) + 26
    low = [bar.label for bar in bars if bar.factor < 1]
    ink = Ink(
        key=key,
        width=LABEL_WIDTH + SCALE_WIDTH + WORDS_WIDTH,
        height=height,
        title="Rating factor by vehicle, least of all checks",
        desc=f"Below 1.00: {', '.join(low)}." if low else "No vehicle is below 1.00.",
    )
    per_factor = SCALE_WIDTH / scale_end(bars)
    for row, bar in enumerate(bars):
        _draw_bar(ink, bar, TOP + ROW * row, per_factor)
    one = LABEL_WIDTH + per_factor
    ink.line(one, 4, one, height - 22, kind="factor-one", stroke_dasharray="3 3")
    ink.text(one, height - 8, "1.00", anchor="middle", size=12.0)
    return ink.svg()


def _draw_bar(ink: Ink, bar: FactorBar, y: float, per_factor: float) -> None:
    is_low = bar.factor < 1
    length = max(0.0, bar.factor) * per_factor
    middle = y + BAR * 0.74
    ink.text(LABEL_WIDTH - 8, middle, bar.label, anchor="end")
    ink.box(
        LABEL_WIDTH,
        y,
        length,
        BAR,
        kind="factor-bar",
        fill=PAPER if is_low else ASPHALT,
        stroke=VERMILION if is_low else ASPHALT,
        stroke_width=2 if is_low else 1,
    )
    figure = f"{bar.factor:.2f}" + (" below 1" if is_low else "")
    ink.text(LABEL_WIDTH + length + 7, middle, figure, fill=VERMILION if is_low else INK, bold=True)
    ink.text(LABEL_WIDTH + SCALE_WIDTH + 86, middle, bar.words, fill=SOFT, size=12.0)
