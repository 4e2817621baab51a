"""A jack with its gauge is entered, changed, retired; none is deleted, a reading may have used it."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from inventory.models import Agency, Jack, Person
from inventory.queries.people import permits_of
from inventory.rules.equipment import jack_faults, retire_fault
from inventory.rules.refusals import Refused, Stale
from inventory.vocabulary.roles import ALLOWED, Permit

from .tell import tell_event

FIELDS = (
    "name", "serial", "ram_area_in2", "efficiency", "capacity_lb", "gauge_serial", "gauge_division_psi",
    "gauge_most_psi", "calibrated_on", "calibration_months", "calibrated_by", "note",
)  # fmt: skip
TEXTS = ("name", "serial", "gauge_serial", "calibrated_by", "note")


@transaction.atomic
def add_jack(*, agency: Agency, values: Mapping, by: Person, at: datetime) -> Jack:
    """Enter a jack with its gauge; refused with a sentence beside each entry that cannot be."""
    _require(agency, by)
    Agency.objects.select_for_update().get(pk=agency.pk)
    jack = Jack.objects.create(agency=agency, **_checked(agency, values, None, at))
    _tell(jack, "add_jack", f"Jack entered: {jack}", by, at, _calibration(jack))
    return jack


@transaction.atomic
def edit_jack(*, jack: Jack, values: Mapping, revision: int, by: Person, at: datetime) -> Jack:
    """Change a jack, or enter its new calibration. Forces read with it before stay as they were worked out."""
    _require(jack.agency, by)
    Agency.objects.select_for_update().get(pk=jack.agency_id)
    fresh = _fresh(jack, revision)
    if fresh.retired_on is not None:
        raise Refused(f"{fresh} was retired on {fresh.retired_on:%d %b %Y} and is no longer changed.")
    fields = _checked(fresh.agency, values, fresh, at)
    changed = [name for name in FIELDS if getattr(fresh, name) != fields[name]]
    if not changed:
        return fresh
    before = {name: _plain(getattr(fresh, name)) for name in changed}
    for name in changed:
        setattr(fresh, name, fields[name])
    fresh.revision += 1
    fresh.save()
    names = ", ".join(str(Jack._meta.get_field(name).verbose_name) for name in changed)
    detail = {"before": before, "after": {name: _plain(getattr(fresh, name)) for name in changed}}
    _tell(fresh, "edit_jack", f"Jack {fresh} changed: {names}", by, at, detail | _calibration(fresh))
    return fresh


@transaction.atomic
def retire_jack(*, jack: Jack, revision: int, reason: str, by: Person, at: datetime) -> Jack:
    """Take a jack out of use from today; readings and sheets made with it keep it."""
    _require(jack.agency, by)
    fresh = _fresh(jack, revision)
    if fresh.retired_on is not None:
        raise Refused(f"{fresh} was retired already, on {fresh.retired_on:%d %b %Y}.")
    if fault := retire_fault(reason):
        raise Refused(fault)
    fresh.retired_on = timezone.localtime(at).date()
    fresh.revision += 1
    fresh.save()
    _tell(fresh, "retire_jack", f"Jack {fresh} retired: {reason.strip()}", by, at, {})
    return fresh


def _require(agency: Agency, by: Person) -> None:
    if Permit.KEEP_EQUIPMENT not in permits_of(by, agency):
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[Permit.KEEP_EQUIPMENT]))
        raise Refused(f"You may not {Permit.KEEP_EQUIPMENT.label} here: that needs the role {roles}.")


def _fresh(jack: Jack, revision: int) -> Jack:
    fresh = Jack.objects.select_for_update().select_related(None).get(pk=jack.pk)
    if fresh.revision != revision:
        raise Stale(
            f"Somebody changed {fresh} after you opened this page, so nothing of yours was saved. "
            "Your entries are still below: compare them with a fresh copy, then save again."
        )
    return fresh


def _checked(agency: Agency, values: Mapping, fresh: Jack | None, at: datetime) -> dict:
    others = Jack.objects.filter(agency=agency)
    if fresh is not None:
        others = others.exclude(pk=fresh.pk)
    serials = frozenset(serial.lower() for serial in others.values_list("serial", flat=True))
    if faults := jack_faults(values, today=timezone.localtime(at).date(), serials=serials):
        raise Refused(faults)
    fields = {name: values.get(name) for name in FIELDS}
    return fields | {name: (fields[name] or "").strip() for name in TEXTS}


def _calibration(jack: Jack) -> dict:
    """What the event keeps of the calibration, so that a reading made under it is still told so later."""
    if jack.calibrated_on is None:
        return {}
    return {"calibration": {"on": jack.calibrated_on.isoformat(), "months": jack.calibration_months}}


def _plain(value: object) -> object:
    return value if isinstance(value, str | int | float | bool) or value is None else str(value)


def _tell(jack: Jack, verb: str, sentence: str, by: Person, at: datetime, detail: dict) -> None:
    tell_event(verb=verb, sentence=sentence, at=at, by=by, agency=jack.agency, detail=detail | {"jack": jack.pk})
