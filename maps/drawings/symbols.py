"""Deck symbols of the county sheet: one shape for each way a span is built, one filling for each condition.

Drawn once, as SVG symbols, and used by the map, the legend, the list and the locator alike. A symbol lies along the
x axis (a road running east); the user of it turns it to the road's bearing. Shape and filling carry the meaning, so
the sheet reads the same in black and white.
"""

from django.utils.safestring import SafeString, mark_safe

from inventory.vocabulary.structures import ConditionClass
from maps.queries.marks import SHAPES, Mark

INK, PAPER, BLUE = "#1c2831", "#fdfcf8", "#0072b2"
VIEW_BOX = "-20 -12 40 24"
_HALF_LENGTH, _HALF_WIDTH = 14, 5.5
_WINGS = "M-17 -9.5L-14 -5.5M17 -9.5L14 -5.5M-17 9.5L-14 5.5M17 9.5L14 5.5"


def turn_deg(bearing_deg: float | None) -> float:
    """How far to turn a symbol clockwise for a road of this bearing; an unknown bearing is drawn east to west."""
    return 0.0 if bearing_deg is None else (bearing_deg - 90) % 180


def symbol_sheet() -> SafeString:
    """All deck symbols, to stand once on a page."""
    symbols = "".join(
        f'<symbol id="deck-{shape}-{condition.value}" viewBox="{VIEW_BOX}">{_deck(shape, condition)}</symbol>'
        for shape in SHAPES
        for condition in ConditionClass
    )
    return mark_safe(f'<svg class="symbol-sheet" width="0" height="0" aria-hidden="true">{symbols}</svg>')


def _deck(shape: str, condition: ConditionClass) -> str:
    half, wide = _HALF_LENGTH, _HALF_WIDTH
    corner = ' rx="5.5"' if shape == "other" else ""
    dash = ' stroke-dasharray="3 2"' if condition == ConditionClass.NOT_RATED else ""
    fill = INK if condition == ConditionClass.GOOD else PAPER
    # A paper-coloured edge under the deck keeps it readable where roads and streams cross below.
    parts = [
        f'<rect x="{-half - 2}" y="{-wide - 2}" width="{2 * half + 4}" height="{2 * wide + 4}" '
        f'fill="{PAPER}"{corner}/>',
        f'<rect x="{-half}" y="{-wide}" width="{2 * half}" height="{2 * wide}" fill="{fill}" '
        f'stroke="{INK}" stroke-width="2"{corner}{dash}/>',
    ]
    if condition == ConditionClass.FAIR:
        stripes = "".join(f"M{x} {-wide}V{wide}" for x in (-9, -3, 3, 9))
        parts.append(f'<path d="{stripes}" stroke="{INK}" stroke-width="3"/>')
    if condition == ConditionClass.POOR:
        cross = f"M{-half} {-wide}L{half} {wide}M{-half} {wide}L{half} {-wide}"
        parts.append(f'<path d="{cross}" stroke="{INK}" stroke-width="2"/>')
    if shape == "bars":
        bars = "".join(f"M{x} -10V10" for x in (-10.5, -3.5, 3.5, 10.5))
        parts.append(f'<path d="{bars}" stroke="{BLUE}" stroke-width="2"/>')
    if shape == "stringers":
        parts.append(f'<path d="{_WINGS}" stroke="{INK}" stroke-width="2" fill="none"/>')
    return "".join(parts)


def symbol_words(mark: Mark) -> str:
    """What a mark says, in one breath, for those who do not see it."""
    words = [
        f"{mark.number}, {mark.title}",
        mark.system_words,
        mark.condition_words + (f", lowest rating {mark.lowest_rating}" if mark.lowest_rating is not None else ""),
        mark.restriction_words,
        f"{mark.due_in_words}: {mark.due_words}".rstrip(": ") if mark.due_in_words else "",
    ]
    return "; ".join(word for word in words if word)
