"""Record what was done to a structure: one page for each kind of entry."""

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from inventory.access import structure_or_404
from inventory.actions import record_history
from inventory.forms import history as forms
from inventory.models import SurfacingLayer
from inventory.vocabulary.roles import Permit

from .entry import entry_page


@dataclass(frozen=True, kw_only=True)
class Kind:
    title: str
    form: type
    act: object
    permit: Permit
    done: str
    note: str = ""


KINDS = {
    "surfacing": Kind(
        title="Surfacing laid",
        form=forms.SurfacingForm,
        act=record_history.lay_surfacing,
        permit=Permit.EDIT_STRUCTURE,
        done="The layer is recorded. A new rating follows.",
        note="Re-tension bars before paving. Every layer adds dead load: the rating is made again.",
    ),
    "treatment": Kind(
        title="Treatment done",
        form=forms.TreatmentForm,
        act=record_history.record_treatment,
        permit=Permit.RECORD_WORK,
        done="The treatment is recorded.",
    ),
    "work": Kind(
        title="Work done",
        form=forms.WorkForm,
        act=record_history.record_work,
        permit=Permit.RECORD_WORK,
        done="The work is recorded.",
        note="Changed members, bars or surfacing must also be entered where they stand: this line is the history.",
    ),
    "railing": Kind(
        title="Railing",
        form=forms.RailingForm,
        act=record_history.add_railing,
        permit=Permit.EDIT_STRUCTURE,
        done="The railing is recorded. A new rating follows.",
    ),
    "support": Kind(
        title="Abutment, bent or pier",
        form=forms.SupportForm,
        act=record_history.add_support,
        permit=Permit.EDIT_STRUCTURE,
        done="The support is recorded.",
    ),
}


def record(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """Add one line to a history of the structure."""
    chosen = KINDS.get(kind)
    if chosen is None:
        raise Http404
    structure = structure_or_404(request, pk, chosen.permit)
    return entry_page(
        request,
        form=chosen.form(request.POST or None),
        title=f"{chosen.title}: {structure.number}",
        note=chosen.note,
        structure=structure,
        act=lambda fields: chosen.act(structure=structure, fields=fields, by=request.user, at=timezone.now()),
        done=chosen.done,
    )


def remove_layer(request: HttpRequest, pk: int, layer_pk: int) -> HttpResponse:
    """A layer was taken off."""
    structure = structure_or_404(request, pk, Permit.EDIT_STRUCTURE)
    layer = get_object_or_404(SurfacingLayer, pk=layer_pk, structure=structure)
    return entry_page(
        request,
        form=forms.RemovalForm(request.POST or None),
        title=f"Removed: {layer}",
        structure=structure,
        act=lambda fields: record_history.remove_surfacing(
            layer=layer, removed_on=fields["removed_on"], by=request.user, at=timezone.now()
        ),
        done="The removal is recorded. A new rating follows.",
    )
