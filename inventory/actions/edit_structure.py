"""Enter a new structure; change a structure's own fields."""

from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory.models import Agency, Person, Standing, Structure
from inventory.queries.people import permits_of
from inventory.rules.refusals import Refused
from inventory.rules.sizes import structure_faults
from inventory.vocabulary.roles import Permit

from .hold import finish_change, hold_structure

RATING_FIELDS = frozenset(
    {"system", "status", "roadway_width_ft", "deck_width_ft", "lanes", "skew_deg", "adt", "truck_pct", "adtt"}
)


def add_structure(*, agency: Agency, fields: dict, by: Person, at: datetime) -> Structure:
    """A new structure of the agency; every field given counts as typed by the county."""
    if Permit.EDIT_STRUCTURE not in permits_of(by, agency):
        raise Refused(f"You may not enter structures for {agency}: ask its administrator for the role office staff.")
    fields = _checked(fields, at)
    typed = sorted(name for name, value in fields.items() if value not in (None, ""))
    try:
        with transaction.atomic():
            _refuse_taken(agency, fields["number"])
            structure = Structure.objects.create(
                agency=agency,
                state_code=agency.state_code,
                county_code=agency.county_code,
                hand_entered=typed,
                **fields,
            )
            Standing.objects.create(structure=structure)
            finish_change(
                structure,
                verb="add_structure",
                sentence=f"{structure.number} {structure.title} entered",
                by=by,
                at=at,
                bears_on_rating=True,
            )
    except IntegrityError:
        # Two people entered the same number in the same moment.
        raise Refused({"number": _taken(agency, fields["number"])}) from None
    return structure


@transaction.atomic
def edit_structure(*, structure: Structure, stamp: str, fields: dict, by: Person, at: datetime) -> Structure:
    """Change the fields that differ; each is added to hand_entered, so that no import overwrites it."""
    held = hold_structure(structure.pk, by=by, permit=Permit.EDIT_STRUCTURE, stamp=stamp)
    fields = _checked(fields, at)
    changed = {name: value for name, value in fields.items() if getattr(held, name) != value}
    if not changed:
        return held
    if "number" in changed:
        _refuse_taken(held.agency, changed["number"])
    before = {name: _plain(getattr(held, name)) for name in changed}
    for name, value in changed.items():
        setattr(held, name, value)
    held.hand_entered = sorted({*held.hand_entered, *changed})
    held.save()
    names = ", ".join(str(Structure._meta.get_field(name).verbose_name) for name in changed)
    finish_change(
        held,
        verb="edit_structure",
        sentence=f"Changed: {names}",
        by=by,
        at=at,
        bears_on_rating=bool(RATING_FIELDS & changed.keys()),
        detail={"before": before, "after": {name: _plain(value) for name, value in changed.items()}},
    )
    return held


def _checked(fields: dict, at: datetime) -> dict:
    if faults := structure_faults(fields, timezone.localtime(at).date()):
        raise Refused(faults)
    return {**fields, "number": fields["number"].strip()}


def _refuse_taken(agency: Agency, number: str) -> None:
    if Structure.objects.filter(agency=agency, number=number).exists():
        raise Refused({"number": _taken(agency, number)})


def _taken(agency: Agency, number: str) -> str:
    return f"{agency} already has a structure {number}. Open that one, or correct the number."


def _plain(value):
    return value if value is None or isinstance(value, str | int | float | bool | list) else str(value)
