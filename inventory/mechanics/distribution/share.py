"""A share of the live load, with the rule it comes from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Share:
    """``wheel_lines`` carried by the member (half a lane each), the rule in words, its source and mark."""

    wheel_lines: float
    rule: str
    source: str
    mark: str
