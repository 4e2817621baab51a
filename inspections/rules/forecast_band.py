"""A kept forecast read off between its points."""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
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
