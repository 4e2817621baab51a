"""Trucks a day and component ratings, for the factors of load and resistance factor rating."""

from dataclasses import dataclass
from datetime import date
from math import ceil

from inspections.queries.inspections import component_rating
from inventory.models import Structure


@dataclass(frozen=True, kw_only=True)
class Circumstances:
    """Trucks a day one way and the 0 to 9 ratings, None where not known; `assumed` are sentences for the sheet."""

    adtt: int | None
    superstructure: int | None
    substructure: int | None
    assumed: tuple[str, ...]


def circumstances(*, structure: Structure, as_of: date) -> Circumstances:
    """As they stood on a day. What is not known takes the hardest factor, and the sheet says so."""
    adtt, assumed = trucks_a_day(structure)
    superstructure = _digit(component_rating(structure, "superstructure_rating", as_of))
    if superstructure is None:
        assumed.append(
            "No condition rating of the superstructure is on record: load and resistance factors take it as poor."
        )
    return Circumstances(
        adtt=adtt,
        superstructure=superstructure,
        substructure=_digit(component_rating(structure, "substructure_rating", as_of)),
        assumed=tuple(assumed),
    )


def trucks_a_day(structure: Structure) -> tuple[int | None, list[str]]:
    """On record, else average daily traffic x share of trucks / 2 as one direction, rounded up [model]."""
    if structure.adtt is not None:
        return structure.adtt, []
    if structure.adt is None or structure.truck_pct is None:
        return None, ["Trucks a day are not on record: the greatest live-load factor of legal loads is taken."]
    trucks = ceil(structure.adt * structure.truck_pct / 100.0 / 2.0)
    return trucks, [
        f"Trucks a day one way are taken as {trucks:,}: half of {structure.truck_pct:g} % of {structure.adt:,} "
        "vehicles [model]."
    ]


def _digit(code: str) -> int | None:
    """ "0" to "9"; "N" and an empty code are no rating."""
    return int(code) if code.isdigit() else None
