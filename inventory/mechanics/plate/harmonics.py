"""Patches as sine series along the span, gathered by the stretch of width that they press on.

A patch of load P on x1..x2 has the amplitudes F_m = (2/a) (P/u) (cos k x1 - cos k x2)/k, k = m pi/a, lb per in of
span. What stands beyond a bearing presses on the abutment and is left out; what would spread beyond a free edge
presses inside it. Source: Fourier series; simple-beam statics.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.mechanics.errors import OutsideValidity

from .loads import SOURCE, Patch


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """All patches between ``low_in`` and ``high_in`` across the width; pieces are (x1, x2, lb per in of span)."""

    low_in: float
    high_in: float
    pieces: tuple[tuple[float, float, float], ...]

    @property
    def width_in(self) -> float:
        return self.high_in - self.low_in

    def amplitudes(self, *, count: int, span_in: float) -> np.ndarray:
        """F_m for m = 1..count, lb per in of span."""
        k = wave_numbers(count=count, span_in=span_in)
        found = np.zeros(count)
        for low, high, rate in self.pieces:
            found += (2.0 / span_in) * rate * (np.cos(k * low) - np.cos(k * high)) / k
        return found

    def beam_moment(self, *, x_in: float, span_in: float) -> float:
        """Moment of the stretch on a simple beam at x, lb-in."""
        total = 0.0
        for low, high, rate in self.pieces:
            reaction = rate * (high - low) * (span_in - (low + high) / 2.0) / span_in
            total += reaction * x_in - rate / 2.0 * (max(x_in - low, 0.0) ** 2 - max(x_in - high, 0.0) ** 2)
        return total

    def cover(self, y_in: np.ndarray) -> np.ndarray:
        """1 inside, 1/2 on an edge, 0 outside; divided by the width: the part of the load per in at y."""
        near, far = y_in - self.low_in, y_in - self.high_in
        return (np.sign(np.round(near, 9)) - np.sign(np.round(far, 9))) / 2.0 / self.width_in


def wave_numbers(*, count: int, span_in: float) -> np.ndarray:
    """k = m pi/a for m = 1..count, 1/in."""
    return np.arange(1, count + 1) * np.pi / span_in


def stretches(*, patches: tuple[Patch, ...], span_in: float, width_in: float) -> tuple[Stretch, ...]:
    """Patches gathered by their edges across the width; ``OutsideValidity`` for a centre off the deck or no load."""
    gathered: dict[tuple[float, float], list] = {}
    for patch in patches:
        if not 0.0 <= patch.y_in <= width_in:
            raise OutsideValidity(
                name="patch centre", value=patch.y_in, valid=f"0 to {width_in:g}", unit="in", source=SOURCE
            )
        low, high = (max(patch.x_in - patch.length_in / 2.0, 0.0), min(patch.x_in + patch.length_in / 2.0, span_in))
        if high <= low:
            continue
        side = (max(patch.y_in - patch.width_in / 2.0, 0.0), min(patch.y_in + patch.width_in / 2.0, width_in))
        gathered.setdefault(side, []).append((low, high, patch.load_lb / patch.length_in))
    if not gathered:
        raise OutsideValidity(name="patches on the span", value=0, valid="at least 1", source=SOURCE)
    return tuple(
        Stretch(low_in=low, high_in=high, pieces=tuple(pieces)) for (low, high), pieces in sorted(gathered.items())
    )
