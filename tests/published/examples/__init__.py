"""Worked examples as rating files, read through the same door as a county's own."""

from functools import cache
from pathlib import Path

from inspections.reckoning.rating_file import Bridge, read_bridges

FOLDER = Path(__file__).parent
NAMES = tuple(sorted(path.stem for path in FOLDER.glob("*.json")))


@cache
def example(name: str) -> Bridge:
    """The one bridge of an example file, by the file's name without its ending."""
    (bridge,) = read_bridges((FOLDER / f"{name}.json").read_bytes())
    return bridge


def span_of(name: str):
    """Its one span, as the kernel takes it."""
    (case,) = example(name).cases
    return case
