"""Federal records in: send a file, see what it would do, confirm."""

from dataclasses import dataclass
from datetime import date

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inventory.access import permitted
from inventory.actions.import_records import ImportRefused, import_records, preview_import
from inventory.forms.imports import RecordFileForm
from inventory.models import Agency
from inventory.queries.people import agencies_permitting
from inventory.queries.records import held_changes_for
from inventory.reckoning.import_report import ImportReport, report_of
from inventory.reckoning.record_import import Asked
from inventory.records import received
from inventory.records.record_file import RecordFile, open_record_file
from inventory.records.record_source import NotARecordFile
from inventory.vocabulary.roles import Permit

WAITING, DONE = "record_file_waiting", "record_import_done"
SHOWN = 200


@dataclass(frozen=True)
class Waiting:
    """A file that was looked at and waits for a yes."""

    received: received.Received
    file_name: str
    agency: Agency
    timber_only: bool
    only_county: bool

    def asked(self, as_of: date) -> Asked:
        place = (self.agency.state_code, self.agency.county_code) if self.only_county else ("", "")
        return Asked(as_of, self.agency, *place, timber_only=self.timber_only)


@permitted(Permit.IMPORT_RECORDS)
@require_http_methods(["GET", "POST"])
def import_page(request: HttpRequest) -> HttpResponse:
    """Choose a file and send it; what is no record file is told so at once."""
    form = RecordFileForm(request.POST or None, request.FILES or None, person=request.user)
    if request.method == "POST" and form.is_valid():
        upload = form.cleaned_data["file"]
        try:
            kept = received.keep(upload.chunks(), request.user.pk, max_bytes=settings.RECORD_FILE_MAX_BYTES)
        except NotARecordFile as refusal:
            form.add_error("file", str(refusal))
        else:
            try:
                open_record_file(received.path_of(kept, request.user.pk), max_bytes=settings.RECORD_FILE_MAX_BYTES)
            except NotARecordFile as refusal:
                received.drop(kept)
                form.add_error("file", str(refusal))
            else:
                request.session[WAITING] = {
                    "token": kept.token,
                    "sha256": kept.sha256,
                    "file_name": upload.name[:200],
                    "agency": form.cleaned_data["agency"].pk,
                    "timber_only": form.cleaned_data["timber_only"],
                    "only_county": form.cleaned_data["only_county"],
                }
                return redirect("inventory:import_preview")
    held_count = held_changes_for(request.user).count()
    return render(request, "inventory/imports/import.html", {"form": form, "held_count": held_count})


@permitted(Permit.IMPORT_RECORDS)
@require_http_methods(["GET", "POST"])
def import_preview(request: HttpRequest) -> HttpResponse:
    """What the file would do (GET); do it (POST), in one transaction."""
    now = timezone.now()
    waiting = _waiting(request)
    if waiting is None:
        messages.info(request, "No file is waiting: send one first.")
        return redirect("inventory:import")
    asked = waiting.asked(timezone.localdate())
    try:
        record_file = _opened(request, waiting)
        report = report_of(record_file.header, waiting.file_name, waiting.received.sha256)
        rows = record_file.rows(asked.as_of, timber_only=asked.timber_only)
        if request.method == "GET":
            preview_import(rows, asked, report)
            return render(request, "inventory/imports/preview.html", _shown(report, waiting))
        import_records(rows, asked, report, by=request.user, at=now)
    except (NotARecordFile, ImportRefused) as refusal:
        messages.error(request, str(refusal))
        return redirect("inventory:import")
    received.drop(waiting.received)
    del request.session[WAITING]
    request.session[DONE] = report.as_json(most=SHOWN)
    return redirect("inventory:import_done")


@permitted(Permit.IMPORT_RECORDS)
def import_done(request: HttpRequest) -> HttpResponse:
    """What the last import of this session did."""
    done = request.session.get(DONE)
    if done is None:
        return redirect("inventory:import")
    return render(request, "inventory/imports/done.html", {"report": done, "most": SHOWN})


def _opened(request: HttpRequest, waiting: Waiting) -> RecordFile:
    path = received.path_of(waiting.received, request.user.pk)
    return open_record_file(path, max_bytes=settings.RECORD_FILE_MAX_BYTES)


def _waiting(request: HttpRequest) -> Waiting | None:
    """The file of this session, if the person may still import into its agency."""
    told = request.session.get(WAITING)
    if told is None:
        return None
    agency = agencies_permitting(request.user, Permit.IMPORT_RECORDS).filter(pk=told["agency"]).first()
    if agency is None:
        return None
    kept = received.Received(told["token"], told["sha256"])
    return Waiting(kept, told["file_name"], agency, told["timber_only"], told["only_county"])


def _shown(report: ImportReport, waiting: Waiting) -> dict:
    return {"report": report.as_json(most=SHOWN), "waiting": waiting, "most": SHOWN}
