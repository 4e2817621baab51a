"""Checks of the bars, plates and pressure of each stressed span, kept with the rating."""

from inspections.assembly.snapshot import Snapshot
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating.pressed_span import span_pressed_checks

# The engineer must see these at once: a bar or an edge is at its limit whatever the vehicles are.
URGENT = (
    "Bar stress while stressing",
    "Bar stress standing",
    "Anchorage bearing on the edge",
    "Crushing under a plate",
)


def checks_by_span(snapshot: Snapshot) -> dict[str, dict]:
    """{"checks", "refusal"} by span label, for spans with bars; a refusal is the sentence why there are no checks."""
    found = {}
    for case in snapshot.cases:
        if case.bars is None:
            continue
        try:
            checks = span_pressed_checks(case=case, policy=snapshot.policy, vehicles=snapshot.vehicles)
            found[case.label] = {"checks": [check.as_dict() for check in checks], "refusal": ""}
        except OutsideValidity as refusal:
            found[case.label] = {"checks": [], "refusal": str(refusal)}
    return found


def urgent_sentences(by_span: dict[str, dict]) -> list[str]:
    """What of it belongs among the flags."""
    return [
        f"Span {label}: {check['told']}"
        for label, row in by_span.items()
        for check in row["checks"]
        if check["name"] in URGENT and check["holds"] is False
    ]
