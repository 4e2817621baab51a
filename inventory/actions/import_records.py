"""Import federal records: one transaction, or nothing. A preview goes through the same plan and writes nothing."""

from collections.abc import Iterable
from datetime import date, datetime

from django.db import IntegrityError, transaction

from inventory.models import (
    Agency,
    Event,
    FederalRecord,
    HeldChange,
    Person,
    Posting,
    RecordImport,
    Standing,
    Structure,
)
from inventory.queries.records import ids_by_number, open_holds
from inventory.reckoning.import_report import KEPT_IN_HISTORY, ImportReport
from inventory.reckoning.import_standing import needs_posting, reason_of
from inventory.reckoning.record_import import Asked, Batch, Change, agency_label, plan_import
from inventory.rules.record import Row
from inventory.vocabulary.structures import Restriction

from .bulk_rows import insert_rows
from .record_texts import all_texts, record_texts, refusals_of

_UPDATED = [field.name for field in Structure._meta.concrete_fields if field.name not in ("id", "created_at")]
_STANDING_UPDATED = [field.name for field in Standing._meta.concrete_fields if not field.primary_key]


class ImportRefused(ValueError):
    """Nothing was saved; the message is a sentence."""


def preview_import(rows: Iterable[Row], asked: Asked, report: ImportReport) -> ImportReport:
    """Fill the report with what an import would do."""
    report.is_preview = True
    for _ in plan_import(rows, asked, report):
        pass
    return report


def import_records(
    rows: Iterable[Row],
    asked: Asked,
    report: ImportReport,
    *,
    by: Person | None,
    at: datetime,
    new_agency_name: str = "",
) -> ImportReport:
    """Read every row into the register in one transaction, locked against a second import.

    With `new_agency_name` an agency of that name is made first. Raises ImportRefused, with everything undone, where
    somebody else changed the same rows in between.
    """
    try:
        with transaction.atomic():
            list(Agency.objects.select_for_update().order_by("pk").values_list("pk", flat=True))
            writer = _Writer(report, by, at, asked.as_of)
            if new_agency_name:
                asked = writer.with_new_agency(asked, new_agency_name)
            for batch in plan_import(rows, _locked(asked), report):
                writer.write(batch, asked)
            writer.finish()
    except IntegrityError:
        raise ImportRefused(
            "Somebody changed the same structures while this file was being read. Nothing was saved; try again."
        )
    return report


def _locked(asked: Asked) -> Asked:
    return Asked(asked.as_of, asked.agency, asked.state_code, asked.county_code, asked.timber_only, lock=True)


