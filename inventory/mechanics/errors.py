"""The kernel's refusal: a value outside the range in which a rule holds."""

from __future__ import annotations

OUTSIDE = "outside the range"
"""Stands in every refusal of a value, so that it can be told from a sentence on what is missing."""


class OutsideValidity(ValueError):
    """Raised instead of extrapolating; the message names the value, its range and the source of the range."""

    def __init__(self, *, name: str, value: object, valid: str, source: str, unit: str = "") -> None:
        self.name = name
        self.value = value
        self.valid = valid
        self.source = source
        self.unit = unit
        shown = f"{value:g}" if isinstance(value, (int, float)) and not isinstance(value, bool) else str(value)
        amount = f"{shown} {unit}".strip()
        super().__init__(f"{name} is {amount}, {OUTSIDE} {valid} ({source}).")

    def __reduce__(self):  # keyword-only arguments survive a trip through a worker's pickle
        return (_rebuild, (self.name, self.value, self.valid, self.source, self.unit))


def _rebuild(name: str, value: object, valid: str, source: str, unit: str) -> OutsideValidity:
    return OutsideValidity(name=name, value=value, valid=valid, source=source, unit=unit)


def require_range(
    *,
    name: str,
    value: float,
    source: str,
    unit: str = "",
    above: float | None = None,
    least: float | None = None,
    most: float | None = None,
) -> float:
    """Return ``value`` if above < value, least <= value <= most; raise ``OutsideValidity`` otherwise (also for NaN)."""
    number = isinstance(value, (int, float)) and value == value and abs(value) != float("inf")
    if (
        number
        and (above is None or value > above)
        and (least is None or value >= least)
        and (most is None or value <= most)
    ):
        return value
    bounds = (("above", above), ("at least", least), ("at most", most))
    valid = " and ".join(f"{word} {bound:g}" for word, bound in bounds if bound is not None)
    raise OutsideValidity(name=name, value=value, valid=valid, source=source, unit=unit)
