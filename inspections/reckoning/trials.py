"""Try a change on the rating that stands: before and after side by side, nothing saved.

Both sides are rated now by the same kernel, from the snapshot of the standing rating, so that only the change differs.
"""

from dataclasses import asdict, dataclass, replace
from datetime import date

from inspections.assembly.bars import bar_pressures
from inspections.assembly.snapshot import Snapshot
from inspections.models import Rating
from inspections.rules.pressure import SpanBars
from inspections.rules.trial_cases import changed_cases
from inspections.rules.trials import Changes, TrialRefused, change_faults
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.vehicle import STANDARD_VEHICLES, Vehicle
from inventory.queries.rating import vehicles_in_use
from inventory.rules.axle_trains import train_of

from .rating import Outcome, rate_snapshot

TYPED_KEY = "TRIED"
POSTS, ONCE = "county", "permit"
CAUTIONS = (
    "A trial: nothing of it is saved, and no posting follows from it.",
    "An aid to a licensed engineer, who decides; the State's manual governs where it differs.",
    "Bars tried at a pressure are taken to hold it everywhere. Real ones lose force: read them before relying on it.",
)


@dataclass(frozen=True, kw_only=True)
class TrialLine:
    """One vehicle at one level (posting, inventory, operating or a level of LRFR): factor before and after."""

    vehicle: str
    name: str
    series: str
    before: float | None
    after: float | None

    @property
    def change_pct(self) -> float | None:
        """By how much of the factor before; None where one of them is missing or there was nothing before."""
        if self.before is None or self.after is None or self.before <= 0:
            return None
        return 100.0 * (self.after - self.before) / self.before


@dataclass(frozen=True, kw_only=True)
class Trial:
    """What stands today and what the change would make of it; `told` says what was changed."""

    as_of: date
    told: tuple[str, ...]
    before: Outcome
    after: Outcome
    lines: tuple[TrialLine, ...]
    cautions: tuple[str, ...] = CAUTIONS

    def as_dict(self) -> dict:
        """Plain values for JSON; the steps of the calculation are left out."""
        return {
            "as_of": self.as_of.isoformat(),
            "changed": list(self.told),
            "before": _short(self.before),
            "after": _short(self.after),
            "factors": [asdict(line) | {"change_pct": line.change_pct} for line in self.lines],
            "cautions": list(self.cautions),
        }


def try_changes(*, rating: Rating, changes: Changes, as_of: date) -> Trial:
    """Rate the snapshot of a rating with the changes and without; ``TrialRefused`` for what cannot be tried.

    `as_of` is the day on which bar readings count and the county's own vehicles are in use.
    """
    snapshot = Snapshot.from_dict(rating.snapshot)
    if not snapshot.cases:
        reasons = " ".join([*snapshot.missing, *snapshot.closing])
        raise TrialRefused(("", f"The rating that stands has no case to change: {reasons}"))
    faults = change_faults(changes, snapshot.cases)
    if faults:
        raise TrialRefused(*faults)
    cases, told = changed_cases(snapshot.cases, changes, _bars(rating, as_of) if changes.touches_bars else {})
    tried = replace(snapshot, cases=cases, pressures=_pressures(snapshot, cases))
    added = _vehicle(changes, rating, as_of)
    if added is not None:
        tried = replace(tried, vehicles=(*(v for v in tried.vehicles if _key(v) != _key(added)), added))
        told.append(f"Also rated: {_name(added)}.")
    if changes.posting_method:
        told.append(f"Posting by {changes.posting_method} instead of {snapshot.policy.posting_method}.")
        tried = replace(tried, policy=replace(snapshot.policy, posting_method=changes.posting_method))
    if not told:
        raise TrialRefused(("member", "No member there has damage to take away, so nothing would change."))
    before, after = rate_snapshot(snapshot), rate_snapshot(tried)
    return Trial(as_of=as_of, told=tuple(told), before=before, after=after, lines=tuple(_lines(before, after)))


def _bars(rating: Rating, as_of: date) -> dict[str, SpanBars]:
    found = bar_pressures(structure=rating.structure, as_of=as_of).by_span
    return {str(index): pressure.bars for index, pressure in found.items() if pressure.bars is not None}


def _pressures(snapshot: Snapshot, cases) -> tuple[tuple[int, float | None], ...]:
    now = {case.label: case.bars.least_local_pressure_psi for case in cases if case.bars is not None}
    return tuple((index, now.get(str(index), psi)) for index, psi in snapshot.pressures)


def _vehicle(changes: Changes, rating: Rating, as_of: date) -> str | Vehicle | None:
    vehicle_class = POSTS if changes.vehicle_posts else ONCE
    if changes.vehicle:
        own = vehicles_in_use(rating.structure.agency, as_of).filter(key=changes.vehicle).first()
        if own is not None:
            return train_of(dict(own.__dict__))
        if changes.vehicle in STANDARD_VEHICLES:
            return changes.vehicle
        raise TrialRefused(("vehicle", f"There is no vehicle {changes.vehicle}; choose one listed or type its axles."))
    if not changes.axles_kip:
        return None
    try:
        return Vehicle(
            id=TYPED_KEY,
            name="Vehicle tried",
            vehicle_class=vehicle_class,
            axles_kip=changes.axles_kip,
            spacings_ft=changes.spacings_ft,
            source="typed for this trial",
        )
    except OutsideValidity as refusal:
        field = "spacings_ft" if "spacing" in refusal.name else "axles_kip"
        raise TrialRefused((field, str(refusal))) from refusal


def _key(vehicle: str | Vehicle) -> str:
    return vehicle if isinstance(vehicle, str) else vehicle.id


def _name(vehicle: str | Vehicle) -> str:
    row = STANDARD_VEHICLES[vehicle] if isinstance(vehicle, str) else vehicle
    return f"{row.name}, {row.gross_tons:g} tons"


def _lines(before: Outcome, after: Outcome) -> list[TrialLine]:
    """Every factor of either side, vehicles in the order of the rating after."""
    sides = [_factors(outcome) for outcome in (before, after)]
    keys = list(dict.fromkeys([*sides[1], *sides[0]]))
    names = {vehicle: name for side in sides for (vehicle, _series), (name, _factor) in side.items()}
    return [
        TrialLine(
            vehicle=key[0],
            name=names[key[0]],
            series=key[1],
            before=sides[0].get(key, ("", None))[1],
            after=sides[1].get(key, ("", None))[1],
        )
        for key in keys
    ]


def _factors(outcome: Outcome) -> dict[tuple[str, str], tuple[str, float]]:
    found = {}
    for row in outcome.results.get("governing", []):
        for series in ("posting", "inventory", "operating"):
            found[row["vehicle"], series] = row["name"], row[f"{series}_factor"]
    for row in outcome.results.get("load_factor", []):
        found[row["vehicle"], row["level"]] = row["name"], row["rating_factor"]
    return found


def _short(outcome: Outcome) -> dict:
    return {
        "is_rated": outcome.is_rated,
        "least_factor": outcome.least_factor,
        "governing": outcome.governing,
        "posting": outcome.results.get("posting"),
        "close_recommended": outcome.results.get("close_recommended", False),
        "reasons": outcome.reasons,
        "flags": outcome.flags,
    }
