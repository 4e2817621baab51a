"""One check of a stressed span: a demand that must not exceed its limit."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.plain import Plain


@dataclass(frozen=True, kw_only=True)
class PressedCheck(Plain):
    """One check: ``demand`` must not exceed ``limit`` (both in ``unit``); ``holds`` None where either is not known.

    ``ratio`` is demand over limit, None where it cannot be formed. ``told`` is the sentence for a person, "" where the
    check holds and needs no word.
    """

    name: str
    unit: str
    demand: float | None
    limit: float | None
    ratio: float | None
    holds: bool | None
    formula: str
    source: str
    mark: str
    told: str = ""


def check(
    *,
    name: str,
    unit: str,
    demand: float | None,
    limit: float | None,
    formula: str,
    source: str,
    mark: str,
    told: str = "",
) -> PressedCheck:
    """A check from its two numbers; ``told`` is kept only where it does not hold."""
    known = demand is not None and limit is not None
    holds = demand <= limit * (1.0 + 1e-12) if known else None
    return PressedCheck(
        name=name,
        unit=unit,
        demand=demand,
        limit=limit,
        ratio=demand / limit if known and limit > 0 else None,
        holds=holds,
        formula=formula,
        source=source,
        mark=mark,
        told="" if holds else told,
    )
