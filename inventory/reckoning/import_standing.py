"""What a line may do to a structure's standing: condition where nobody has inspected since, and never a looser sign."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from inventory.models import Posting, Standing, Structure
from inventory.rules.record import Row
from inventory.rules.record.standing import RESTRICTION_REASON, loosens
from inventory.vocabulary.structures import ConditionClass, Restriction

CONDITION = (
    "deck_rating",
    "superstructure_rating",
    "substructure_rating",
    "culvert_rating",
    "lowest_rating",
    "condition_class",
    "last_inspected_on",
)
PREFIX = "standing."


@dataclass(frozen=True)
class StandingChange:
    """`taken` goes onto the standing; `posting` is a restriction in force to be written; `held` waits for a person."""

    now: str = ""
    taken: dict[str, Any] = field(default_factory=dict)
    posting: str = ""
    replaces: Posting | None = None
    held: dict[str, Any] = field(default_factory=dict)
    given: dict[str, Any] = field(default_factory=dict)


def reason_of(row: Row) -> str:
    """Why the record restricts the structure, in a phrase."""
    return RESTRICTION_REASON.get(row.status_code, "")


def needs_posting(restriction: str) -> bool:
    return restriction in (Restriction.POSTED, Restriction.CLOSED)


def standing_given(standing: Mapping[str, Any]) -> dict[str, Any]:
    """The standing part of what a record gave, under names of its own."""
    return {PREFIX + name: value for name, value in standing.items()}


def standing_change(
    structure: Structure, row: Row, before: Mapping[str, Any] | None, posting: Posting | None
) -> StandingChange:
    """Compare the record with the structure's standing and with what the last record gave."""
    before = before or {}
    standing = getattr(structure, "standing", None) or Standing(structure=structure)
    taken = _condition_taken(standing, row.standing, before)
    surface = row.standing.get("surface_material", "")
    if surface and standing.surface_material in ("", before.get(PREFIX + "surface_material", "")):
        if surface != standing.surface_material:
            taken["surface_material"] = surface
    now, then = standing.restriction, row.standing["restriction"]
    given = {**{k: v for k, v in before.items() if k.startswith(PREFIX)}, **standing_given(row.standing)}
    unchanged = before.get(PREFIX + "restriction") == then
    if unchanged or then in (now, Restriction.UNKNOWN):
        return StandingChange(now, taken, given=given)
    if loosens(now, then) or (posting is not None and posting.source != "record"):
        return StandingChange(now, taken, held={"restriction": then}, given=given)
    taken["restriction"] = then
    return StandingChange(now, taken, then if needs_posting(then) else "", posting, given=given)


def _condition_taken(standing: Standing, record: Mapping[str, Any], before: Mapping[str, Any]) -> dict[str, Any]:
    """The condition moves as one: only while nobody but a record has written it, and only forward in time."""
    now = {name: _plain(getattr(standing, name)) for name in CONDITION}
    untouched = now["condition_class"] == ConditionClass.NOT_RATED and now["last_inspected_on"] is None
    from_record = bool(before) and all(_plain(before.get(PREFIX + name)) == now[name] for name in CONDITION)
    if not (untouched or from_record) or record["condition_class"] == ConditionClass.NOT_RATED:
        return {}
    if (record.get("last_inspected_on") or "9999") < (now["last_inspected_on"] or ""):
        return {}
    return {name: record.get(name) for name in CONDITION if record.get(name) != now[name]}


def _plain(value: Any) -> Any:
    return value.isoformat() if hasattr(value, "isoformat") else value
