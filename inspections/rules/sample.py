"""Which bars to read when not all are read: every third and all near midspan and the bearings (owner policy, model).

The distances and the step are the county's policy. A slack stretch matters most where wheels stress the deck most, so
both ends of a row are always among them.
"""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Sample:
    """Indexes of the bars to read, in the order of the row, and the rule in words."""

    indexes: frozenset[int]
    words: str


def bars_to_read(stations_ft: Sequence[float], *, span_ft: float, every: int, near_ft: float) -> Sample:
    """Bars in the order of their stations; `every` 1 is all of them, `near_ft` 0 leaves out the places by distance."""
    count = len(stations_ft)
    every = max(1, every)
    chosen = set(range(0, count, every)) | ({0, count - 1} if count else set())
    places = (0.0, span_ft / 2.0, span_ft) if near_ft > 0 else ()
    chosen |= {n for n, at in enumerate(stations_ft) if any(abs(at - place) <= near_ft for place in places)}
    return Sample(indexes=frozenset(chosen), words=_words(len(chosen), count, every, near_ft))


def _words(chosen: int, count: int, every: int, near_ft: float) -> str:
    if chosen == count:
        return f"All {count} bars are to be read."
    step = {2: "every second bar", 3: "every third bar"}.get(every, f"every {every}th bar")
    near = f" and all within {near_ft:g} ft of midspan and the bearings" if near_ft > 0 else ""
    return f"At least {chosen} of {count} bars: {step}{near}. The others are estimated, with less certainty."