class _Writer:
    """Writes batches in few statements and keeps the one RecordImport row they point to."""

    def __init__(self, report: ImportReport, by: Person | None, at: datetime, as_of: date):
        self.report, self.by, self.at, self.as_of = report, by, at, as_of
        self.run = RecordImport(file_name=report.file_name[:200], sha256=report.sha256, by=by, at=at)
        self.agencies: dict[tuple[str, str], Agency] = {}
        self.touched: dict[int, list] = {}

    def with_new_agency(self, asked: Asked, name: str) -> Asked:
        agency = Agency.objects.create(name=name, state_code=asked.state_code, county_code=asked.county_code)
        self.report.new_agencies.append(name)
        return Asked(asked.as_of, agency, asked.state_code, asked.county_code, asked.timber_only)

    def write(self, batch: Batch, asked: Asked) -> None:
        if not (batch.new or batch.changes):
            return
        if self.run.pk is None:
            self.run.save()
        self._write_new(batch, asked)
        self._write_changes(batch.changes)

    def _write_new(self, batch: Batch, asked: Asked) -> None:
        if not batch.new:
            return
        placed = [(row, self._agency_of(row, place, asked)) for row, place in batch.new]
        for _, agency in placed:
            self._touch(agency, "new")
        given = list(placed[0][0].given)
        insert_rows(
            Structure,
            ["agency_id", "number", "lon_deg", "lat_deg", *given],
            (
                (agency.pk, row.number, *(row.position or (None, None)), *_insertable(row.given))
                for row, agency in placed
            ),
        )
        ids = ids_by_number({row.state_code for row, _ in placed}, [row.number for row, _ in placed])
        rows = [(ids[agency.pk, row.number], row) for row, agency in placed]
        insert_rows(
            FederalRecord,
            ["structure_id", "texts", "given", "refused", "digest", "source_id", "line"],
            ((pk, *record_texts(row), row.digest, self.run.pk, row.line) for pk, row in rows),
        )
        insert_rows(
            Standing,
            ["structure_id", *rows[0][1].standing, "sign_words", "updated_on"],
            ((pk, *row.standing.values(), _sign_words(row), self.as_of.isoformat()) for pk, row in rows),
        )
        insert_rows(
            Posting,
            ["structure_id", "restriction", "reason", "source", "decided_on"],
            (
                (pk, row.standing["restriction"], reason_of(row), "record", self.as_of.isoformat())
                for pk, row in rows
                if needs_posting(row.standing["restriction"])
            ),
        )

    def _write_changes(self, changes: list[Change]) -> None:
        if not changes:
            return
        holds = open_holds([change.structure.pk for change in changes])
        records, standings, replaced, postings, events, new_holds = [], [], [], [], [], []
        for change in changes:
            structure, row = change.structure, change.row
            _set_fields(structure, change.merge.taken)
            structure.revision += 1
            structure.updated_at = self.at
            records.append(self._record(change))
            standing = getattr(structure, "standing", None) or Standing(structure=structure)
            standing.updated_on = self.as_of
            standings.append(_set_standing(standing, change.standing.taken, row))
            if change.standing.replaces is not None:
                change.standing.replaces.superseded_on = self.as_of
                replaced.append(change.standing.replaces)
            if change.standing.posting:
                postings.append(self._posting(structure, row, change.standing.posting))
            new_holds.extend(self._holds(change, holds))
            events.append(self._event_of(change))
            self._touch(structure.agency, "held" if change.held else "changed")
        _upsert(Structure, [change.structure for change in changes], ["id"], _UPDATED)
        _upsert(FederalRecord, records, ["structure"], ["texts", "given", "refused", "digest", "source", "line"])
        _upsert(Standing, standings, ["structure"], _STANDING_UPDATED)
        Posting.objects.bulk_update(replaced, ["superseded_on"])
        Posting.objects.bulk_create(postings)
        HeldChange.objects.bulk_create(hold for hold in new_holds if hold.pk is None)
        HeldChange.objects.bulk_update(
            [hold for hold in new_holds if hold.pk is not None], ["record_value", "county_value", "source"]
        )
        Event.objects.bulk_create(events)

    def finish(self) -> None:
        """One event for each agency, and the report beside the run. An import that changes nothing leaves no trace."""
        if self.run.pk is None:
            return
        self.run.report = self.report.as_json(most=KEPT_IN_HISTORY)
        self.run.save(update_fields=["report"])
        for agency, counts in self.touched.values():
            words = ", ".join(f"{count} {word}" for word, count in counts.items())
            Event.objects.create(
                agency=agency,
                verb="import_records",
                sentence=f"Federal records read from {self.run.file_name}: {words}."[:500],
                detail={"import": self.run.pk, **counts},
                by=self.by,
                at=self.at,
            )

    def _agency_of(self, row: Row, place: tuple[str, str], asked: Asked) -> Agency:
        if asked.agency is None:
            return self._agency_at(place)
        if not asked.agency.state_code:
            asked.agency.state_code = row.state_code
            asked.agency.save(update_fields=["state_code"])
        return asked.agency

    def _agency_at(self, place: tuple[str, str]) -> Agency:
        if place not in self.agencies:
            found = Agency.objects.filter(state_code=place[0], county_code=place[1])
            agency = found.order_by("is_demonstration", "pk").first()
            if agency is None:
                name = agency_label(None, place)
                agency = Agency.objects.create(name=name, state_code=place[0], county_code=place[1])
            self.agencies[place] = agency
        return self.agencies[place]

    def _touch(self, agency: Agency, word: str) -> None:
        _, counts = self.touched.setdefault(agency.pk, [agency, {}])
        counts[word] = counts.get(word, 0) + 1

    def _record(self, change: Change) -> FederalRecord:
        structure, row = change.structure, change.row
        old = getattr(structure, "federal_record", None)
        return FederalRecord(
            structure=structure,
            texts=all_texts({**old.items, **row.items} if old else row.items),
            given={
                **change.merge.given,
                **change.standing.given,
                "number_is_bare": row.number_is_bare and structure.number == row.number,
            },
            refused=refusals_of(row),
            digest=row.digest,
            source=self.run,
            line=row.line,
        )

    def _posting(self, structure: Structure, row: Row, restriction: str) -> Posting:
        return Posting(
            structure=structure,
            restriction=restriction,
            reason=reason_of(row),
            source="record",
            decided_on=self.as_of,
        )

    def _holds(self, change: Change, holds: dict[tuple[int, str], HeldChange]) -> list[HeldChange]:
        rows = []
        for name, value in change.held.items():
            hold = holds.get((change.structure.pk, name)) or HeldChange(structure=change.structure, field=name)
            hold.record_value = value
            hold.county_value = change.county_value(name)
            hold.source = self.run
            rows.append(hold)
        return rows

    def _event_of(self, change: Change) -> Event:
        taken = {**change.merge.taken, **change.standing.taken}
        parts = [f"{len(taken)} values taken from the federal record"] if taken else ["federal record renewed"]
        if change.held:
            parts.append(f"{len(change.held)} held for review: {', '.join(sorted(change.held))}")
        return Event(
            agency=change.structure.agency,
            structure=change.structure,
            verb="import_records",
            sentence=f"{'; '.join(parts)}."[:500].capitalize(),
            detail={"import": self.run.pk, "taken": taken, "held": change.held},
            by=self.by,
            at=self.at,
        )


def _upsert(model, rows: list, unique: list[str], updated: list[str]) -> None:
    """Write full rows over those that stand, in few statements."""
    model.objects.bulk_create(rows, update_conflicts=True, unique_fields=unique, update_fields=updated)


def _insertable(given: dict) -> list:
    """Values for a new row; the one yes-or-no field that cannot be unknown is no where the record is silent."""
    return [False if value is None and name == "is_nhs" else value for name, value in given.items()]


def _sign_words(row: Row) -> str:
    """What stands at the bridge as far as the record tells: the limit itself is not in it."""
    if row.standing["restriction"] == Restriction.POSTED:
        return "Posted, limit not on record"
    return "Closed" if row.standing["restriction"] == Restriction.CLOSED else ""


def _set_fields(structure: Structure, values: dict) -> None:
    for name, value in values.items():
        if name == "position":
            structure.lon_deg, structure.lat_deg = value
        else:
            setattr(structure, name, value)


def _set_standing(standing: Standing, values: dict, row: Row) -> Standing:
    for name, value in values.items():
        if name == "last_inspected_on" and isinstance(value, str):
            value = date.fromisoformat(value)
        setattr(standing, name, value)
    if "restriction" in values:
        standing.sign_words = _sign_words(row)
    return standing
