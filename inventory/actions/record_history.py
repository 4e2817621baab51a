"""Record what was done: surfacing laid and removed, treatment, work, railing, supports. Each adds to the history."""

from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from inventory.models import Person, Railing, Structure, SubstructureUnit, SurfacingLayer, Treatment, Work
from inventory.rules.refusals import Refused
from inventory.rules.sizes import date_faults, layer_faults, limit_faults
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import WorkKind

from .hold import finish_change, hold_structure

TREATMENT_LIMITS = {"retention_pcf": ("The retention", "above", 0, 30, "lb/ft3")}
RAILING_LIMITS = {"weight_plf": ("The weight", "above", 0, 2000, "lb/ft")}
SUPPORT_LIMITS = {"pile_count": ("The number of piles", "from", 1, 200, "")}


@transaction.atomic
def lay_surfacing(*, structure: Structure, fields: dict, by: Person, at: datetime) -> SurfacingLayer:
    """A layer laid on top of those standing: its weight bears on the rating."""
    held = hold_structure(structure.pk, by=by, permit=Permit.EDIT_STRUCTURE)
    _refuse(layer_faults(fields, _day(at)))
    layer = _add(held, SurfacingLayer, fields)
    _finish(held, "lay_surfacing", f"Surfacing recorded: {layer}", by, at, bears=True)
    return layer


@transaction.atomic
def remove_surfacing(*, layer: SurfacingLayer, removed_on: date, by: Person, at: datetime) -> SurfacingLayer:
    """A layer taken off: it stays in the history and no longer weighs."""
    held = hold_structure(layer.structure_id, by=by, permit=Permit.EDIT_STRUCTURE)
    fresh = held.surfacing.get(pk=layer.pk)
    if fresh.removed_on is not None:
        raise Refused(f"{fresh} was already recorded as removed on {fresh.removed_on:%d %b %Y}.")
    _refuse(date_faults({"removed_on": removed_on}, {"removed_on": "The day it was removed"}, _day(at)))
    if removed_on < fresh.laid_on:
        raise Refused({"removed_on": f"It was laid on {fresh.laid_on:%d %b %Y} and cannot be removed before that."})
    fresh.removed_on = removed_on
    fresh.save(update_fields=["removed_on"])
    _finish(held, "remove_surfacing", f"Surfacing removed on {removed_on}: {fresh}", by, at, bears=True)
    return fresh


@transaction.atomic
def record_treatment(*, structure: Structure, fields: dict, by: Person, at: datetime) -> Treatment:
    """A preservative treatment, at the plant or in place."""
    held = hold_structure(structure.pk, by=by, permit=Permit.RECORD_WORK)
    day = date_faults(fields, {"treated_on": "The day of the treatment"}, _day(at))
    _refuse(limit_faults(fields, TREATMENT_LIMITS) | day)
    treatment = _add(held, Treatment, fields)
    _finish(held, "record_treatment", f"Treatment recorded: {treatment.part}, {treatment}", by, at)
    return treatment


@transaction.atomic
def record_work(*, structure: Structure, fields: dict, by: Person, at: datetime) -> Work:
    """Work done by a crew. Members replaced call for a new rating; the other kinds are told where they are entered."""
    held = hold_structure(structure.pk, by=by, permit=Permit.RECORD_WORK)
    _refuse(date_faults(fields, {"done_on": "The day of the work"}, _day(at)))
    work = _add(held, Work, fields, by=by)
    bears = work.kind in (WorkKind.REPLACEMENT, WorkKind.REPAIR)
    _finish(held, "record_work", f"{work}: {work.summary}", by, at, bears=bears)
    return work


@transaction.atomic
def add_railing(*, structure: Structure, fields: dict, by: Person, at: datetime) -> Railing:
    """A railing; its weight is part of the dead load."""
    held = hold_structure(structure.pk, by=by, permit=Permit.EDIT_STRUCTURE)
    _refuse(limit_faults(fields, RAILING_LIMITS))
    railing = _add(held, Railing, fields)
    _finish(held, "add_railing", f"Railing recorded: {railing}", by, at, bears=True)
    return railing


@transaction.atomic
def add_support(*, structure: Structure, fields: dict, by: Person, at: datetime) -> SubstructureUnit:
    """An abutment, bent or pier."""
    held = hold_structure(structure.pk, by=by, permit=Permit.EDIT_STRUCTURE)
    _refuse(limit_faults(fields, SUPPORT_LIMITS))
    unit = _add(held, SubstructureUnit, fields)
    _finish(held, "add_support", f"Support recorded: {unit}", by, at)
    return unit


def _add(held: Structure, model, fields: dict, **more):
    """A row of the structure; the very same row twice is a second press of the button, and refused."""
    if model.objects.filter(structure=held, **fields).exists():
        raise Refused("The very same entry is already on record, so nothing was added. Was the button pressed twice?")
    return model.objects.create(structure=held, **fields, **more)


def _refuse(faults: dict[str, str]) -> None:
    if faults:
        raise Refused(faults)


def _day(at: datetime) -> date:
    return timezone.localtime(at).date()


def _finish(held: Structure, verb: str, words: str, by: Person, at: datetime, bears: bool = False) -> None:
    finish_change(held, verb=verb, sentence=words, by=by, at=at, bears_on_rating=bears)
