"""The governing case of a transverse deck or a pile cap, across the roadway and to scale."""

from collections.abc import Mapping
from dataclasses import dataclass

from inventory.drawings.ink import ASPHALT, INK, PAPER, SOFT, VERMILION, WOOD, WOOD_DARK, Ink, refused_drawing
from inventory.drawings.shapes import feet_and_inches, inches, is_size

WIDTH, HEIGHT = 760.0, 300.0
MARGIN = 90.0
TOP = 120.0
MOST_DEEP = 76.0


@dataclass(frozen=True, kw_only=True)
class PartDrawing:
    """Plain values of a governing case on a ``deck`` (with its span) or on a ``cap``, as stored with the rating."""

    key: str
    governing: Mapping
    span: Mapping
    deck: Mapping | None = None
    cap: Mapping | None = None
    title: str = ""


def part_section(drawing: PartDrawing) -> str:
    """The drawing as SVG text, or the sentence why there is none."""
    sizes = _sizes(drawing)
    if not all(is_size(size, 2000.0) for size in sizes):
        sentence = "The sizes of the governing part do not stand in the stored inputs."
        return refused_drawing(key=drawing.key, title=drawing.title, sentences=[sentence])
    ink = Ink(key=drawing.key, width=WIDTH, height=HEIGHT, title=drawing.title, desc=part_words(drawing))
    if drawing.deck is not None:
        _draw_deck(ink, drawing.governing, drawing.deck)
    else:
        _draw_cap(ink, drawing.governing, drawing.cap, drawing.span.get("deck_width_ft"))
    return ink.svg()


def _sizes(drawing: PartDrawing) -> list[float | None]:
    if drawing.deck is not None:
        names, part = ("thickness_in", "support_spacing_ft", "support_width_in"), drawing.deck
    else:
        names, part = ("width_in", "depth_in", "pile_spacing_ft", "pile_bearing_in"), drawing.cap or {}
    return [part.get(name) for name in names]


def _step(governing: Mapping, symbol: str) -> float | None:
    return next((step["value"] for step in governing["steps"] if step["symbol"] == symbol), None)


def _draw_deck(ink: Ink, governing: Mapping, deck: Mapping) -> None:
    """Two stringers, the deck between them, and one wheel at mid-span on the width of its tire."""
    spacing, width = deck["support_spacing_ft"] * 12, deck["support_width_in"]
    unit = (WIDTH - 2 * MARGIN) / (spacing + width)
    deep = min(max(deck["thickness_in"] * unit, 6.0), MOST_DEEP)
    left, right = MARGIN + width * unit / 2, WIDTH - MARGIN - width * unit / 2
    for x in (left, right):
        ink.box(x - width * unit / 2, TOP + deep, width * unit, 54, kind="support", fill=WOOD_DARK)
    ink.box(MARGIN - 30, TOP, WIDTH - 2 * MARGIN + 60, deep, kind="deck", fill=WOOD)
    middle = (left + right) / 2
    tire = _step(governing, "b_t")
    if tire:
        half = tire * unit / 2
        ink.box(middle - half, TOP - 34, 2 * half, 34, kind="tire", fill=ASPHALT, stroke=INK)
        ink.dimension(middle - half, middle + half, TOP - 42, "")
        ink.text(middle + half + 8, TOP - 40, f"tire {inches(tire)}", size=12.0)
    load = _step(governing, "P")
    if load:
        ink.text(middle, 22, f"{load:,.0f} lb", size=12.5, bold=True, anchor="middle")
        ink.path(f"M{middle:.2f} 30 V{TOP - 64:.2f}", kind="load", stroke=VERMILION, stroke_width=1.8)
    span_in = _step(governing, "s") or spacing - width
    begin = middle - span_in * unit / 2
    _mark(ink, governing, begin + governing["station_ft"] * 12 * unit, TOP + deep, TOP + deep + 20)
    ink.dimension(left, right, TOP + deep + 78, f"{feet_and_inches(spacing / 12)} between stringers")
    ink.upright_dimension(MARGIN - 40, TOP, TOP + deep, inches(deck["thickness_in"]))


def _draw_cap(ink: Ink, governing: Mapping, cap: Mapping, deck_width_ft: float | None) -> None:
    """The cap on its piles, and the section that governs from its left end."""
    count, spacing = cap.get("pile_count") or 2, cap["pile_spacing_ft"]
    length = max(deck_width_ft or 0.0, (count - 1) * spacing + cap["pile_bearing_in"] / 12, governing["station_ft"])
    unit = (WIDTH - 2 * MARGIN) / length
    deep = min(max(cap["depth_in"] / 12 * unit, 8.0), MOST_DEEP)
    ink.box(MARGIN, TOP - 30, length * unit, deep, kind="cap", fill=WOOD, stroke=INK)
    first = MARGIN + (length - (count - 1) * spacing) / 2 * unit
    wide = max(cap["pile_bearing_in"] / 12 * unit, 3.0)
    for at in range(min(count, 60)):
        x = first + at * spacing * unit
        ink.box(x - wide / 2, TOP - 30 + deep, wide, 70, kind="pile", fill=WOOD_DARK)
    _mark(ink, governing, MARGIN + governing["station_ft"] * unit, TOP - 30 + deep, TOP - 46)
    if count > 1:
        ink.dimension(first, first + spacing * unit, TOP + deep + 64, feet_and_inches(spacing))
    ink.upright_dimension(MARGIN - 20, TOP - 30, TOP - 30 + deep, inches(cap["depth_in"]))


def _mark(ink: Ink, governing: Mapping, x: float, foot: float, label: float) -> None:
    ink.line(x, TOP - 60, x, foot + 22, kind="section-mark", stroke=VERMILION, stroke_width=1.8,
             stroke_dasharray="9 3 2 3")  # fmt: skip
    to_right = x < WIDTH * 0.6
    ink.text(
        x + (8 if to_right else -8),
        label,
        f"{governing['limit_state']} at {governing['station_ft']:.2f} ft",
        size=12.5,
        fill=VERMILION,
        bold=True,
        anchor="start" if to_right else "end",
        stroke=PAPER,
        stroke_width=4,
        paint_order="stroke",
    )
    words = f"{governing['live_effect']:,.0f} {governing['unit']} from the vehicle"
    ink.text(WIDTH - MARGIN, HEIGHT - 8, words, size=12.0, anchor="end", fill=SOFT)


def part_words(drawing: PartDrawing) -> str:
    """The drawing in words."""
    governing = drawing.governing
    what = "Deck between two stringers" if drawing.deck is not None else f"{governing['span']} on its piles"
    return (
        f"{what}: {governing['limit_state']} governs at {governing['station_ft']:.2f} ft under {governing['name']}, "
        f"{governing['live_effect']:,.0f} {governing['unit']}."
    )
