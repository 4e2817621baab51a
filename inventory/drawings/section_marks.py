"""Findings at their places on a cross-section: a dot where it is, and its number on a line of balloons below."""

from collections.abc import Sequence
from dataclasses import dataclass

from .ink import PAPER, VERMILION, Ink
from .shapes import SectionMark

RADIUS, ROW = 11.0, 27.0


@dataclass(frozen=True, kw_only=True)
class Balloon:
    """A mark placed on the drawing: the spot it points at, and the row its number stands in."""

    mark: SectionMark
    x: float
    y: float
    row: int


def balloons(marks: Sequence[SectionMark], *, left: float, unit: float, width_ft: float, top: float, deep: float):
    """Marks from left to right; numbers that would stand on a neighbour's go a row lower.

    `deep` is the height of deck and members as drawn; places off the deck are drawn at its edge.
    """
    taken: list[tuple[float, int]] = []
    placed = []
    for mark in sorted(marks, key=lambda mark: (mark.across_ft, mark.label)):
        x = left + min(max(mark.across_ft, 0.0), width_ft) * unit
        row = 0
        while any(at == row and abs(x - other) < 2 * RADIUS + 3 for other, at in taken):
            row += 1
        taken.append((x, row))
        placed.append(Balloon(mark=mark, x=x, y=top + min(max(mark.down_ratio, 0.0), 1.0) * deep, row=row))
    return placed


def room_below(placed: Sequence[Balloon]) -> float:
    """Drawing units that the rows of balloons need below the section."""
    return ROW * (max(balloon.row for balloon in placed) + 1) + 10 if placed else 0.0


def draw_balloons(ink: Ink, placed: Sequence[Balloon], under: float) -> None:
    """Leader lines first, so that no line crosses a number."""
    for balloon in placed:
        ink.line(balloon.x, balloon.y, balloon.x, _y(balloon, under), kind="finding-leader", stroke=VERMILION)
    for balloon in placed:
        fill = VERMILION if balloon.mark.is_grave else PAPER
        ink.dot(balloon.x, balloon.y, 4, kind="finding-spot", fill=VERMILION, stroke=PAPER, stroke_width=1.0)
        y = _y(balloon, under)
        ink.dot(balloon.x, y, RADIUS, kind="finding", fill=fill, stroke=VERMILION)
        words = PAPER if balloon.mark.is_grave else VERMILION
        ink.text(balloon.x, y + 4, balloon.mark.label, kind="finding-label", size=12.0, fill=words, anchor="middle")


def _y(balloon: Balloon, under: float) -> float:
    return under + 10 + RADIUS + ROW * balloon.row
