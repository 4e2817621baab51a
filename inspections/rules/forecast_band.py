"""A kept forecast read off between its points."""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date


def read_off(points: Sequence[Mapping], on: date, name: str) -> float | None:
    """Value of a kept point's field on a day, straight between points; the ends' beyond them, None without points."""
    if not points:
        return None
    day = float(on.toordinal())
    days = [point["on_day"] for point in points]
    place = bisect_right(days, day)
    if place == 0 or place == len(points):
        return float(points[min(place, len(points) - 1)][name])
    before, after = points[place - 1], points[place]
    share = (day - before["on_day"]) / (after["on_day"] - before["on_day"])
    return float(before[name] + (after[name] - before[name]) * share)


def day_of_ordinal(number: float | None) -> date | None:
    """The whole day on which a day number of a forecast has come; a part of a day counts as that day."""
    return None if number is None else date.fromordinal(int(number))


@dataclass(frozen=True, kw_only=True)
class Days:
    """When a forecast's least local pressure falls to a pressure. `points` carry `on_day` and `least_..._psi`; `ratio`
    (0 to 1) lowers every edge, where the readings lie below the band."""

    points: Sequence
    ratio: float = 1.0

    def lower(self, psi: float) -> date | None:
        """The day the lower edge reaches it; None not within the forecast, which may be never."""
        return self._reached(psi, "least_lower_psi")

    def middle(self, psi: float) -> date | None:
        return self._reached(psi, "least_middle_psi")

    def _reached(self, psi: float, name: str) -> date | None:
        before = None
        for point in self.points:
            value = self.ratio * getattr(point, name)
            if value <= psi and before is None:
                return day_of_ordinal(point.on_day)
            if value <= psi:
                day, high = before
                return day_of_ordinal(day + (high - psi) / (high - value) * (point.on_day - day))
            before = (point.on_day, value)
        return None
