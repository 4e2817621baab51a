"""Checks of stressed spans as kept with a rating, read back."""

from collections.abc import Mapping

NEED = "Pressure needed"


def needs_of(results: Mapping) -> dict[str, float]:
    """Needed pressure, psi, by span label, as the rating worked it out; empty where it did not."""
    return {
        label: check["demand"]
        for label, row in (results.get("pressed") or {}).items()
        for check in row["checks"]
        if check["name"] == NEED and check["demand"] is not None
    }
