"""The bar force at which each posting threshold is crossed, by root search on the rating itself.

Thresholds: a vehicle's factor of 1 (no limit above), 0.3 (not to be posted for below), every whole ton of the single
posting, the closing line (3 tons: Manual for Bridge Evaluation 6A.8.1, 23 CFR 650.313, memory), and the pressures where
the way of working jumps. Inside a piece of the curve a root is found by Brent's method; at a jump the posting on each
side is given and the jump is named as such.
"""

from __future__ import annotations

from dataclasses import dataclass

from scipy.optimize import brentq

from inventory.mechanics.plain import Plain
from inventory.mechanics.vehicle import Vehicle

from .cases import CapCase, SpanCase
from .curve_jumps import sides_of
from .force_curve import ForceCurve, traced_curve
from .policy import RatingPolicy
from .posting import CLOSING_FACTOR, GENERAL
from .pressure_ratings import PressureRatings
from .results import NotRated, StructureRating, VehicleRating

ROOT_PSI = 1e-9
"""Accuracy of a root, psi."""
KINDS = ("factor 1", "factor 0.3", "tons", "closing", "jump")


@dataclass(frozen=True, kw_only=True)
class PostingThreshold(Plain):
    """A pressure (psi) and mean bar force (lb, None without bars on record) at which the suggested posting changes.

    ``vehicle`` where one vehicle's factor crosses 1 or 0.3, else "". ``at_jump`` True where a factor jumps there, so no
    root exists: below and above are what stands on either side. Tons are of the single posting, None without one.
    """

    pressure_psi: float
    force_lb: float | None
    kind: str
    vehicle: str
    at_jump: bool
    action_below: str
    action_above: str
    below_tons: float | None
    above_tons: float | None
    words: str


def posting_thresholds(
    *,
    cases: tuple[SpanCase, ...],
    vehicles: tuple[str | Vehicle, ...],
    policy: RatingPolicy,
    span_label: str,
    caps: tuple[CapCase, ...] = (),
) -> tuple[PostingThreshold, ...]:
    """Every threshold of one stressed span from no pressure up to the top of its curve, pressure rising."""
    _curve, steps = curve_with_thresholds(
        cases=cases, vehicles=vehicles, policy=policy, span_label=span_label, caps=caps
    )
    return steps


def curve_with_thresholds(
    *,
    cases: tuple[SpanCase, ...],
    vehicles: tuple[str | Vehicle, ...],
    policy: RatingPolicy,
    span_label: str,
    caps: tuple[CapCase, ...] = (),
) -> tuple[ForceCurve | NotRated, tuple[PostingThreshold, ...]]:
    """The curve and its thresholds from the same ratings; no thresholds where it cannot be rated."""
    rated = PressureRatings(cases=cases, vehicles=vehicles, policy=policy, caps=caps, span_label=span_label)
    curve = traced_curve(rated)
    if isinstance(curve, NotRated):
        return curve, ()
    found: list[PostingThreshold] = []
    for piece in curve.pieces:
        inside = (sides_of(piece.pressures_psi[0])[1], *piece.pressures_psi[1:-1], sides_of(piece.pressures_psi[-1])[0])
        if len(inside) > 2 or not _is_flat(piece):
            found += _within(rated, curve, inside)
    edges = {row.pressure_psi for row in curve.breaks if row.jumps} | {policy.closing_pressure_psi}
    for psi in sorted(edges):
        if curve.pieces[0].pressures_psi[0] < psi < curve.pieces[-1].pressures_psi[-1]:
            found += _at_jump(rated, curve, psi)
    return curve, tuple(sorted(found, key=lambda row: (row.pressure_psi, KINDS.index(row.kind), row.vehicle)))


def _is_flat(piece) -> bool:
    return all(line.factors[0] == line.factors[-1] for line in piece.lines)


def _limited(rating: StructureRating) -> VehicleRating | None:
    """The general vehicle that decides the single posting: the least tons among those with a factor below 1."""
    limited = [row for row in rating.governing if row.vehicle_class in GENERAL and row.posting_factor < 1.0]
    return min(limited, key=_tons, default=None)


def _tons(row: VehicleRating) -> float:
    return min(row.posting_tons, row.operating_tons, row.gross_tons)


