"""Read a federal record file into the register: manage.py import_records FILE [--agency NAME] ..."""

import json
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from inventory.actions.import_records import ImportRefused, import_records, preview_import
from inventory.models import Agency
from inventory.reckoning.import_report import ImportReport, report_of
from inventory.reckoning.record_import import Asked
from inventory.records.record_file import open_record_file
from inventory.records.record_source import NotARecordFile
from inventory.vocabulary.record_1995.places import state_of

SHOWN = 20


class Command(BaseCommand):
    help = "Reads the yearly federal inventory file, in its comma form, into the register."

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path)
        parser.add_argument("--agency", default="", help="Everything into this agency, made if it is new.")
        parser.add_argument("--state", default="", help="Only lines of this State (two-digit code).")
        parser.add_argument("--county", default="", help="Only lines of this county (three-digit code).")
        parser.add_argument("--timber", action="store_true", help="Only main or approach spans of wood or timber.")
        parser.add_argument("--preview", action="store_true", help="Say what would happen and save nothing.")
        parser.add_argument("--json", action="store_true", help="Print the whole report as one JSON object.")

    def handle(self, *args, file: Path, **options):
        now = timezone.now()
        asked, new_agency_name = self._asked(options)
        report = ImportReport(file_name=file.name)
        try:
            record_file = open_record_file(file, max_bytes=settings.RECORD_FILE_MAX_BYTES)
            report = report_of(record_file.header, file.name, record_file.sha256())
            rows = record_file.rows(asked.as_of, timber_only=asked.timber_only)
            if options["preview"]:
                if new_agency_name:
                    report.new_agencies.append(new_agency_name)
                    asked = Asked(
                        asked.as_of,
                        Agency(name=new_agency_name),
                        asked.state_code,
                        asked.county_code,
                        asked.timber_only,
                    )
                preview_import(rows, asked, report)
            else:
                import_records(rows, asked, report, by=None, at=now, new_agency_name=new_agency_name)
        except (NotARecordFile, ImportRefused) as refusal:
            if options["json"]:
                self.stdout.write(json.dumps({**report.as_json(), "error": str(refusal)}))
                raise SystemExit(1)
            raise CommandError(str(refusal))
        if options["json"]:
            self.stdout.write(json.dumps(report.as_json()))
        else:
            self._tell(report)

    def _asked(self, options) -> tuple[Asked, str]:
        state_code = options["state"].strip()
        if state_code:
            state = state_of(state_code) if state_code.isdecimal() else None
            if state is None:
                raise CommandError(f"{state_code} is no State code; write the two digits, such as 38.")
            state_code = state.code
        county_code = options["county"].strip()
        if county_code and not (county_code.isdecimal() and len(county_code) <= 3):
            raise CommandError(f"{county_code} is no county code; write the three digits, such as 091.")
        county_code = county_code.zfill(3) if county_code else ""
        name = options["agency"].strip()
        agency = Agency.objects.filter(name=name).first() if name else None
        asked = Asked(timezone.localdate(), agency, state_code, county_code, options["timber"])
        return asked, name if name and agency is None else ""

    def _tell(self, report: ImportReport) -> None:
        write = self.stdout.write
        write(f"{report.file_name}: {report.read} lines read" + (" (preview, nothing saved)" * report.is_preview))
        write(
            f"  new {report.new}, changed {report.changed}, same {report.same}, held for review {report.held}, "
            f"refused {report.refused_rows}, routes under {report.under_routes}, not asked for {report.not_asked}"
        )
        if report.unassigned:
            write(f"  {report.unassigned} without a county: in a list of their own, to be assigned")
        for name in report.new_agencies:
            write(f"  new agency: {name}")
        for note in report.notes:
            write(f"  {note}")
        if report.ignored_columns:
            write(f"  columns left aside: {', '.join(report.ignored_columns)}")
        if report.absent_columns:
            write(f"  columns not in this file, whose values stay as they were: {', '.join(report.absent_columns)}")
        if report.refused_values:
            write(f"  {report.refused_values} single values not taken; the rest of their lines was")
        for fault in report.faults[:SHOWN]:
            where = f"line {fault.line}" + (f", {fault.column}" if fault.column else "")
            write(f"    {where}: {fault.value or 'blank'}: {fault.reason}" + (" [line]" if fault.whole_row else ""))
        if len(report.faults) > SHOWN:
            write(f"    and {len(report.faults) - SHOWN} more; --json lists them all")
