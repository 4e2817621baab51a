"""The rating of a structure as a function of the bar force in each of its stressed spans, ready to be kept with it."""

from inspections.assembly.snapshot import Snapshot
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import NotRated
from inventory.mechanics.rating.force_curve import ForceCurve
from inventory.mechanics.rating.posting_steps import curve_with_thresholds

DECIMALS = 6
TOLD_FALL = 1e-4


def force_curves(snapshot: Snapshot) -> list[dict]:
    """One row per stressed span: {"span", "curve", "thresholds", "reasons", "falls"}, plain values; nothing is saved.

    `curve` is None where the span has no curve, and `reasons` say why. It takes the time of some fifty ratings, so it
    is made once for each rating and kept.
    """
    if snapshot.missing or snapshot.closing:
        return []
    return [_of_span(snapshot, case.label) for case in snapshot.cases if case.bars is not None]


def _of_span(snapshot: Snapshot, label: str) -> dict:
    try:
        curve, steps = curve_with_thresholds(
            cases=snapshot.cases,
            vehicles=snapshot.vehicles,
            policy=snapshot.policy,
            span_label=label,
            caps=snapshot.caps,
        )
    except OutsideValidity as refusal:
        return _row(label, reasons=[str(refusal)])
    if isinstance(curve, NotRated):
        return _row(label, reasons=list(curve.reasons))
    thresholds = [_short(step.as_dict()) for step in steps]
    return _row(label, curve=_short(curve.as_dict()), thresholds=thresholds, falls=_fall_sentences(curve))


def _row(label: str, *, curve=None, thresholds=(), reasons=(), falls=()) -> dict:
    return {
        "span": label,
        "curve": curve,
        "thresholds": list(thresholds),
        "reasons": list(reasons),
        "falls": list(falls),
    }


def _fall_sentences(curve: ForceCurve) -> list[str]:
    """Said, never smoothed over: where more force lowers a factor that posts."""
    worst: dict[str, float] = {}
    for vehicle, series, _psi, drop in curve.falls():
        if series == "posting":
            worst[vehicle] = worst.get(vehicle, 0.0) + drop
    names = [f"{vehicle} by {drop:.4f}" for vehicle, drop in worst.items() if drop > TOLD_FALL]
    if not names:
        return []
    return [
        f"More force lowers some factors a little in this model ({', '.join(names)}): a stiffer deck hands more load "
        "to its outer members. Nothing is smoothed over."
    ]


def _short(value):
    """Numbers cut to a millionth: finer than anything read off a curve."""
    if isinstance(value, dict):
        return {key: _short(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_short(item) for item in value]
    return round(value, DECIMALS) if isinstance(value, float) else value
