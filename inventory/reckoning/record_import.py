"""What a record file would do to the register: each line told new, changed, same, held or refused. Saves nothing."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import islice
from typing import Any

from inventory.models import Agency, Posting, Structure
from inventory.queries.records import agencies_by_place, postings_in_force, structures_numbered
from inventory.rules.record import Fault, Merge, Row, merge_fields
from inventory.vocabulary.record_1995.columns import BY_ITEM
from inventory.vocabulary.record_1995.places import STATES
from inventory.vocabulary.record_1995.roads import RECORD_ON

from .import_numbers import NumberBook
from .import_report import HeldValue, ImportReport
from .import_standing import StandingChange, standing_change

BATCH = 500
_IN_PLACE = ("lon_deg", "lat_deg")


@dataclass(frozen=True)
class Asked:
    """What was asked for. Without an agency each State and county is one; the codes narrow what is read."""

    as_of: date
    agency: Agency | None = None
    state_code: str = ""
    county_code: str = ""
    timber_only: bool = False
    lock: bool = False


@dataclass(frozen=True)
class Change:
    """A structure that stands already and what its line would do to it."""

    structure: Structure
    row: Row
    merge: Merge
    standing: StandingChange

    @property
    def held(self) -> dict[str, Any]:
        return self.merge.held | self.standing.held

    @property
    def is_idle(self) -> bool:
        return not (self.merge.taken or self.merge.held or self.standing.taken or self.standing.held)


@dataclass
class Batch:
    """The new and the changed of a few hundred lines; lines that change nothing are only counted."""

    new: list[tuple[Row, tuple[str, str]]] = field(default_factory=list)
    changes: list[Change] = field(default_factory=list)


def plan_import(rows: Iterable[Row], asked: Asked, report: ImportReport) -> Iterator[Batch]:
    """Go through the rows once, in batches; `report` is filled on the way."""
    places = agencies_by_place()
    book = NumberBook()
    seen_agencies: set[tuple[str, str]] = set()
    wanted = _wanted(rows, asked, report)
    while lines := list(islice(wanted, BATCH)):
        batch = _plan_batch(lines, asked, report, book)
        for _, place in batch.new:
            label = asked.agency.name if asked.agency else agency_label(places.get(place), place)
            report.agencies[label] += 1
            if not asked.agency and place not in places and place not in seen_agencies:
                seen_agencies.add(place)
                report.new_agencies.append(label)
        yield batch
    book.tell(report)


def agency_label(agency: Agency | None, place: tuple[str, str]) -> str:
    """The agency's name, or the name a new one for this State and county gets."""
    if agency is not None:
        return agency.name
    state = STATES[place[0]].name
    return f"{state}, county {place[1]}" if place[1] else f"{state}, county not given"


def _wanted(rows: Iterable[Row], asked: Asked, report: ImportReport) -> Iterator[Row]:
    """Lines that are refused, lie under a bridge or were not asked for are counted here and go no further."""
    for row in rows:
        report.read += 1
        if row.is_refused:
            report.refuse(row.faults)
        elif row.record_type != RECORD_ON:
            report.under_routes += 1
        elif (
            (asked.timber_only and not row.is_timber)
            or (asked.state_code and row.state_code != asked.state_code)
            or (asked.county_code and row.county_code != asked.county_code)
        ):
            report.not_asked += 1
        else:
            yield row


def _plan_batch(rows: list[Row], asked: Asked, report: ImportReport, book: NumberBook) -> Batch:
    ids = book.candidates(rows)
    found = structures_numbered({row.state_code for row in rows}, {row.number for row in rows}, ids, lock=asked.lock)
    book.shelve(found)
    batch, matched = Batch(), []
    for row in rows:
        structure, refusal = book.match(row)
        if not refusal and structure is not None and asked.agency and structure.agency_id != asked.agency.pk:
            refusal = "this structure stands in the register of another agency already"
        if refusal:
            column = BY_ITEM["008"]
            report.refuse([Fault(row.line, column.name, row.number, refusal, column.label, row.number, whole_row=True)])
        elif structure is None:
            _take_faults(row, report)
            report.new += 1
            report.unassigned += not row.county_code
            batch.new.append((row, (row.state_code, row.county_code)))
        else:
            matched.append((structure, row))
    postings = postings_in_force([structure.pk for structure, row in matched if _speaks_anew(structure, row)])
    for structure, row in matched:
        _plan_match(structure, row, postings, batch, report)
    return batch


def _speaks_anew(structure: Structure, row: Row) -> bool:
    record = getattr(structure, "federal_record", None)
    return record is None or record.digest != row.digest


def _plan_match(
    structure: Structure, row: Row, postings: dict[int, Posting], batch: Batch, report: ImportReport
) -> None:
    """One line whose structure stands already."""
    _take_faults(row, report)
    record = getattr(structure, "federal_record", None)
    if row.number != structure.number and not row.number_is_bare:
        row.given["number"] = row.number
    if not _speaks_anew(structure, row) and "number" not in row.given:
        report.same += 1
        return
    before = record.given if record else None
    merge = merge_fields(
        county=_county_values(structure, row.given),
        before=before,
        record=row.given,
        hand_entered=_hand_entered(structure),
    )
    change = Change(structure, row, merge, standing_change(structure, row, before, postings.get(structure.pk)))
    if record is not None and change.is_idle and _reads_alike(record.items, row.items):
        report.same += 1
        return
    if change.held:
        report.held += 1
        county = _county_values(structure, change.held)
        for name, value in change.held.items():
            ours = change.standing.now if name == "restriction" else county.get(name)
            report.held_values.append(HeldValue(row.line, structure.number, name, ours, value))
    else:
        report.changed += 1
    if "county_code" in merge.taken and not structure.agency.county_code == merge.taken["county_code"]:
        report.notes_by_line.append(
            (row.line, row.number, f"the record now says county {row.county_code}; the structure stays where it is")
        )
    batch.changes.append(change)


def _reads_alike(before: Mapping[str, str], now: Mapping[str, str]) -> bool:
    """Whether a line says what the last one said in every column it has: a file may lack columns."""
    return all(before.get(item, "").strip() == text.strip() for item, text in now.items())


def _take_faults(row: Row, report: ImportReport) -> None:
    if row.faults:
        report.refuse(row.faults)
    report.notes_by_line.extend((row.line, row.number, note) for note in row.notes)


def _county_values(structure: Structure, names: Iterable[str]) -> dict[str, Any]:
    values = {}
    for name in names:
        if name == "position":
            known = structure.lon_deg is not None and structure.lat_deg is not None
            values[name] = [structure.lon_deg, structure.lat_deg] if known else None
        else:
            values[name] = getattr(structure, name, None)
    return values


def _hand_entered(structure: Structure) -> set[str]:
    names = set(structure.hand_entered)
    return names | {"position"} if names & set(_IN_PLACE) else names
