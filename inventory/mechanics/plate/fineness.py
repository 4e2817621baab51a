"""How many harmonics and elements a deck is given, and what error that leaves."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, pi

from inventory.mechanics.errors import require_range

from .harmonics import Stretch

SOURCE = "fineness of a plate analysis"
MOST_HARMONICS = 12000


@dataclass(frozen=True, kw_only=True)
class Fineness:
    """How fine the sums are. The defaults keep w and M_x within 0.1 %, M_y and Q_y within 0.5 % of their limits.

    A reach is k u of the last harmonic, u the shortest patch along the span: harmonics = reach a/(pi u), not fewer
    than ``least_harmonics``. Strips for w and M_x, series for M_y, M_xy and Q_y, peak for Q_y at the edges of
    patches. Element widths near the wheels and elsewhere, in.
    """

    strip_reach: int = 9
    series_reach: int = 18
    peak_reach: int = 130
    least_harmonics: int = 60
    fine_in: float = 1.0
    coarse_in: float = 2.0

    def __post_init__(self) -> None:
        for name in ("strip_reach", "series_reach", "peak_reach", "least_harmonics"):
            require_range(name=name.replace("_", " "), value=getattr(self, name), least=1, most=2000, source=SOURCE)
        require_range(name="fine element", value=self.fine_in, least=0.1, most=24, unit="in", source=SOURCE)
        require_range(name="coarse element", value=self.coarse_in, least=0.1, most=24, unit="in", source=SOURCE)

    def harmonics(self, *, reach: int, span_in: float, parts: tuple[Stretch, ...]) -> int:
        """How many harmonics reach k u = ``reach`` for the shortest patch on the span; at most 12,000."""
        shortest = min(high - low for part in parts for low, high, _rate in part.pieces)
        needed = ceil(reach * span_in / (pi * max(shortest, 1.0)))
        return min(MOST_HARMONICS, max(self.least_harmonics, needed))


DEFAULT = Fineness()
