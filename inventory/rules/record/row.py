"""Lines of the record decoded: the fields each gives a structure, and every fault by line, column and value.

Lines are read some hundreds at a time, column by column: the values of a column repeat, so each is understood once.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from inventory.vocabulary.record_1995.columns import BY_ITEM, ITEM_ORDER
from inventory.vocabulary.record_1995.roads import RECORD_ON
from inventory.vocabulary.record_1995.structure_types import CULVERT, TIMBER

from .identity import is_bare, number_refusal
from .position import LATITUDE, LONGITUDE, read_position
from .read_column import FIELD_OF, GIVEN, WATCHED, ReadColumn, Watched
from .standing import condition_class_of, lowest_of, rating_notes, restriction_of, surface_of
from .values import bare


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


@dataclass(slots=True)
class Row:
    """A decoded line. `number_is_bare` marks a number that a spreadsheet may have robbed of zeros or blanks.

    `given` holds structure fields, `position` longitude and latitude in degrees, `items` the texts as read,
    `given_text` the given fields as JSON text.
    """

    line: int
    number: str
    state_code: str = ""
    county_code: str = ""
    record_type: str = ""
    is_timber: bool = False
    number_is_bare: bool = False
    texts: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    digest: str = ""
    given: dict[str, Any] = field(default_factory=dict)
    given_text: str = ""
    position: tuple[float, float] | None = None
    standing: Mapping[str, Any] = field(default_factory=dict)
    status_code: str = ""
    accuracy_s: float | None = None
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def is_refused(self) -> bool:
        return bool(self.faults) and any(fault.whole_row for fault in self.faults)

    @property
    def items(self) -> dict[str, str]:
        return dict(zip(self.names, self.texts, strict=True))


class Decoder:
    """Reads the lines of one file."""

    def __init__(self, places: Mapping[str, int], names: Mapping[str, str], as_of: date):
        """`places` maps item to its index in a line, `names` item to the column's name in this file."""
        order = sorted(places, key=ITEM_ORDER.__getitem__)
        self._columns = [ReadColumn(item, places[item], names[item], as_of) for item in order]
        self._by_item = {column.item: column for column in self._columns}
        self._items = tuple(order)
        self._position_at = tuple(order.index(item) for item in (LATITUDE, LONGITUDE) if item in places)
        self._given = [(name, self._by_item[item]) for name, (item, _) in GIVEN.items() if item in self._by_item]

    def read(self, lines: Sequence[tuple[int, Sequence[str]]], *, timber_only: bool = False) -> list[Row]:
        """Decode lines whose number of values fits. With `timber_only` other lines come back undecoded."""
        cells = list(zip(*(cells for _, cells in lines), strict=True))
        texts = {}
        for column in self._columns:
            texts[column.item] = cells[column.place]
            if column.is_text:
                texts[column.item] = [bare(text) for text in cells[column.place]]
            column.learn(set(texts[column.item]))
        seen_values = [self._values(item, texts) for item in WATCHED]
        watched = [Watched._make(values) for values in zip(*seen_values, strict=True)]
        rows = [
            self._identify(line, raw, seen, at, texts)
            for at, ((line, _), raw, seen) in enumerate(zip(lines, texts["008"], watched, strict=True))
        ]
        wanted = [
            not row.is_refused and row.record_type == RECORD_ON and (row.is_timber or not timber_only) for row in rows
        ]
        self._fill_given(rows, texts)
        self._collect_faults(rows, wanted, texts)
        for row, is_wanted, seen in zip(rows, wanted, watched, strict=True):
            if is_wanted:
                self._fill(row, seen)
        return rows

    def _values(self, item: str, texts: Mapping[str, Sequence[str]]) -> list[Any]:
        """A column's values, or blanks where the file has no such column."""
        column = self._by_item.get(item)
        if column is None:
            return [None] * len(texts["008"])
        return list(map(column.values.__getitem__, texts[item]))

    def _identify(self, line: int, raw: str, seen: Watched, at: int, texts: Mapping[str, Sequence[str]]) -> Row:
        timber = seen.material == TIMBER or seen.approach_material == TIMBER
        row = Row(line, raw.strip(), seen.state or "", seen.county or "", seen.record_type or "", timber, is_bare(raw))
        refusal = number_refusal(row.number)
        if refusal:
            self._fault(row, "008", raw, refusal, whole_row=True)
        if seen.state is None or seen.record_type is None:
            for item, value in (("001", seen.state), ("005A", seen.record_type)):
                if value is None:
                    reason = self._by_item[item].readings[texts[item][at]].refusal or "it is missing"
                    self._fault(row, item, texts[item][at], reason, whole_row=True)
        return row

    def _fill_given(self, rows: list[Row], texts: Mapping[str, Sequence[str]]) -> None:
        names = [name for name, _ in self._given]
        number_at = self._items.index("008")
        form = "{" + ", ".join(f'"{name}": %s' for name in names) + "}"
        finals = zip(*(map(column.finals.__getitem__, texts[column.item]) for _, column in self._given), strict=True)
        shown = zip(
            *(map(column.final_texts.__getitem__, texts[column.item]) for _, column in self._given), strict=True
        )
        as_read = zip(*(texts[item] for item in self._items), strict=True)
        for row, values, value_texts, row_texts in zip(rows, finals, shown, as_read, strict=True):
            row.given = dict(zip(names, values, strict=True))
            row.given_text = form % value_texts
            row.texts, row.names = row_texts, self._items
            # The number stays out of the digest: a bridge may get its lost zeros back.
            said = "\x1f".join(row_texts[:number_at] + row_texts[number_at + 1 :])
            row.digest = hashlib.sha256(said.encode()).hexdigest()

    def _collect_faults(self, rows: list[Row], wanted: list[bool], texts: Mapping[str, Sequence[str]]) -> None:
        for column in self._columns:
            if not column.flagged or column.flagged.isdisjoint(texts[column.item]):
                continue
            for at, text in enumerate(texts[column.item]):
                if wanted[at] and text in column.flagged:
                    reading = column.readings[text]
                    if reading.refusal:
                        self._fault(rows[at], column.item, text, reading.refusal)
                    else:
                        rows[at].notes.append(f"{column.name}: {text.strip()}: {reading.note}")

    def _fault(self, row: Row, item: str, text: str, reason: str, *, whole_row: bool = False) -> None:
        label = BY_ITEM[item].label
        row.faults.append(Fault(row.line, self._by_item[item].name, text.strip(), reason, label, row.number, whole_row))

    def _fill(self, row: Row, seen: Watched) -> None:
        """What needs more than one item at once: contradictions, position, standing."""
        inspected = seen.inspected
        for item, reason in _contradictions(seen):
            self._fault(row, item, row.items[item], reason)
            if item in FIELD_OF:
                row.given[FIELD_OF[item]] = None
                row.given_text = json.dumps(row.given)
            else:
                inspected = None
        if len(self._position_at) == 2:
            self._fill_position(row)
        row.status_code = seen.status or ""
        row.standing = _standing(
            seen.deck, seen.superstructure, seen.substructure, seen.culvert, seen.surface, seen.status, inspected
        )
        if seen.roadway_m and seen.width_m and seen.roadway_m > seen.width_m + 0.05:
            row.notes.append(f"the roadway, {seen.roadway_m:g} m, is wider than the deck, {seen.width_m:g} m")
        row.notes.extend(rating_notes(seen.operating_t, seen.inventory_t, seen.operating_method, seen.inventory_method))

    def _fill_position(self, row: Row) -> None:
        at_latitude, at_longitude = self._position_at
        latitude, longitude = row.texts[at_latitude], row.texts[at_longitude]
        position = read_position(latitude, longitude, row.state_code)
        if position.lat_deg is not None:
            row.position = (position.lon_deg, position.lat_deg)
            row.accuracy_s = position.accuracy_s
        for item, reason in position.refusals.items():
            self._fault(row, item, latitude if item == LATITUDE else longitude, reason)


