"""The row of bars in plan, with the order in which they are pulled."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from inventory.drawings.ink import INK, PAPER, SOFT, VERMILION, WOOD, Ink, refused_drawing

from .label_room import rows_of, words_wide

ORDER_LEFT, ORDER_WIDE, CIRCLE = 24.0, 690.0, 9.0


@dataclass(frozen=True, kw_only=True)
class OrderBar:
    """A bar in plan: its pull in the first pass (None: not pulled, ``why_not`` says why) and the jack, by name."""

    name: str
    station_ft: float
    pull: int | None = None
    jack: str = ""
    why_not: str = ""


@dataclass(frozen=True, kw_only=True)
class OrderSheet:
    """The row of bars of one span in plan."""

    title: str
    span_ft: float
    deck_width_ft: float
    bars: tuple[OrderBar, ...]


def pulling_order(sheet: OrderSheet, *, key: str) -> str:
    """The row in plan, to scale along the span: bars across the deck, each with the number of its first pull.

    The deck's width is drawn to the same scale, within what a sheet can hold (60 to 150 units).
    """
    sizes = (sheet.span_ft, sheet.deck_width_ft)
    if not sheet.bars or not all(isfinite(size) and size > 0 for size in sizes):
        sentence = "The bars cannot be drawn in plan: give the span, the deck's width and at least one bar."
        return refused_drawing(key=key, title=sheet.title, sentences=[sentence])
    bars = sorted(sheet.bars, key=lambda bar: bar.station_ft)
    per_ft = ORDER_WIDE / sheet.span_ft
    xs = [ORDER_LEFT + per_ft * min(max(bar.station_ft, 0.0), sheet.span_ft) for bar in bars]
    rows = rows_of([(x - CIRCLE - 1.5, x + CIRCLE + 1.5) for x in xs])
    top = 22 + 2 * (CIRCLE + 1.5) * (max(rows) + 1)
    deck = min(150.0, max(60.0, sheet.deck_width_ft * per_ft))
    ink = Ink(key=key, width=ORDER_LEFT * 2 + ORDER_WIDE, height=top + deck + 66, title=sheet.title,
              desc=_order_described(sheet))  # fmt: skip
    ink.text(
        ORDER_LEFT, 13, "number: order of the pulls in the first pass; same number: together", size=11.5, fill=SOFT
    )
    ink.box(ORDER_LEFT, top, ORDER_WIDE, deck, kind="deck-plan", fill=WOOD, fill_opacity=0.35)
    for bar, x, row in zip(bars, xs, rows, strict=True):
        _draw_order_bar(ink, bar, x, top, deck, top - CIRCLE - 3 - row * 2 * (CIRCLE + 1.5))
    _draw_order_names(ink, bars, xs, top + deck)
    ink.dimension(ORDER_LEFT, ORDER_LEFT + ORDER_WIDE, top + deck + 54, f"span {sheet.span_ft:g} ft")
    return ink.svg()


def _draw_order_bar(ink: Ink, bar: OrderBar, x: float, top: float, deck: float, y: float) -> None:
    if bar.pull is None:
        ink.line(x, top - 3, x, top + deck + 3, kind="order-bar left", stroke=SOFT, stroke_dasharray="3 3")
        ink.path(f"M{x - 5:.2f} {y - 5:.2f} l10 10 m0 -10 l-10 10", kind="bar-set-aside", stroke=VERMILION,
                 stroke_width=2)  # fmt: skip
        return
    ink.line(x, y + CIRCLE, x, top + deck + 3, kind="order-bar", stroke_width=1.6)
    ink.dot(x, y, CIRCLE, kind="order-circle", fill=PAPER, stroke=INK, stroke_width=1.2)
    ink.text(x, y + 3.8, str(bar.pull), size=11.0 if bar.pull < 100 else 9.0, anchor="middle", bold=True,
             kind="order-number")  # fmt: skip


def _draw_order_names(ink: Ink, bars: Sequence[OrderBar], xs: Sequence[float], base: float) -> None:
    """Bar names below the deck, and the jack under each name; left out where there is no room."""
    end = -1e9
    for bar, x in zip(bars, xs, strict=True):
        jack = bar.jack[:10] if bar.pull is not None else ""
        half = max(words_wide(bar.name[:8], 11.0), words_wide(jack, 10.0)) / 2 + 2
        if x - half < end:
            continue
        end = x + half
        ink.text(x, base + 17, bar.name[:8], size=11.0, anchor="middle", kind="order-name",
                 fill=INK if bar.pull is not None else VERMILION)  # fmt: skip
        if jack:
            ink.text(x, base + 30, jack, size=10.0, anchor="middle", fill=SOFT, kind="order-jack")


def _order_described(sheet: OrderSheet) -> str:
    pulled = sorted((bar for bar in sheet.bars if bar.pull is not None), key=lambda bar: (bar.pull, bar.station_ft))
    told = (
        ["Order of the first pass: " + ", ".join(f"{bar.pull} bar {bar.name}" for bar in pulled) + "."]
        if pulled
        else []
    )
    told += [
        f"Bar {bar.name} is not pulled{': ' + bar.why_not if bar.why_not else ''}."
        for bar in sheet.bars
        if bar.pull is None
    ]
    return " ".join(told)
