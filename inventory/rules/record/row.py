"""One line of the record decoded: the fields it gives a structure, and every fault by line, column and value."""

import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from inventory.units import feet, miles
from inventory.vocabulary.record_1995.columns import BY_ITEM, ITEM_ORDER
from inventory.vocabulary.record_1995.roads import RECORD_ON
from inventory.vocabulary.record_1995.structure_types import CULVERT, TIMBER

from .position import LATITUDE, LONGITUDE, read_position
from .standing import (
    condition_class_of,
    lowest_of,
    rating_notes,
    restriction_of,
    surface_of,
)
from .values import BLANK, Reading, reader_of

NUMBER_WIDTH = 15
_CACHE_LIMIT = 20_000
_POWERS = re.compile(r"\d+(\.\d+)?E\+\d+", re.IGNORECASE)
_OVER_WATER = frozenset("56789")

# Structure field <- item. Texts and codes go over as they are; lengths are turned into feet.
_AS_READ = {
    "state_code": "001",
    "county_code": "003",
    "road_name": "007",
    "feature_crossed": "006A",
    "location": "009",
    "owner_code": "022",
    "maintenance_code": "021",
    "year_built": "027",
    "year_reconstructed": "106",
    "span_count": "045",
    "lanes": "028A",
    "skew_deg": "034",
    "adt": "029",
    "adt_year": "030",
    "truck_pct": "109",
    "interval_months": "091",
}
_METRES = {"length_ft": "049", "max_span_ft": "048", "roadway_width_ft": "051", "deck_width_ft": "052"}


@dataclass(frozen=True)
class Fault:
    """`whole_row` says whether the line was refused or only this value; `item` is empty for faults of a line."""

    line: int
    column: str
    value: str
    reason: str
    item: str = ""
    number: str = ""
    whole_row: bool = False


@dataclass
class Row:
    """A decoded line. `number_is_bare` marks a number that a spreadsheet may have robbed of zeros or blanks."""

    line: int
    number: str
    state_code: str = ""
    county_code: str = ""
    record_type: str = ""
    is_timber: bool = False
    number_is_bare: bool = False
    items: dict[str, str] = field(default_factory=dict)
    digest: str = ""
    given: dict[str, Any] = field(default_factory=dict)
    standing: dict[str, Any] = field(default_factory=dict)
    status_code: str = ""
    accuracy_s: float | None = None
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def is_refused(self) -> bool:
        return any(fault.whole_row for fault in self.faults)


class Decoder:
    """Reads lines of one file. Values repeat from line to line, so each column remembers what it has read."""

    def __init__(self, places: Mapping[str, int], names: Mapping[str, str], as_of: date):
        """`places` maps item to its index in a line, `names` item to the column's name in this file."""
        ordered = sorted(places, key=ITEM_ORDER.__getitem__)
        self.names = dict(names)
        self._columns = [(item, places[item], reader_of(BY_ITEM[item], as_of), {}) for item in ordered]

    def read(self, line: int, cells: Sequence[str], *, timber_only: bool = False) -> Row:
        """Decode one line whose number of values fits. With `timber_only` other lines come back undecoded."""
        readings: dict[str, Reading] = {}
        marks = []
        for item, place, read, cache in self._columns:
            raw = cells[place]
            reading = cache.get(raw)
            if reading is None:
                reading = read(raw)
                if len(cache) < _CACHE_LIMIT:
                    cache[raw] = reading
            readings[item] = reading
            if item != "008":
                marks.append(reading[0])
        row = self._identify(line, cells, readings)
        if row.is_refused or row.record_type != RECORD_ON or (timber_only and not row.is_timber):
            return row
        row.items = {item: cells[place] for item, place, _, _ in self._columns}
        row.digest = hashlib.sha256("\x1f".join(marks).encode()).hexdigest()
        self._collect_faults(row, readings)
        _fill(row, readings, self._fault)
        return row

    def _fault(self, row: Row, item: str, reason: str, *, whole_row: bool = False) -> None:
        row.faults.append(
            Fault(
                row.line,
                self.names.get(item, BY_ITEM[item].name),
                row.items.get(item, "").strip(),
                reason,
                BY_ITEM[item].label,
                row.number,
                whole_row,
            )
        )

    def _identify(self, line: int, cells: Sequence[str], readings: Mapping[str, Reading]) -> Row:
        places = {item: place for item, place, _, _ in self._columns}
        raw_number = cells[places["008"]]
        row = Row(line, raw_number.strip())
        row.items = {item: cells[places[item]] for item in ("001", "008", "005A")}
        if not row.number or not row.number.strip("0"):
            self._fault(row, "008", "the structure number is missing", whole_row=True)
        elif len(row.number) > NUMBER_WIDTH:
            self._fault(row, "008", f"a structure number has at most {NUMBER_WIDTH} characters", whole_row=True)
        elif _POWERS.fullmatch(row.number):
            reason = "a spreadsheet has rewritten this structure number in powers of ten; use the original file"
            self._fault(row, "008", reason, whole_row=True)
        for item in ("001", "005A"):
            if readings[item].value is None:
                self._fault(row, item, readings[item].refusal or "it is missing", whole_row=True)
        row.number_is_bare = raw_number.isdigit() and len(raw_number) < NUMBER_WIDTH
        row.state_code = readings["001"].value or ""
        row.county_code = readings["003"].value or ""
        row.record_type = readings["005A"].value or ""
        row.is_timber = TIMBER in (readings["043A"].value, readings.get("044A", BLANK).value)
        return row

    def _collect_faults(self, row: Row, readings: Mapping[str, Reading]) -> None:
        for item, reading in readings.items():
            if reading.refusal:
                self._fault(row, item, reading.refusal)
            elif reading.note:
                row.notes.append(f"{self.names[item]}: {row.items[item].strip()}: {reading.note}")


