"""A person chooses between the record's value and the county's own, field by field."""

from datetime import datetime

from django.db import IntegrityError, transaction

from inventory.models import HeldChange, Person, Structure

from .tell import tell_event

KEPT, TAKEN = "kept", "taken"
POSITION = ("lon_deg", "lat_deg")


class DecisionRefused(ValueError):
    """The choice cannot be made; the message is a sentence."""


def decide_held(hold: HeldChange, decision: str, *, by: Person, at: datetime) -> None:
    """Settle one held value. A taken value counts as the record's again, so the next import may change it."""
    if decision not in (KEPT, TAKEN):
        raise DecisionRefused("Choose either the county's value or the record's.")
    if decision == TAKEN and hold.field == "restriction":
        raise DecisionRefused(
            "A record does not open, post or close a bridge here: the engineer decides it on the posting page, "
            "and then this entry can be kept as it is."
        )
    try:
        with transaction.atomic():
            structure = Structure.objects.select_for_update().get(pk=hold.structure_id)
            hold = HeldChange.objects.select_for_update().get(pk=hold.pk)
            if hold.decision:
                raise DecisionRefused("Somebody has settled this entry already.")
            hold.decision, hold.decided_by, hold.decided_at = decision, by, at
            hold.save(update_fields=["decision", "decided_by", "decided_at"])
            if decision == TAKEN:
                _take(structure, hold)
            tell_event(
                verb="decide_held",
                sentence=f"{hold.field.replace('_', ' ').capitalize()}: "
                + ("the record's value taken." if decision == TAKEN else "the county's value kept."),
                at=at,
                by=by,
                structure=structure,
                detail={"field": hold.field, "county": hold.county_value, "record": hold.record_value},
            )
    except IntegrityError:
        raise DecisionRefused("Another structure has this value already, and it must be unique.")


def _take(structure: Structure, hold: HeldChange) -> None:
    names = POSITION if hold.field == "position" else (hold.field,)
    values = hold.record_value if hold.field == "position" else [hold.record_value]
    for name, value in zip(names, values, strict=True):
        setattr(structure, name, value)
    structure.hand_entered = [name for name in structure.hand_entered if name not in (*names, hold.field)]
    structure.revision += 1
    structure.save(update_fields=[*names, "hand_entered", "revision", "updated_at"])
