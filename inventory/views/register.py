"""The office enters and changes structures, spans, members and bars."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.access import permitted, structure_or_404
from inventory.actions.edit_members import remove_member, remove_span, save_bars, save_member, save_span
from inventory.actions.edit_structure import add_structure, edit_structure
from inventory.actions.hold import stamp_of
from inventory.forms.row_numbers import row_number
from inventory.forms.structures import BarsForm, MemberForm, SpanForm, StructureForm
from inventory.models import MemberGroup, Span, StressingSystem, Structure
from inventory.queries.people import agencies_permitting, permits_of
from inventory.vocabulary.roles import Permit

from .entry import answer_removal, entry_page

EDIT = Permit.EDIT_STRUCTURE


def _told(request: HttpRequest) -> dict:
    """Who acts and when: the clock is read here, at the door, and nowhere below."""
    return {"by": request.user, "at": timezone.now()}


def _page_of(structure: Structure) -> str:
    return reverse("inventory:structure", kwargs={"pk": structure.pk})


@permitted(EDIT)
def new_structure(request: HttpRequest) -> HttpResponse:
    agencies = agencies_permitting(request.user, EDIT)
    asked = row_number(request.GET.get("agency", ""))
    agency = (agencies.filter(pk=asked).first() if asked is not None else None) or agencies.first()
    return entry_page(
        request,
        form=StructureForm(request.POST or None),
        title="New structure",
        note=f"It will belong to {agency}.",
        act=lambda fields: add_structure(agency=agency, fields=fields, **_told(request)),
        done="The structure is entered. Add its spans and members next.",
        after=_page_of,
    )


def change_structure(request: HttpRequest, pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, EDIT)
    return entry_page(
        request,
        form=StructureForm(request.POST or None, row=structure),
        title=f"Edit {structure.number}",
        note="What you change here is kept when a federal record is read in: the record's value is then held for you.",
        structure=structure,
        stamp=stamp_of(structure),
        act=lambda fields: edit_structure(
            structure=structure, stamp=request.POST.get("stamp", ""), fields=fields, **_told(request)
        ),
        done="The structure is changed.",
    )


def change_span(request: HttpRequest, pk: int, span_pk: int | None = None) -> HttpResponse:
    structure = structure_or_404(request, pk, EDIT)
    span = get_object_or_404(Span, pk=span_pk, structure=structure) if span_pk else None
    first = {"index": structure.spans.count() + 1, "system": structure.system}
    may_choose = Permit.CHOOSE_DISTRIBUTION in permits_of(request.user, structure.agency)
    return entry_page(
        request,
        form=SpanForm(request.POST or None, row=span, initial=None if span else first, may_choose=may_choose),
        title=f"Edit span {span.index}" if span else "New span",
        structure=structure,
        stamp=stamp_of(structure),
        act=lambda fields: save_span(
            structure=structure, span=span, stamp=request.POST.get("stamp", ""), fields=fields, **_told(request)
        ),
        done="The span is saved. A new rating follows.",
        removal=reverse("inventory:remove_span", args=[pk, span_pk]) if span else "",
    )


@require_POST
def take_out_span(request: HttpRequest, pk: int, span_pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, EDIT)
    span = get_object_or_404(Span, pk=span_pk, structure=structure)
    stamp = request.POST.get("stamp", "")
    return answer_removal(
        request,
        lambda: remove_span(span=span, stamp=stamp, **_told(request)),
        f"Span {span.index} is taken out.",
        structure,
    )


def change_member(request: HttpRequest, pk: int, span_pk: int, member_pk: int | None = None) -> HttpResponse:
    structure = structure_or_404(request, pk, EDIT)
    span = get_object_or_404(Span, pk=span_pk, structure=structure)
    member = get_object_or_404(MemberGroup, pk=member_pk, span=span) if member_pk else None
    return entry_page(
        request,
        form=MemberForm(request.POST or None, row=member),
        title=f"Span {span.index}: {member}" if member else f"Span {span.index}: new members",
        note="Actual sizes. For laminations the width is one lamination's thickness; offsets run from the left edge.",
        structure=structure,
        stamp=stamp_of(structure),
        act=lambda fields: save_member(
            span=span, member=member, stamp=request.POST.get("stamp", ""), fields=fields, **_told(request)
        ),
        done="The members are saved. A new rating follows.",
        removal=reverse("inventory:remove_member", args=[pk, span_pk, member_pk]) if member else "",
    )


@require_POST
def take_out_member(request: HttpRequest, pk: int, span_pk: int, member_pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, EDIT)
    member = get_object_or_404(
        MemberGroup.objects.select_related("span"), pk=member_pk, span=span_pk, span__structure=structure
    )
    stamp = request.POST.get("stamp", "")
    return answer_removal(
        request,
        lambda: remove_member(member=member, stamp=stamp, **_told(request)),
        "The members are taken out.",
        structure,
    )


def change_bars(request: HttpRequest, pk: int, span_pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, EDIT)
    span = get_object_or_404(Span, pk=span_pk, structure=structure)
    system = StressingSystem.objects.filter(span=span).first()
    return entry_page(
        request,
        form=BarsForm(request.POST or None, row=system, initial=_bars_before(system)),
        title=f"Span {span.index}: bars",
        note="A design force is never assumed: it comes from the design sheet or the engineer of record.",
        structure=structure,
        stamp=stamp_of(structure),
        act=lambda fields: save_bars(span=span, stamp=request.POST.get("stamp", ""), fields=fields, **_told(request)),
        done="The bars are saved. A new rating follows.",
    )


def _bars_before(system: StressingSystem | None) -> dict:
    bars = sorted(system.bars.all(), key=lambda bar: bar.number) if system else []
    if not bars:
        return {}
    level = bars[0].level
    bars = [bar for bar in bars if bar.level == level]
    return {
        "bar_count": len(bars),
        "first_station_ft": bars[0].station_ft,
        "level": level,
        "unusable": ", ".join(str(bar.number) for bar in bars if not bar.is_usable),
    }
