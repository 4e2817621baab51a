"""A snapshot to a rating's answer, ready to be kept: the kernel's numbers, or the reasons why there are none."""

from dataclasses import dataclass, field

from inspections.assembly.snapshot import Snapshot
from inspections.rules.posting import GENERAL_CLASSES
from inspections.rules.proposal import place_of
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import KERNEL_VERSION, NotRated, StructureRating, rate_structure
from inventory.mechanics.rating.governing_case import governing_cases

from .pressed import checks_by_span, urgent_sentences


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """Plain values for a rating row. `results` holds governing, spans, posting, notes, cautions, hs_inventory,
    hs_operating, close_recommended, load_factor, pressed (by span: checks of bars and pressure) and governing_cases
    (each followed by hand); `trace` is a list of {"span", "heading", "steps"}."""

    is_rated: bool
    results: dict
    reasons: list[str]
    flags: list[str]
    trace: list[dict] = field(default_factory=list)
    least_factor: float | None = None
    governing: str = ""
    kernel_version: str = KERNEL_VERSION
    table_versions: dict = field(default_factory=dict)


def rate_snapshot(snapshot: Snapshot) -> Outcome:
    """Rate a snapshot; never raises for what the record lacks or for a value outside a rule's range."""
    if snapshot.missing or snapshot.closing:
        return _not_rated(snapshot, [*snapshot.missing, *snapshot.closing], [], bool(snapshot.closing))
    try:
        answer = rate_structure(snapshot.cases, snapshot.vehicles, snapshot.policy, snapshot.caps)
    except OutsideValidity as refusal:
        return _not_rated(snapshot, [str(refusal)], [], False)
    if isinstance(answer, NotRated):
        return _not_rated(snapshot, list(answer.reasons), list(answer.flags), answer.close_recommended)
    return _rated(snapshot, answer)


def _rated(snapshot: Snapshot, answer: StructureRating) -> Outcome:
    general = [row for row in answer.governing if row.vehicle_class in GENERAL_CLASSES]
    least = min(general, key=lambda row: row.posting_factor, default=answer.worst)
    followed = governing_cases(
        cases=snapshot.cases,
        rating=answer,
        policy=snapshot.policy,
        vehicles=snapshot.vehicles,
        caps=snapshot.caps,
    )
    pressed = checks_by_span(snapshot)
    results = {
        "governing": [row.as_dict() for row in answer.governing],
        "load_factor": [row.as_dict() for row in answer.load_factor],
        "governing_cases": [case.as_dict() for case in followed],
        "spans": [
            {"label": span.label, "method": span.method, "results": [row.as_dict() for row in span.results]}
            for span in answer.spans
        ],
        "posting": answer.posting.as_dict(),
        "hs_inventory": answer.hs_inventory,
        "hs_operating": answer.hs_operating,
        "notes": [*snapshot.assumed, *answer.notes],
        "cautions": list(answer.cautions),
        "close_recommended": answer.posting.action == "close",
        "relied_on": list(snapshot.relied_on),
        "pressed": pressed,
    }
    return Outcome(
        is_rated=True,
        results=results,
        reasons=list(answer.posting.sentences),
        flags=list(dict.fromkeys([*snapshot.critical, *answer.flags, *urgent_sentences(pressed)])),
        trace=[{"span": span.label, **heading.as_dict()} for span in answer.spans for heading in span.trace],
        least_factor=least.posting_factor,
        governing=f"{least.name}: {place_of(least.as_dict())}",
        kernel_version=answer.kernel_version,
        table_versions=dict(answer.table_versions),
    )


def _not_rated(snapshot: Snapshot, reasons: list[str], flags: list[str], close: bool) -> Outcome:
    """The pressure of the bars counts even where the rest cannot be rated: slack or unknown bars call for closing."""
    limit = snapshot.policy.closing_pressure_psi
    for index, pressure in snapshot.pressures:
        if pressure is None or pressure < limit:
            close = True
            shown = "not known, so counted as absent" if pressure is None else f"{pressure:.0f} psi"
            reasons.append(
                f"Span {index}: bar pressure is {shown}; below {limit:g} psi closing is recommended until the bars are "
                "measured and re-tensioned."
            )
    results = {
        "close_recommended": close,
        "notes": list(snapshot.assumed),
        "cautions": [],
        "relied_on": list(snapshot.relied_on),
    }
    return Outcome(
        is_rated=False,
        results=results,
        reasons=list(dict.fromkeys(reasons)),
        flags=list(dict.fromkeys([*snapshot.critical, *flags])),
    )
