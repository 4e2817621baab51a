"""The setting of a span: its records, a record with delivery list and checklist, a step, the printed sheet."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.access import permitted, structure_or_404
from inventory.actions import setting as act
from inventory.forms.row_numbers import row_number
from inventory.forms.setting import BeamLines, ChecklistForm, RecordForm, StartForm, StepForm
from inventory.models import SettingRecord, SettingStep
from inventory.pages.setting import beam_rows, proposed_rows, record_context
from inventory.queries.people import permits_of
from inventory.rules.refusals import Refused
from inventory.rules.setting import HOLDS
from inventory.vocabulary.roles import Permit

from .entry import entry_page

DO = Permit.RECORD_SETTING
PAGE = {
    "done": "The step is recorded.",
    "list": "The delivery list is saved.",
}


@permitted(Permit.READ)
@require_safe
def setting_list(request: HttpRequest, pk: int) -> HttpResponse:
    """The records of a structure. A bridge that stood before the register began can have none."""
    structure = structure_or_404(request, pk)
    context = {
        "structure": structure,
        "records": structure.setting_records.select_related("span"),
        "may_record": DO in permits_of(request.user, structure.agency) and structure.spans.exists(),
    }
    return render(request, "inventory/setting/list.html", context)


@permitted(DO)
@require_http_methods(["GET", "POST"])
def start(request: HttpRequest, pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, DO)
    return entry_page(
        request,
        form=StartForm(request.POST or None, spans=structure.spans.all(), initial={"started_on": timezone.localdate()}),
        title=f"Record a setting: {structure.number}",
        structure=structure,
        note="The delivery list and the checklist follow on the next page.",
        act=lambda fields: act.start_setting(
            structure=structure, span=fields.pop("span"), fields=fields, **_told(request)
        ),
        done="The record is begun. Enter the beams delivered.",
        after=_address,
    )


@permitted(Permit.READ)
@require_safe
def record_page(request: HttpRequest, pk: int, record_pk: int) -> HttpResponse:
    return _record(request, _found(request, pk, record_pk, Permit.READ))


def _record(request: HttpRequest, record: SettingRecord, form: ChecklistForm | None = None, status=200):
    permits = permits_of(request.user, record.structure.agency)
    context = record_context(record) | {
        "may_record": DO in permits,
        "may_open": Permit.EDIT_STRUCTURE in permits,
        "form": form or ChecklistForm(initial={"revision": record.revision}),
    }
    return render(request, "inventory/setting/record.html", context, status=status)


@permitted(Permit.READ)
@require_safe
def sheet(request: HttpRequest, pk: int, record_pk: int) -> HttpResponse:
    """The one printed sheet."""
    return render(request, "inventory/setting/sheet.html", record_context(_found(request, pk, record_pk, Permit.READ)))


@permitted(DO)
@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, pk: int, record_pk: int) -> HttpResponse:
    record = _found(request, pk, record_pk, DO)
    return entry_page(
        request,
        form=RecordForm(request.POST or None, row=record),
        title=f"Setting of span {record.span.index}: force and foreman",
        structure=record.structure,
        stamp=str(record.revision),
        note="The force per bar comes from the design or the engineer. It has no default here.",
        act=lambda fields: act.edit_setting(
            record=record, revision=_revision(request, "stamp"), fields=fields, **_told(request)
        ),
        done="The record is changed.",
        after=_address,
        leave=_address(record),
    )


@permitted(DO)
@require_http_methods(["GET", "POST"])
def beams(request: HttpRequest, pk: int, record_pk: int) -> HttpResponse:
    """The delivery list in rows; whatever is refused stays as it was typed."""
    record = _found(request, pk, record_pk, DO)
    told, status = [], 200
    if request.method == "POST":
        lines = BeamLines(request.POST, initial=beam_rows(record) or proposed_rows(record.span), prefix="b")
        if lines.is_valid():
            chosen = lines.lines
            try:
                act.save_beams(
                    record=record,
                    revision=_revision(request),
                    rows=[form.cleaned_data for form in chosen],
                    **_told(request),
                )
            except Refused as refusal:
                told = lines.refuse(refusal, chosen)
            else:
                messages.success(request, PAGE["list"])
                return redirect(_address(record))
        else:
            told = [*lines.non_form_errors()]
        status = 422
    else:
        lines = BeamLines(initial=beam_rows(record) or proposed_rows(record.span), prefix="b")
    context = {
        "record": record,
        "structure": record.structure,
        "lines": lines,
        "told": told,
        "is_refused": status == 422,
        "is_proposed": not record.beams.exists() and lines.initial,
        "revision": request.POST.get("revision", record.revision),
    }
    return render(request, "inventory/setting/beams.html", context, status=status)


@permitted(DO)
@require_POST
def checklist(request: HttpRequest, pk: int, record_pk: int) -> HttpResponse:
    record = _found(request, pk, record_pk, DO)
    form = ChecklistForm(request.POST)
    if form.is_valid():
        try:
            act.make_checklist(record=record, **form.cleaned_data, **_told(request))
        except Refused as refusal:
            form.refuse(refusal)
        else:
            messages.success(request, "The checklist is made.")
            return redirect(_address(record) + "#steps")
    return _record(request, record, form, status=422)


@permitted(DO)
@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, pk: int, record_pk: int, order: int) -> HttpResponse:
    """Record a step as done."""
    record = _found(request, pk, record_pk, DO)
    line = get_object_or_404(SettingStep, record=record, order=order)
    hold = f"HOLD. {HOLDS[line.key]} " if line.key in HOLDS else ""
    return entry_page(
        request,
        form=StepForm(request.POST or None, step=line, initial={"done_on": timezone.localdate()}),
        title=line.title,
        structure=record.structure,
        stamp=str(record.revision),
        note=f"{hold}Nobody under a lifted beam or in line with a bar under load.",
        act=lambda fields: act.finish_step(
            record=record, revision=_revision(request, "stamp"), order=order, fields=fields, **_told(request)
        ),
        done=PAGE["done"],
        after=lambda _: _address(record) + "#steps",
        leave=_address(record) + "#steps",
    )


@permitted(DO)
@require_POST
def take_back(request: HttpRequest, pk: int, record_pk: int, order: int) -> HttpResponse:
    record = _found(request, pk, record_pk, DO)
    get_object_or_404(SettingStep, record=record, order=order)
    return _answer(request, record, act.take_back_step, "The step is open again.", order=order)


@permitted(DO)
@require_POST
def opening(request: HttpRequest, pk: int, record_pk: int) -> HttpResponse:
    record = _found(request, pk, record_pk, DO)
    return _answer(request, record, act.take_opening_date, "The structure has its opening date.")


def _answer(request: HttpRequest, record: SettingRecord, action, done: str, **more) -> HttpResponse:
    try:
        action(record=record, revision=_revision(request), **more, **_told(request))
    except Refused as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, done)
    return redirect(_address(record) + "#steps")


def _found(request: HttpRequest, pk: int, record_pk: int, permit: Permit) -> SettingRecord:
    structure = structure_or_404(request, pk, permit)
    return get_object_or_404(
        SettingRecord.objects.select_related("span", "structure"), pk=record_pk, structure=structure
    )


def _told(request: HttpRequest) -> dict:
    return {"by": request.user, "at": timezone.now()}


def _revision(request: HttpRequest, name: str = "revision") -> int:
    found = row_number(request.POST.get(name, ""))
    return -1 if found is None else found


def _address(record: SettingRecord) -> str:
    return reverse("inventory:setting_record", args=[record.structure_id, record.pk])
