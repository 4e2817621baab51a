"""Sections across the channel: laid down, sounded at an inspection, compared."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inspections.actions.channel import mark_of, save_section, save_surveys
from inspections.assembly.condition_facts import survey_of, surveys_by_section
from inspections.forms.channel import SectionForm, SoundingsForm, typed_points
from inspections.models import ChannelSection, Inspection
from inspections.pages.channel import channel_context
from inspections.rules.channel import survey_faults, survey_questions
from inspections.rules.lifecycle import EDITABLE
from inventory.access import permitted, structure_or_404
from inventory.models import Structure
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import Attempt, attempt
from .scope import inspection_or_404


@permitted(Permit.READ)
@require_safe
def channel_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, structure_or_404(request, pk))


def _page(request: HttpRequest, structure: Structure, *, form=None, problems=(), status: int = 200) -> HttpResponse:
    may_enter = Permit.ENTER_INSPECTION in permits_of(request.user, structure.agency)
    context = {
        "structure": structure,
        "may_enter": may_enter,
        "form": form or SectionForm(prefix="new"),
        "problems": problems,
        "drafts": list(structure.inspections.filter(state__in=EDITABLE)) if may_enter else [],
        **channel_context(structure),
    }
    for part in context["sections"]:
        changed = form is not None and form.prefix == f"s{part['section'].pk}"
        part["form"] = form if changed else SectionForm.of(part["section"])
    if form is not None and form.prefix != "new":
        context["form"] = SectionForm(prefix="new")
    return render(request, "inspections/channel/page.html", context, status=status)


@permitted(Permit.ENTER_INSPECTION)
@require_POST
def keep_section(request: HttpRequest, pk: int) -> HttpResponse:
    """A new section, or one changed: `section` names its row."""
    structure = structure_or_404(request, pk, Permit.ENTER_INSPECTION)
    section = _section(structure, request.POST.get("section", ""))
    form = SectionForm(request.POST, prefix=f"s{section.pk}" if section else "new")
    if not form.is_valid():
        return _page(request, structure, form=form, problems=form.problems(), status=422)
    tried = attempt(
        lambda: save_section(
            structure=structure,
            section=section.pk if section else None,
            by=request.user,
            at=timezone.now(),
            **form.cleaned_data,
        )
    )
    if not tried.done:
        problems = [(form["name"].id_for_label, sentence) for sentence in tried.sentences]
        return _page(request, structure, form=form, problems=problems, status=tried.status)
    messages.success(request, f"Section '{tried.result.name}' saved.")
    return redirect("inspections:channel", pk=structure.pk)


def _section(structure: Structure, pk: str) -> ChannelSection | None:
    if not pk:
        return None
    if not pk.isdecimal() or len(pk) > 12:
        raise Http404
    row = structure.channel_sections.filter(pk=int(pk)).first()
    if row is None:
        raise Http404
    return row


@permitted(Permit.ENTER_INSPECTION)
@require_http_methods(["GET", "POST"])
def soundings(request: HttpRequest, pk: int) -> HttpResponse:
    """Soundings of one section at one inspection: station and depth, one pair in a row."""
    inspection = inspection_or_404(request, pk, Permit.ENTER_INSPECTION)
    structure = inspection.structure
    if inspection.state not in EDITABLE:
        messages.error(request, f"This inspection can no longer be changed: it is {inspection.get_state_display()}.")
        return redirect("inspections:channel", pk=structure.pk)
    sections = list(structure.channel_sections.all())
    if request.method == "GET":
        section = _section(structure, request.GET.get("section", "")) or (sections[0] if sections else None)
        return _soundings_page(request, inspection, sections, _stored_form(inspection, sections, section), section)
    section = _section(structure, request.POST.get("section", ""))
    form = SoundingsForm(request.POST, sections=sections)
    if not form.is_valid():
        return _soundings_page(request, inspection, sections, form, section, problems=form.problems(), status=422)
    row = form.values() | {"seen": request.POST.get("seen", "")}
    if request.POST.get("asked") != "yes" and (asked := _questions(inspection, section, row)):
        return _soundings_page(request, inspection, sections, form, section, asked=asked)
    tried = attempt(lambda: save_surveys(inspection=inspection, rows=[row], by=request.user, at=timezone.now()))
    if not tried.done:
        return _refused(request, inspection, sections, form, section, tried)
    messages.success(request, f"Soundings of '{section.name}' saved.")
    return redirect(f"{reverse('inspections:channel', args=[structure.pk])}#section-{section.pk}")


def _refused(request, inspection, sections, form, section, tried: Attempt) -> HttpResponse:
    problems = [(form["points"].id_for_label, sentence) for sentence in tried.sentences]
    return _soundings_page(request, inspection, sections, form, section, problems=problems, status=tried.status)


def _questions(inspection: Inspection, section: ChannelSection | None, row: dict) -> list[str]:
    """What is asked about the soundings typed, held against the newest of another inspection."""
    if section is None or not row["points"] or survey_faults(row["points"]):
        return []
    by_section = {each.pk: rows for each, rows in surveys_by_section(inspection.structure)}
    before = [each for each in by_section.get(section.pk, []) if each.inspection_id != inspection.pk]
    last = survey_of(before[-1]) if before else None
    return survey_questions([tuple(pair) for pair in row["points"]], water_ft=row["water_ft"], before=last)


def _stored_form(inspection: Inspection, sections: list, section: ChannelSection | None) -> SoundingsForm:
    stored = inspection.channel_surveys.filter(section=section).first() if section else None
    initial = {"section": section.pk if section else None}
    if stored is not None:
        initial |= {name: getattr(stored, name) for name in ("water_ft", "method", "note")}
        initial["points"] = typed_points(stored)
    return SoundingsForm(sections=sections, initial=initial)


def _soundings_page(
    request, inspection, sections, form, section, *, problems=(), asked=(), status: int = 200
) -> HttpResponse:
    stored = inspection.channel_surveys.filter(section=section).first() if section else None
    context = {
        "inspection": inspection,
        "structure": inspection.structure,
        "sections": sections,
        "chosen": section,
        "form": form,
        "seen": request.POST.get("seen", mark_of(stored)),
        "problems": problems,
        "asked": asked,
    }
    return render(request, "inspections/channel/soundings.html", context, status=status)
