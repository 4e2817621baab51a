"""What it can carry: one bar for each vehicle, its length in proportion to the rating factor."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.drawings.ink import ASPHALT, INK, PAPER, SOFT, VERMILION, Ink

# Narrow enough that the words can still be read on a phone.
LABEL_WIDTH = 170.0
SCALE_WIDTH = 190.0
FIGURE_WIDTH = 100.0
ROW = 34.0
BAR = 17.0
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
    """The chart as SVG. A bar below 1.00 is hollow, in vermilion and says so; what governs stands under it.

    Where one case governs every vehicle it is left out here: the sentence below the chart says it once.
    """
    governing = {bar.words for bar in bars}
    height = TOP + ROW * len(bars) + 26
    low = [bar.label for bar in bars if bar.factor < 1]
    ink = Ink(
        key=key,
        width=LABEL_WIDTH + SCALE_WIDTH + FIGURE_WIDTH,
        height=height,
        title="Rating factor by vehicle, least of all checks",
        desc=f"Below 1.00: {', '.join(low)}." if low else "No vehicle is below 1.00.",
    )
    per_factor = SCALE_WIDTH / scale_end(bars)
    one = LABEL_WIDTH + per_factor
    ink.line(one, 4, one, height - 22, kind="factor-one", stroke_dasharray="3 3")
    for row, bar in enumerate(bars):
        _draw_bar(ink, bar, TOP + ROW * row, per_factor, with_words=len(governing) > 1)
    ink.text(one, height - 8, "1.00", anchor="middle", size=12.0)
    return ink.svg()


def factor_words(factor: float) -> str:
    """Two decimals, cut and not rounded where rounding would hide that the factor is below 1."""
    return "0.99 below 1" if 0.99 <= factor < 1 else f"{factor:.2f}" + (" below 1" if factor < 1 else "")


def _draw_bar(ink: Ink, bar: FactorBar, y: float, per_factor: float, *, with_words: bool) -> None:
    is_low = bar.factor < 1
    length = max(0.0, bar.factor) * per_factor
    middle = y + BAR * 0.76
    ink.text(LABEL_WIDTH - 8, middle - (5 if with_words else 0), bar.label, anchor="end")
    if with_words:
        ink.text(LABEL_WIDTH - 8, middle + 8, bar.words, anchor="end", size=10.5, fill=SOFT)
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
    ink.text(
        LABEL_WIDTH + length + 7,
        middle,
        factor_words(bar.factor),
        fill=VERMILION if is_low else INK,
        bold=True,
        stroke=PAPER,
        stroke_width=4,
        paint_order="stroke",
    )
