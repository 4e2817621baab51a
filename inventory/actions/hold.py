"""How every edit of the register begins and ends: the structure held and unchanged since it was read, then told of."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from inventory.models import Person, Standing, Structure
from inventory.queries.completeness import missing_of
from inventory.queries.people import permits_of
from inventory.rules.refusals import Refused, Stale
from inventory.vocabulary.roles import ALLOWED, Permit

from .tell import tell_event


def stamp_of(structure: Structure) -> str:
    """The mark a page carries to say which state of the structure the person read."""
    return structure.updated_at.isoformat()


def hold_structure(pk: int, *, by: Person, permit: Permit, stamp: str | None = None) -> Structure:
    """The structure, held until the transaction ends; refused where the person may not, or read an older state.

    `stamp` None is for entries that only add a row: two people adding two rows do not harm each other.
    """
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("hold_structure belongs inside a transaction")
    structure = Structure.objects.select_for_update().select_related(None).get(pk=pk)
    if permit not in permits_of(by, structure.agency):
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[permit]))
        raise Refused(f"You may not {permit.label} here: that needs the role {roles}.")
    if stamp is not None and stamp != stamp_of(structure):
        raise Stale(_who_changed(structure))
    return structure


def finish_change(
    structure: Structure,
    *,
    verb: str,
    sentence: str,
    by: Person,
    at: datetime,
    bears_on_rating: bool,
    detail: dict | None = None,
) -> None:
    """Save the structure's new stamp (and revision where it bears on the rating), its standing, and the event."""
    if bears_on_rating:
        structure.revision += 1
    structure.save(update_fields=["revision", "updated_at"])
    fresh = Structure.objects.select_related("standing").get(pk=structure.pk)
    layers = [layer for layer in structure.surfacing.all() if layer.removed_on is None]
    known = {"missing_count": len(missing_of(fresh))}
    if layers:
        known["surface_material"] = layers[-1].material
    Standing.objects.update_or_create(structure=structure, defaults=known)
    tell_event(verb=verb, sentence=sentence, at=at, by=by, structure=structure, detail=detail)


def _who_changed(structure: Structure) -> str:
    last = structure.events.select_related("by").first()
    who = f"{last.by or 'The system'}" if last else "Someone else"
    when = f" at {timezone.localtime(last.at):%H:%M on %d %b %Y} ({last.sentence.rstrip('.')})" if last else ""
    return (
        f"{who} changed {structure.number}{when} after you opened this page, so nothing of yours was saved. "
        "Your entries are still below: compare them with a fresh copy, then save again."
    )
