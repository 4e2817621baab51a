"""What a sighting of a sign means beside the ones before it, and whether its place can be."""

from datetime import date
from math import isfinite

from inventory.vocabulary.structures import SignState

from .clocks.terms import day


def overtaken(*, missing: bool, on: date, state: str, confirmed_on: date | None, missing_seen_on: date | None) -> str:
    """Why a sighting of a day changes nothing any more, or "": a later one says the opposite.

    `missing` tells what was seen; `state`, `confirmed_on`, `missing_seen_on` what is on record.
    """
    if not missing and state == SignState.MISSING and missing_seen_on is not None and on < missing_seen_on:
        return (
            f"The sign was seen missing on {day(missing_seen_on)}, after {day(on)}: it stays owed. If it stands now, "
            "give the day on which it was seen since."
        )
    if missing and state == SignState.CONFIRMED and confirmed_on is not None and on < confirmed_on:
        return f"The sign was seen standing on {day(confirmed_on)}, after {day(on)}: correct the day, or leave it."
    return ""


def place_faults(lon: float | None, lat: float | None) -> list[str]:
    """Sentences where a place in degrees cannot be; none given is no fault."""
    if lon is None and lat is None:
        return []
    numbers = [value for value in (lon, lat) if isinstance(value, int | float) and not isinstance(value, bool)]
    if len(numbers) < 2 or not all(isfinite(value) for value in numbers) or abs(lon) > 180 or abs(lat) > 90:
        return ["The place needs a longitude from -180 to 180 and a latitude from -90 to 90, both or neither."]
    return []
