"""The governing case of each method, followed from input to rating factor: what a calculation sheet draws and works.

Chosen from a finished rating; the load's position is found again by the rating's own exact search and held against its
lane effect (``standing_load``), the steps come from its trace (``hand_steps``). Safe as JSON, so it is stored with the
rating it belongs to.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from inventory.mechanics.beam import ContinuousBeam
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.material import OPERATING
from inventory.mechanics.plain import Plain
from inventory.mechanics.trace import Step
from inventory.mechanics.vehicle import Vehicle, find_vehicle

from .cases import CapCase, SpanCase
from .hand_arithmetic import printed
from .hand_case import Case, HandStep, hand_step
from .hand_loads import continuous_steps
from .hand_steps import steps_of
from .policy import RatingPolicy
from .posting import GENERAL
from .results import LimitStateResult, SpanRating, StructureRating
from .standing_load import StandingLoad, standing_load
from .unit_lines import unit_spans


@dataclass(frozen=True, kw_only=True)
class GoverningCase(Plain):
    """One result in full: what it is, where, the load that stands there (None where not found), and its steps.

    ``span`` is the label of a span or of a pile cap, which has no ``span_ft``.
    """

    method: str
    level: str
    vehicle: str
    name: str
    gross_tons: float
    span: str
    span_ft: float | None
    member: str
    limit_state: str
    station_ft: float
    unit: str
    lane_effect: float
    live_effect: float
    rating_factor: float
    load: StandingLoad | None
    steps: tuple[HandStep, ...]


def governing_cases(
    *,
    cases: tuple[SpanCase, ...],
    rating: StructureRating,
    policy: RatingPolicy,
    vehicles: tuple[str | Vehicle, ...] = (),
    caps: tuple[CapCase, ...] = (),
) -> tuple[GoverningCase, ...]:
    """One case for each method that was rated; legal vehicles govern before design vehicles.

    ``vehicles`` and ``caps`` as they were given to the rating: the county's own vehicles are looked up there.
    """
    given = _Given(
        cases=cases,
        caps=caps,
        policy=policy,
        trains={one.id: one for one in vehicles if isinstance(one, Vehicle)},
    )
    found = []
    for label, result in _chosen(rating):
        span = next(span for span in rating.spans if span.label == label)
        made = _case(given, span, result)
        found.append(replace(made, steps=(*made.steps, *_posting_steps(rating, result, policy))))
    return tuple(found)


@dataclass(frozen=True, kw_only=True)
class _Given:
    cases: tuple[SpanCase, ...]
    caps: tuple[CapCase, ...]
    policy: RatingPolicy
    trains: dict[str, Vehicle]


def _chosen(rating: StructureRating) -> list[tuple[str, LimitStateResult]]:
    chosen = []
    general = [row for row in rating.governing if row.vehicle_class in GENERAL] or list(rating.governing)
    if general:
        least = min(general, key=lambda row: row.inventory_factor)
        chosen += _least_result(rating, "ASR", least.vehicle, "inventory")
    legal = [row for row in rating.load_factor if row.vehicle_class in GENERAL and row.level == "legal"]
    others = legal or [row for row in rating.load_factor if row.level != "design operating"]
    if others:
        least = min(others, key=lambda row: row.rating_factor)
        chosen += _least_result(rating, "LRFR", least.vehicle, least.level)
    return chosen


def _least_result(rating: StructureRating, method: str, vehicle: str, level: str):
    rows = [
        (span.label, result)
        for span in rating.spans
        for result in span.results
        if (result.method, result.vehicle, result.level) == (method, vehicle, level)
    ]
    return [min(rows, key=lambda row: row[1].rating_factor)] if rows else []


def _case(given: _Given, span: SpanRating, result: LimitStateResult) -> GoverningCase:
    at = next((index for index, case in enumerate(given.cases) if case.label == span.label), None)
    case = None if at is None else given.cases[at]
    member = next((one for one in case.members if one.label == result.member), None) if case else None
    part = case.deck if case else next((cap for cap in given.caps if cap.label == span.label), None)
    vehicle = _vehicle(result.vehicle, given.trains)
    unit = None if at is None else unit_spans(tuple(given.cases))[at]
    taken = Case(
        span=case,
        member=member,
        result=result,
        trace=span.trace,
        policy=given.policy,
        load=None,
        span_no=1 if unit is None else unit.span_no,
        part=part if member is None else None,
    )
    load = _load(taken, case.span_ft, vehicle) if member is not None and vehicle is not None else None
    taken = replace(taken, load=load)
    steps = steps_of(taken)
    if result.method == "ASR":
        twin = _operating_twin(span, result)
        higher = () if twin is None else steps_of(replace(taken, result=twin))
        steps += tuple(step for step in higher if step.symbol in ("C operating", "RF operating"))
    return GoverningCase(
        method=result.method,
        level=result.level,
        vehicle=result.vehicle,
        name=vehicle.name if vehicle else result.vehicle,
        gross_tons=result.gross_tons,
        span=span.label,
        span_ft=None if case is None else case.span_ft,
        member=result.member,
        limit_state=result.limit_state,
        station_ft=result.station_ft,
        unit=result.unit,
        lane_effect=result.lane_effect,
        live_effect=result.live_effect,
        rating_factor=result.rating_factor,
        load=load,
        steps=steps,
    )


def _vehicle(key: str, trains: dict[str, Vehicle]) -> Vehicle | None:
    if key in trains:
        return trains[key]
    try:
        return find_vehicle(key)
    except KeyError:
        return None


def _operating_twin(span: SpanRating, result: LimitStateResult) -> LimitStateResult | None:
    """The operating level at the same section, in bending not always the one where that level is least."""
    same = ("method", "vehicle", "member", "limit_state")
    for other in span.results:
        if other.level == "operating" and all(getattr(other, name) == getattr(result, name) for name in same):
            if abs(other.station_ft - result.station_ft) < 1e-9:
                return other
    if result.limit_state not in ("bending", "hogging"):
        return None
    capacity = OPERATING * result.capacity
    factor = max(0.0, (capacity - result.dead_effect) / result.live_effect)
    return replace(result, level="operating", capacity=capacity, rating_factor=factor)


def _posting_steps(rating: StructureRating, result: LimitStateResult, policy: RatingPolicy) -> tuple[HandStep, ...]:
    """From the factor (or the two of allowable stress) to the tons of the vehicle, before rounding."""
    gross = f"{result.gross_tons:g}"
    if result.method != "ASR":
        rows = [r for r in rating.load_factor if (r.vehicle, r.level) == (result.vehicle, result.level)]
        if not rows or rows[0].safe_tons is None:
            return ()
        line = f"{gross} / 0.7 x ({printed(rows[0].rating_factor, is_factor=True)} - 0.3)"
        words, source = "(W / 0.7) (RF - 0.3), not above W, 0 below RF 0.3", "Manual for Bridge Evaluation 6A.8.3"
        return (_posting_step("safe load", rows[0].safe_tons, "tons", words, source, "memory", line, gross, "0"),)
    row = next((row for row in rating.governing if row.vehicle == result.vehicle), None)
    if row is None or getattr(row, "posting_method", "ASR") != "ASR":
        return ()
    low, high = (printed(number, is_factor=True) for number in (row.inventory_factor, row.operating_factor))
    words = "least RF inventory + level x (least RF operating - least RF inventory)"
    line = f"{low} + {policy.posting_level:g} x ({high} - {low})"
    return (
        _posting_step("RF posting", row.posting_factor, "", words, "posting level, a setting", "model", line),
        _posting_step(
            "safe load",
            row.posting_tons,
            "tons",
            "RF posting x W",
            "Manual for Bridge Evaluation 6B.7",
            "memory",
            f"{printed(row.posting_factor, is_factor=True)} x {gross}",
        ),
    )


def _posting_step(symbol, value, unit, formula, source, mark, *lines) -> HandStep:
    step = Step(symbol=symbol, value=value, unit=unit, formula=formula, source=source, mark=mark)
    return hand_step("posting", step, *lines)


def _load(case: Case, alone_ft: float, vehicle: Vehicle) -> StandingLoad | None:
    """The load on the spans that run through, as their trace gives them, else on the span by itself."""
    result, steps = case.result, {step.symbol: step.value for step in continuous_steps(case)}
    spans = tuple(steps[f"L{at}"] for at in range(1, 6) if f"L{at}" in steps)
    stiffnesses = tuple(steps[f"EI{at}/EI1"] for at in range(1, len(spans) + 1))
    tries = [(spans, stiffnesses, case.span_no)] if spans else []
    for lengths, ratios, span_no in (*tries, ((alone_ft,), (), 1)):
        try:
            found = standing_load(
                beam=ContinuousBeam(spans_ft=lengths, stiffnesses=ratios),
                span_no=span_no,
                station_ft=result.station_ft,
                vehicle=vehicle,
                limit_state=result.limit_state,
                value=result.lane_effect,
            )
        except OutsideValidity:
            continue
        if found is not None:
            return found
    return None
