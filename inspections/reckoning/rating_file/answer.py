"""The answer to one bridge of a file: the same reckoning as the site's, as plain values."""

from collections.abc import Sequence
from dataclasses import asdict, replace

from inspections.reckoning.force_curve import force_curves
from inspections.reckoning.rating import rate_snapshot

from .read import Bridge

METHODS = {"ASR": ("ASR",), "LRFR": ("LRFR",), "both": ("ASR", "LRFR")}


def rate_bridge(bridge: Bridge, *, method: str = "both", vehicles: Sequence = (), curve: bool = False) -> dict:
    """Everything the kernel says of a bridge: factors, steps, posting, versions, and the digest of the inputs.

    ``method`` (a key of ``METHODS``) chooses whose factors are listed; the posting follows the bridge's own policy.
    ``vehicles`` (ids or vehicles), where given, take the place of the bridge's own. ``curve`` adds the rating of every
    stressed span as a function of its bar force, as long as some fifty ratings take.
    """
    snapshot = replace(bridge.snapshot, vehicles=tuple(vehicles)) if vehicles else bridge.snapshot
    outcome = asdict(rate_snapshot(snapshot))
    results = outcome["results"]
    if curve and (curves := force_curves(snapshot)):
        results["force_curve"] = curves
    chosen = METHODS[method]
    for span in results.get("spans", []):
        span["results"] = [row for row in span["results"] if row.get("method", "ASR") in chosen]
    if "LRFR" not in chosen:
        for place in (results, *results.get("spans", [])):
            place.pop("load_factor", None)
    return {"name": bridge.name, "as_of": _day(snapshot.as_of), "digest": snapshot.digest, **outcome}


def _day(as_of) -> str | None:
    return None if as_of.year == 1 else as_of.isoformat()
