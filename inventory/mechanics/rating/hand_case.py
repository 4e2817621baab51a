"""What the steps of a hand check are taken from, and one such step."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.plain import Plain
from inventory.mechanics.trace import Heading, Step

from .cases import CapCase, DeckCase, MemberCase, SpanCase
from .hand_arithmetic import printed, worked_line
from .policy import RatingPolicy
from .results import LimitStateResult
from .standing_load import StandingLoad

PARTS = ("strength", "section", "capacity", "layout", "dead load", "live load", "share", "factor", "posting")


@dataclass(frozen=True, kw_only=True)
class HandStep(Plain):
    """A step with the ``part`` of the calculation it belongs to and ``worked``, its formula in numbers or ''.

    ``shown`` is the value with the digits that ``worked`` lines carry on, or words where there is no number.
    """

    part: str
    symbol: str
    value: float | None
    shown: str
    unit: str
    formula: str
    worked: str
    source: str
    mark: str


def hand_step(part: str, step: Step, *lines: str) -> HandStep:
    """A step of the trace, or one like it, with the first of ``lines`` that gives its value."""
    is_factor = step.symbol.startswith("RF")
    return HandStep(
        part=part,
        shown=printed(step.value, step.unit, is_factor=is_factor),
        worked=worked_line(step.value, step.unit, *lines, is_factor=is_factor),
        **step.as_dict() | {"value": None if isinstance(step.value, str) else float(step.value)},
    )


@dataclass(frozen=True, kw_only=True)
class Case:
    """What the steps of one result are taken from: a ``member`` of the span, or the deck or cap that is the ``part``.

    A cap has no span. ``span_no`` (from 1) within the spans that run through together, 1 for a span by itself.
    """

    span: SpanCase | None
    member: MemberCase | None
    result: LimitStateResult
    trace: tuple[Heading, ...]
    policy: RatingPolicy
    load: StandingLoad | None
    span_no: int = 1
    part: DeckCase | CapCase | None = None


def steps_of_member(trace: tuple[Heading, ...], label: str, *begins: str) -> list[Step]:
    """Steps under headings 'kind: label' of this very label whose kind begins so."""
    found = []
    for heading in trace:
        kind, colon, whose = heading.title.partition(": ")
        if colon and whose == label and f"{kind}:".startswith(begins):
            found += heading.steps
    return found
