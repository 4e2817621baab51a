"""One column of a record file: what each of its texts means, understood once however often it comes."""

import json
from collections.abc import Callable
from datetime import date
from typing import Any, NamedTuple

from inventory.units import feet, miles
from inventory.vocabulary.record_1995.columns import BY_ITEM

from .values import Reading, reader_of

_REMEMBERED = 50_000
_OVER_WATER = frozenset("56789")


def _feet(length_m: float) -> float | None:
    """Feet to a hundredth: the record is good to 0.1 m, a third of a foot. Zero gives nothing."""
    return round(feet(length_m), 2) or None


# Structure field <- item, with what is done to the item's value.
GIVEN: dict[str, tuple[str, Callable[[Any], Any] | None]] = {
    "state_code": ("001", None),
    "county_code": ("003", None),
    "route_number": ("005D", lambda number: number.lstrip("0")),
    "road_name": ("007", None),
    "feature_crossed": ("006A", None),
    "location": ("009", None),
    "owner_code": ("022", None),
    "maintenance_code": ("021", None),
    "year_built": ("027", None),
    "year_reconstructed": ("106", None),
    "span_count": ("045", None),
    "lanes": ("028A", None),
    "skew_deg": ("034", None),
    "adt": ("029", None),
    "adt_year": ("030", None),
    "truck_pct": ("109", None),
    "interval_months": ("091", None),
    "length_ft": ("049", _feet),
    "max_span_ft": ("048", _feet),
    "roadway_width_ft": ("051", _feet),
    "deck_width_ft": ("052", _feet),
    "detour_mi": ("019", lambda length_km: round(miles(length_km), 2)),
    "is_bridge_length": ("112", lambda code: code == "Y"),
    "is_nhs": ("104", lambda code: code == "1"),
    "over_water": ("042B", lambda code: code in _OVER_WATER),
}
_TEXTS = frozenset(list(GIVEN)[:8])
FIELD_OF = {item: name for name, (item, _) in GIVEN.items()}


class Watched(NamedTuple):
    """The items of one line that are looked at by themselves or against one another."""

    state: str | None
    county: str | None
    record_type: str | None
    material: str | None
    design: str | None
    approach_material: str | None
    status: str | None
    deck: str | None
    superstructure: str | None
    substructure: str | None
    culvert: str | None
    surface: str | None
    built: int | None
    rebuilt: int | None
    inspected: date | None
    span_m: float | None
    length_m: float | None
    roadway_m: float | None
    width_m: float | None
    operating_method: str | None
    operating_t: float | None
    inventory_method: str | None
    inventory_t: float | None


WATCHED = (
    *("001", "003", "005A", "043A", "043B", "044A", "041", "058", "059", "060", "062", "108A"),
    *("027", "106", "090", "048", "049", "051", "052", "063", "064", "065", "066"),
)


class ReadColumn:
    """One column of a file and everything it has said so far."""

    def __init__(self, item: str, place: int, name: str, as_of: date):
        self.item, self.place, self.name = item, place, name
        self.is_text = BY_ITEM[item].kind == "text"
        self._read = reader_of(BY_ITEM[item], as_of)
        self.is_given = item in FIELD_OF
        self._finish = GIVEN[FIELD_OF[item]][1] if item in FIELD_OF else None
        self._blank = "" if FIELD_OF.get(item) in _TEXTS else None
        self.readings: dict[str, Reading] = {}
        self.values: dict[str, Any] = {}
        self.finals: dict[str, Any] = {}
        self.final_texts: dict[str, str] = {}
        self.flagged: set[str] = set()

    def learn(self, distinct: set[str]) -> None:
        """Read the texts not met before."""
        if len(self.readings) > _REMEMBERED:
            for known in (self.readings, self.values, self.finals, self.final_texts, self.flagged):
                known.clear()
        for raw in distinct.difference(self.readings):
            reading = self.readings[raw] = self._read(raw)
            value = self.values[raw] = reading.value
            if self.is_given:
                final = self._blank if value is None else self._finish(value) if self._finish else value
                self.finals[raw] = final
                self.final_texts[raw] = json.dumps(final)
            if reading.refusal or reading.note:
                self.flagged.add(raw)
