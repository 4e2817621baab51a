"""Room for words on a chart: no two labels on each other, whatever the data; where there is no room, none is written.

Widths of letters are estimated (sans serif, 0.58 of the size on average); the tables under the charts hold every value.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

LETTER = 0.58


def words_wide(words: str, size: float) -> float:
    """Estimated width of words, in drawing units."""
    return LETTER * size * len(words)


@dataclass
class LabelRoom:
    """Boxes already written on, as (left, top, right, bottom)."""

    taken: list[tuple[float, float, float, float]] = field(default_factory=list)

    def take(self, left: float, top: float, right: float, bottom: float) -> bool:
        """True, and the box is kept, where it is free."""
        if any(left < r and right > l and top < b and bottom > t for l, t, r, b in self.taken):
            return False
        self.taken.append((left, top, right, bottom))
        return True

    def take_words(self, x: float, y: float, words: str, *, size: float, anchor: str = "start") -> bool:
        """The same for words with their baseline at y."""
        wide = words_wide(words, size)
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
        return self.take(left - 2, y - size * 0.85, left + wide + 2, y + size * 0.3)


def spread(places: Sequence[float], *, apart: float, top: float, bottom: float) -> list[float]:
    """Heights for labels that want to stand at ``places`` (rising), at least ``apart``, within top and bottom.

    Where they cannot all be kept between the two, they run over the bottom rather than over each other.
    """
    if not places:
        return []
    ys, y = [], top - apart
    for place in places:
        y = max(place, y + apart)
        ys.append(y)
    over = ys[-1] - bottom
    if over > 0:
        limit = max(bottom, top + apart * (len(ys) - 1))
        for at in range(len(ys) - 1, -1, -1):
            ys[at] = min(ys[at], limit)
            limit = ys[at] - apart
    return ys


def rows_of(lefts: Sequence[tuple[float, float]]) -> list[int]:
    """For labels given as (left, right), in order of their lefts: the first row in which each is free."""
    ends: list[float] = []
    rows = []
    for left, right in lefts:
        row = next((number for number, end in enumerate(ends) if end <= left), len(ends))
        if row == len(ends):
            ends.append(right)
        else:
            ends[row] = right
        rows.append(row)
    return rows
