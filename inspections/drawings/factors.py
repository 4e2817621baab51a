"""What it can carry: one bar for each vehicle, its length in proportion to the rating factor."""

from collections.abc import Sequence
from dataclasses import dataclass

from .ink import DARK, INK, PAPER, SOFT, VERMILION, Sheet

LABEL_WIDTH = 132.0
SCALE_WIDTH = 300.0
WORDS_WIDTH = 230.0
ROW = 30.0
BAR = 19.0
TOP = 12.0


@dataclass(frozen=True, kw_only=True)
class FactorBar:
    """One vehicle with its least rating factor (0 or more) and what governs it, in words."""

    label: str
    factor: float
    words: str


def scale_end(bars: Sequence[FactorBar]) -> float:
    """The factor at the right end of the scale: above the longest bar, and never so short that 1.00 is not seen."""
    return max([1.5, *(bar.factor for bar in bars)]) * 1.02


def factor_chart(bars: Sequence[FactorBar]) -> str:
    """The chart as SVG. A bar below 1.00 is hollow, drawn in vermilion and named 'below 1'."""
    height = TOP + ROW * len(bars) + 26
    low = [bar.label for bar in bars if bar.factor < 1]
    sheet = Sheet(
        width=LABEL_WIDTH + SCALE_WIDTH + WORDS_WIDTH,
        height=height,
        title="Rating factor by vehicle, least of all checks",
        described=f"Below 1.00: {', '.join(low)}." if low else "No vehicle is below 1.00.",
    )
    per_factor = SCALE_WIDTH / scale_end(bars)
    for row, bar in enumerate(bars):
        _draw_bar(sheet, bar, TOP + ROW * row, per_factor)
    one = LABEL_WIDTH + per_factor
    sheet.line(one, 4.0, one, height - 22, stroke_dasharray="3 3")
    sheet.text(one, height - 8, "1.00", anchor="middle", font_size=12)
    return sheet.svg()


def _draw_bar(sheet: Sheet, bar: FactorBar, y: float, per_factor: float) -> None:
    is_low = bar.factor < 1
    length = max(0.0, bar.factor) * per_factor
    middle = y + BAR * 0.74
    sheet.text(LABEL_WIDTH - 8, middle, bar.label, anchor="end")
    sheet.add(
        "rect",
        x=LABEL_WIDTH,
        y=y,
        width=length,
        height=BAR,
        class_="factor-bar",
        fill=PAPER if is_low else DARK,
        stroke=VERMILION if is_low else DARK,
        stroke_width=2 if is_low else 1,
    )
    sheet.text(
        LABEL_WIDTH + length + 7,
        middle,
        f"{bar.factor:.2f}" + (" below 1" if is_low else ""),
        fill=VERMILION if is_low else INK,
        font_weight="bold",
    )
    sheet.text(LABEL_WIDTH + SCALE_WIDTH + 60, middle, bar.words, fill=SOFT, font_size=12)