def _fill(row: Row, readings: Mapping[str, Reading], fault) -> None:
    """Turn readings into structure fields, with the checks that need two items at once."""

    def value(item: str) -> Any:
        reading = readings.get(item)
        return reading.value if reading else None

    refused = _cross_faults(row, value, fault)
    for name, item in _AS_READ.items():
        if item in readings and item not in refused:
            row.given[name] = value(item)
    for name, item in _METRES.items():
        if value(item) and item not in refused:
            row.given[name] = round(feet(value(item)), 2)
    route = value("005D")
    if route is not None:
        row.given["route_number"] = route.lstrip("0")
    if value("019") is not None:
        row.given["detour_mi"] = round(miles(value("019")), 2)
    for name, item, yes in (("is_bridge_length", "112", "Y"), ("is_nhs", "104", "1")):
        if value(item) is not None:
            row.given[name] = value(item) == yes
    if value("042B") is not None:
        row.given["over_water"] = value("042B") in _OVER_WATER
    _fill_position(row, readings, fault)
    _fill_standing(row, value, refused)


def _cross_faults(row: Row, value, fault) -> set[str]:
    """Items refused because another item contradicts them; each is named once."""
    refused = set()

    def refuse(item: str, reason: str) -> None:
        refused.add(item)
        fault(row, item, reason)

    span_m, length_m = value("048"), value("049")
    if span_m and length_m and span_m > length_m + 0.05:
        refuse("048", f"the longest span, {span_m:g} m, is longer than the structure, {length_m:g} m")
    if value("043B") != CULVERT:
        for item in ("051", "052"):
            if value(item) == 0:
                refuse(item, "a width of zero stands only for a culvert under fill (guide pp. 32-33)")
    built, rebuilt, inspected = value("027"), value("106"), value("090")
    if built and rebuilt and rebuilt < built:
        refuse("106", f"reconstructed in {rebuilt}, before it was built in {built}")
    if built and inspected and inspected.year < built:
        refuse("090", f"inspected in {inspected.year}, before it was built in {built}")
    if value("051") and value("052") and value("051") > value("052") + 0.05:
        row.notes.append(f"the roadway, {value('051'):g} m, is wider than the deck, {value('052'):g} m")
    row.notes.extend(rating_notes(value("064"), value("066"), value("063"), value("065")))
    return refused


def _fill_position(row: Row, readings: Mapping[str, Reading], fault) -> None:
    if LATITUDE not in readings or LONGITUDE not in readings:
        return
    position = read_position(readings[LATITUDE].canonical, readings[LONGITUDE].canonical, row.state_code)
    for item, reason in position.refusals.items():
        fault(row, item, reason)
    if position.lat_deg is not None:
        row.given["position"] = [position.lon_deg, position.lat_deg]
        row.accuracy_s = position.accuracy_s


def _fill_standing(row: Row, value, refused: set[str]) -> None:
    ratings = {
        "deck_rating": value("058"),
        "superstructure_rating": value("059"),
        "substructure_rating": value("060"),
        "culvert_rating": value("062"),
    }
    row.standing = {name: code or "" for name, code in ratings.items()}
    lowest = lowest_of(ratings.values())
    row.standing["lowest_rating"] = lowest
    row.standing["condition_class"] = condition_class_of(lowest).value
    row.standing["surface_material"] = surface_of(value("108A"))
    if value("090") and "090" not in refused:
        row.standing["last_inspected_on"] = value("090").isoformat()
    row.status_code = value("041") or ""
    row.standing["restriction"] = restriction_of(row.status_code).value
