"""Bars told apart on a chart by a dash and a marker each, never by colour alone."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.drawings.ink import INK, PAPER, Ink

MOST_PICKED = 6
MARKERS = ("square", "triangle", "diamond", "ring", "plus", "down")
DASHES = (None, "9 3", "3 3", "9 3 2 3", "14 4", "5 2 1 2")


@dataclass(frozen=True, kw_only=True)
class Look:
    """How a bar that is picked out is drawn."""

    marker: str
    dash: str | None


def looks_of(names: Sequence[str], chosen: Sequence[str]) -> dict[str, Look | None]:
    """The look of each bar, None where it is only faint. Nothing chosen: all of them, if they are few enough."""
    picked = [name for name in names if name in chosen][:MOST_PICKED]
    if not picked and len(names) <= MOST_PICKED:
        picked = list(names)
    return {
        name: Look(marker=MARKERS[picked.index(name)], dash=DASHES[picked.index(name)]) if name in picked else None
        for name in names
    }


def draw_marker(ink: Ink, marker: str, x: float, y: float, *, kind: str) -> None:
    """One marker about 8 units wide with its middle at the place."""
    style = {"kind": kind, "fill": PAPER, "stroke": INK, "stroke_width": 1.3}
    if marker == "ring":
        ink.dot(x, y, 4, **style)
    elif marker == "cross":
        ink.path(f"M{x - 4:.2f} {y - 4:.2f} l8 8 m0 -8 l-8 8", **style)
    elif marker == "plus":
        ink.path(f"M{x - 5:.2f} {y:.2f} h10 M{x:.2f} {y - 5:.2f} v10", **style)
    elif marker == "square":
        ink.box(x - 3.5, y - 3.5, 7, 7, **style)
    else:
        shape = {"triangle": "l5 8 h-10 Z", "diamond": "l5 5 l-5 5 l-5 -5 Z", "down": "m-5 1 h10 l-5 8 Z"}[marker]
        ink.path(f"M{x:.2f} {y - 5:.2f} {shape}", **style)
