"""Units of continuous stringers for tests, and what is looked up in their ratings."""

from __future__ import annotations

from dataclasses import replace

from tests.unit.mechanics.spans import stringer_span


def unit(*spans_ft, **changes):
    """Spans side by side that run through, each as ``stringer_span``."""
    lengths = spans_ft or (18.0, 18.0)
    return tuple(
        stringer_span(label=str(at), span_ft=length, continuous_unit="U", bearing_length_in=10.0, **changes)
        for at, length in enumerate(lengths, 1)
    )


def with_member(case, **changes):
    return replace(case, members=(replace(case.members[0], **changes),))


def found(rating, vehicle, state, level="inventory", method="ASR", span=None):
    """The least result of a vehicle, limit state and level over the spans (or in one)."""
    rows = [
        result
        for one in rating.spans
        for result in one.results
        if (result.vehicle, result.limit_state, result.level, result.method) == (vehicle, state, level, method)
        and span in (None, one.label)
    ]
    return min(rows, key=lambda result: result.rating_factor)


def factors(rating):
    return {
        (at, result.vehicle, result.member, result.limit_state, result.level, result.method): result.rating_factor
        for at, one in enumerate(rating.spans)
        for result in one.results
    }