def _contradictions(seen: Watched) -> list[tuple[str, str]]:
    """Items refused because another item of the same line contradicts them."""
    found = []
    if seen.span_m and seen.length_m and seen.span_m > seen.length_m + 0.05:
        reason = f"the longest span, {seen.span_m:g} m, is longer than the structure, {seen.length_m:g} m"
        found.append(("048", reason))
    if seen.design != CULVERT:
        reason = "a width of zero stands only for a culvert under fill (guide pp. 32-33)"
        found.extend((item, reason) for item, value in (("051", seen.roadway_m), ("052", seen.width_m)) if value == 0)
    built, rebuilt, inspected = seen.built, seen.rebuilt, seen.inspected
    if built and rebuilt and rebuilt < built:
        found.append(("106", f"reconstructed in {rebuilt}, before it was built in {built}"))
    if built and inspected and inspected.year < built:
        found.append(("090", f"inspected in {inspected.year}, before it was built in {built}"))
    return found


@lru_cache(maxsize=4096)
def _standing(
    deck: str | None,
    superstructure: str | None,
    substructure: str | None,
    culvert: str | None,
    surface: str | None,
    status: str | None,
    inspected: date | None,
) -> Mapping[str, Any]:
    lowest = lowest_of((deck, superstructure, substructure, culvert))
    return MappingProxyType(
        {
            "deck_rating": deck or "",
            "superstructure_rating": superstructure or "",
            "substructure_rating": substructure or "",
            "culvert_rating": culvert or "",
            "lowest_rating": lowest,
            "condition_class": condition_class_of(lowest).value,
            "surface_material": surface_of(surface),
            "last_inspected_on": inspected.isoformat() if inspected else None,
            "restriction": restriction_of(status).value,
        }
    )
