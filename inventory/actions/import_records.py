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
from inventory.queries.records import open_holds
from inventory.reckoning.import_report import KEPT_IN_HISTORY, ImportReport
from inventory.reckoning.import_standing import PREFIX, needs_posting, reason_of, standing_given
from inventory.reckoning.record_import import Asked, Batch, Change, agency_label, plan_import
from inventory.rules.record import Row

_TEXT_LIMITS = {
    field.name: field.max_length for field in Structure._meta.concrete_fields if getattr(field, "max_length", None)
}
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
        structures, rows = [], []
        for row, place in batch.new:
            agency = asked.agency or self._agency_at(place)
            if asked.agency and not agency.state_code:
                agency.state_code = row.state_code
                agency.save(update_fields=["state_code"])
            structure = Structure(agency=agency, number=row.number)
            _set_fields(structure, row.given)
            structures.append(structure)
            rows.append(row)
            self._touch(agency, "new")
        Structure.objects.bulk_create(structures)
        pairs = list(zip(structures, rows, strict=True))
        FederalRecord.objects.bulk_create(self._record(structure, row) for structure, row in pairs)
        Standing.objects.bulk_create(
            _set_standing(Standing(structure=structure, updated_on=self.as_of), row.standing, row)
            for structure, row in pairs
        )
        Posting.objects.bulk_create(
            self._posting(structure, row, row.standing["restriction"])
            for structure, row in pairs
            if needs_posting(row.standing["restriction"])
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
            records.append(self._record(structure, row, change))
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
        _upsert(FederalRecord, records, ["structure"], ["items", "given", "refused", "digest", "source", "line"])
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

    def _record(self, structure: Structure, row: Row, change: Change | None = None) -> FederalRecord:
        old = getattr(structure, "federal_record", None) if change else None
        given = {**change.merge.given, **change.standing.given} if change else {**row.given, **standing_given(row)}
        return FederalRecord(
            structure=structure,
            items={**old.items, **row.items} if old else row.items,
            given={**given, PREFIX + "status_code": row.status_code},
            refused=[{"column": f.column, "item": f.item, "value": f.value, "reason": f.reason} for f in row.faults],
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
            hold.county_value = change.standing.now if name == "restriction" else _now(change.structure, name)
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


def _now(structure: Structure, name: str):
    if name == "position":
        return [structure.lon_deg, structure.lat_deg]
    return getattr(structure, name)


def _set_fields(structure: Structure, values: dict) -> None:
    for name, value in values.items():
        if name == "position":
            structure.lon_deg, structure.lat_deg = value
        elif value is not None:
            limit = _TEXT_LIMITS.get(name)
            setattr(structure, name, value[:limit] if limit else value)


def _set_standing(standing: Standing, values: dict, row: Row) -> Standing:
    for name, value in values.items():
        if name == "last_inspected_on" and isinstance(value, str):
            value = date.fromisoformat(value)
        setattr(standing, name, value)
    if "restriction" in values:
        standing.sign_words = reason_of(row)[:60] if needs_posting(values["restriction"]) else ""
    return standing
