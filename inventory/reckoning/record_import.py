"""What a record file would do to the register: each line told new, changed, same, held or refused. Saves nothing."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from itertools import islice
from typing import Any

from inventory.models import Agency, Posting, Structure
from inventory.queries.records import agencies_by_place, postings_in_force, structures_with_records
from inventory.rules.record import Fault, Merge, Row, merge_fields, reads_alike
from inventory.vocabulary.record_1995.columns import BY_ITEM
from inventory.vocabulary.record_1995.places import STATES
from inventory.vocabulary.record_1995.roads import RECORD_ON

from .import_numbers import NumberBook
from .import_report import HeldValue, ImportReport
from .import_standing import StandingChange, standing_change

BATCH = 1000
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

    def county_value(self, name: str) -> Any:
        """What the county has where the record says otherwise."""
        if name == "restriction":
            return self.standing.now
        return _county_values(self.structure, [name])[name]


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
        for place, count in Counter(place for _, place in batch.new).items():
            label = asked.agency.name if asked.agency else agency_label(places.get(place), place)
            report.agencies[label] += count
            if not asked.agency and place not in places and place not in seen_agencies:
                seen_agencies.add(place)
                report.new_agencies.append(label)
        yield batch
    book.tell(report)
    report.faults.sort(key=lambda fault: fault.line)


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
    book.look_up(rows)
    batch, matched = Batch(), {}
    for row in rows:
        known, refusal = book.match(row)
        if not refusal and known is not None and asked.agency and known.agency_id != asked.agency.pk:
            refusal = "this structure stands in the register of another agency already"
        if refusal:
            column = BY_ITEM["008"]
            report.refuse([Fault(row.line, column.name, row.number, refusal, column.label, row.number, whole_row=True)])
            continue
        _take_faults(row, report)
        if known is None:
            report.new += 1
            report.unassigned += not row.county_code
            batch.new.append((row, (row.state_code, row.county_code)))
        elif known.digest == row.digest and (known.number == row.number or row.number_is_bare):
            report.same += 1
        else:
            matched[known.pk] = row
    if matched:
        structures = structures_with_records(matched, lock=asked.lock)
        postings = postings_in_force(matched)
        for pk, row in matched.items():
            _plan_match(structures[pk], row, postings.get(pk), batch, report, asked)
    return batch


def _plan_match(
    structure: Structure, row: Row, posting: Posting | None, batch: Batch, report: ImportReport, asked: Asked
) -> None:
    """One line whose structure stands already and whose record says something else than last time."""
    record = getattr(structure, "federal_record", None)
    said = row.given if row.position is None else {**row.given, "position": list(row.position)}
    if row.number != structure.number and not row.number_is_bare:
        said = {**said, "number": row.number}
    elif record is not None and reads_alike(record.items, row.items, asked.as_of):
        report.same += 1
        return
    before = record.given if record else None
    merge = merge_fields(
        county=_county_values(structure, said), before=before, record=said, hand_entered=_hand_entered(structure)
    )
    change = Change(structure, row, merge, standing_change(structure, row, before, posting))
    if change.held:
        report.held += 1
        report.held_values.extend(
            HeldValue(row.line, structure.number, name, change.county_value(name), value)
            for name, value in change.held.items()
        )
    else:
        report.changed += 1
    if merge.taken.get("county_code") not in (None, structure.agency.county_code):
        report.notes_by_line.append(
            (row.line, row.number, f"the record now says county {row.county_code}; the structure stays where it is")
        )
    batch.changes.append(change)


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