def _within(rated: PressureRatings, curve: ForceCurve, at: tuple[float, ...]) -> list[PostingThreshold]:
    """Roots inside one piece: factors of 1 and 0.3 first, since between them the tons run without a jump."""
    found, cuts = [], []
    for start, end in zip(at, at[1:], strict=False):
        for vehicle in curve.vehicles:
            marks = (1.0, CLOSING_FACTOR) if vehicle.vehicle_class in GENERAL else (1.0,)
            for mark in marks:
                ends = tuple(_posting_factor(rated.at(psi), vehicle.vehicle) - mark for psi in (start, end))
                root = _root(
                    lambda p, v=vehicle.vehicle, m=mark: _posting_factor(rated.at(p, v), v) - m, start, end, ends
                )
                if root is not None:
                    cuts.append(root)
                    found.append(_threshold(rated, curve, root, f"factor {mark:g}", vehicle.vehicle, vehicle.name))
    nodes = sorted({*at, *(side for cut in cuts for side in sides_of(cut))})
    for start, end in zip(nodes, nodes[1:], strict=False):
        found += _ton_steps(rated, curve, start, end)
    return found


def _posting_factor(rating: StructureRating, vehicle: str) -> float:
    (row,) = [row for row in rating.governing if row.vehicle == vehicle]
    return row.posting_factor


def _root(short, start: float, end: float, ends: tuple[float, float]) -> float | None:
    """Where ``short`` changes its sign between two pressures; None where its values ``ends`` there have one sign."""
    if ends[0] == 0.0 or ends[0] * ends[1] > 0.0:
        return None
    known = dict(zip((start, end), ends, strict=True))
    return float(brentq(lambda psi: known.get(psi) or short(psi), start, end, xtol=ROOT_PSI, rtol=8.9e-16))


def _ton_steps(rated: PressureRatings, curve: ForceCurve, start: float, end: float) -> list[PostingThreshold]:
    """Whole (and, where rounding is to the nearest, half) tons and the closing line between two pressures."""
    ends = [_limited(rated.at(psi)) for psi in (start, end)]
    if None in ends:
        return []
    low, high = map(_tons, ends)
    # One vehicle that decides at both ends is taken to decide between them: it alone is rated there.
    vehicle = ends[0].vehicle if ends[0].vehicle == ends[1].vehicle else ""

    def tons(psi: float) -> float:
        found = _limited(rated.at(psi, vehicle))
        return float("inf") if found is None else _tons(found)

    least, most = min(low, high), max(low, high)
    marks = {half / 2.0 for half in range(int(2 * least), int(2 * most) + 2)} | {rated.policy.close_below_tons}
    found = []
    for mark in sorted(mark for mark in marks if least < mark <= most):
        root = _root(lambda p, m=mark: tons(p) - m, start, end, (low - mark, high - mark))
        if root is None:
            continue
        kind = "closing" if mark == rated.policy.close_below_tons else "tons"
        step = _threshold(rated, curve, root, kind)
        if (step.action_below, step.below_tons) != (step.action_above, step.above_tons):
            found.append(step)
    return found


def _at_jump(rated: PressureRatings, curve: ForceCurve, psi: float) -> list[PostingThreshold]:
    """What a jump does to the posting and to each vehicle's need for a limit; nothing where it changes neither."""
    below, above = (rated.at(side) for side in sides_of(psi))
    found = []
    step = _threshold(rated, curve, psi, "jump", at_jump=True)
    if (step.action_below, step.below_tons) != (step.action_above, step.above_tons):
        found.append(step)
    for low, high in zip(below.governing, above.governing, strict=True):
        marks = (1.0, CLOSING_FACTOR) if low.vehicle_class in GENERAL else (1.0,)
        for mark in marks:
            if (low.posting_factor < mark) != (high.posting_factor < mark):
                found.append(_threshold(rated, curve, psi, f"factor {mark:g}", low.vehicle, low.name, at_jump=True))
    return found


def _threshold(
    rated: PressureRatings, curve: ForceCurve, psi: float, kind: str, vehicle="", name="", at_jump=False
) -> PostingThreshold:
    below, above = (rated.at(side).posting for side in sides_of(psi))
    return PostingThreshold(
        pressure_psi=psi,
        force_lb=curve.force_lb(psi),
        kind=kind,
        vehicle=vehicle,
        at_jump=at_jump,
        action_below=below.action,
        action_above=above.action,
        below_tons=below.single_tons,
        above_tons=above.single_tons,
        words=_words(kind, name, below, above),
    )


def _words(kind: str, name: str, below, above) -> str:
    if kind == "factor 1":
        return f"{name}: below this it needs a limit, from here up none."
    if kind == "factor 0.3":
        return f"{name}: below this its factor is under 0.3."
    return f"Suggested posting: {_posting_words(below)} below, {_posting_words(above)} from here up."


def _posting_words(posting) -> str:
    if posting.action == "post" and posting.single_tons is not None:
        return f"{posting.single_tons:g} tons"
    return {"open": "open", "close": "closed", "post": "limits for some vehicles"}.get(posting.action, "undetermined")
