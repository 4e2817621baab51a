"""Limits of numbers in a file, in the words of the kernel's own limits."""

from inventory.mechanics.rating.limits import Limit


def above(name: str, most: float, unit: str = "", least: float = 0.0) -> Limit:
    """More than ``least``, at most ``most``."""
    return Limit(name=name, unit=unit, above=True, least=least, most=most)


def between(name: str, least: float, most: float, unit: str = "") -> Limit:
    """From ``least`` to ``most``, both allowed."""
    return Limit(name=name, unit=unit, above=False, least=least, most=most)
