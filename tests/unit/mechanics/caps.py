"""An invented pile cap between two spans, for tests of caps."""

from __future__ import annotations

from dataclasses import replace

from inventory.mechanics.rating import CapCase, RatingPolicy, find_design_value, find_vehicle
from inventory.mechanics.rating.cap_loads import held_spans, lane_reaction_lb
from inventory.mechanics.rating.caps import cap_results
from inventory.mechanics.trace import Trace
from tests.unit.mechanics.spans import stringer_span

POSTS = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="posts and timbers")
CAP = CapCase(
    label="cap of pier 1",
    material=POSTS,
    width_in=12.0,
    depth_in=12.0,
    pile_spacing_ft=5.0,
    pile_bearing_in=10.0,
    pile_count=5,
    before="1",
    after="2",
    condition_rating=7,
)
SPANS = (stringer_span(), stringer_span(label="2"))


def rated(cap=CAP, vehicle="HS20", method="ASR", cases=SPANS):
    return cap_results(
        cap=cap, cases=cases, vehicles=(find_vehicle(vehicle),), policy=RatingPolicy(), method=method, trace=Trace()
    )


def one(results, state, level):
    (found,) = [r for r in results if (r.limit_state, r.level) == (state, level)]
    return found


def reaction(vehicle, *spans_ft):
    cases = tuple(stringer_span(label=str(i + 1), span_ft=span) for i, span in enumerate(spans_ft))
    cap = replace(CAP, after="2" if len(spans_ft) > 1 else "")
    return lane_reaction_lb(held=held_spans(cap=cap, cases=cases), vehicle=find_vehicle(vehicle))
