"""A line of the registry of inspectors is entered, changed, withdrawn; none is deleted."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from inventory.models import Agency, Membership, Person, Qualification
from inventory.queries.people import permits_of
from inventory.rules.qualifications import qualification_faults, withdrawal_fault
from inventory.rules.refusals import Refused, Stale
from inventory.vocabulary.roles import ALLOWED, Permit

from .tell import tell_event

FIELDS = ("kind", "basis", "evidence", "held_since", "expires_on", "refresher_hours", "refreshed_on")
TEXTS = ("basis", "evidence")


@transaction.atomic
def add_qualification(*, agency: Agency, values: Mapping, by: Person, at: datetime) -> Qualification:
    """Enter what a member of the agency is qualified for; refused with a sentence beside each entry."""
    _require(agency, by)
    fields = _checked(values, at)
    person = values["person"]
    if not Membership.objects.filter(agency=agency, person=person).exists():
        raise Refused({"person": f"{person} does not belong to {agency}: choose one of its people."})
    row = Qualification.objects.create(agency=agency, person=person, recorded_by=by, recorded_at=at, **fields)
    _tell(row, "add_qualification", f"Qualification entered: {row}", by, at, {})
    return row


@transaction.atomic
def edit_qualification(
    *, row: Qualification, values: Mapping, revision: int, by: Person, at: datetime
) -> Qualification:
    """Change a line, or enter a new refresher or a new last day; the person stays the same."""
    _require(row.agency, by)
    fresh = _fresh(row, revision)
    fields = _checked({**values, "person": fresh.person}, at)
    changed = [name for name in FIELDS if getattr(fresh, name) != fields[name]]
    if not changed:
        return fresh
    before = {name: _plain(getattr(fresh, name)) for name in changed}
    for name in changed:
        setattr(fresh, name, fields[name])
    fresh.revision += 1
    fresh.save()
    names = ", ".join(str(Qualification._meta.get_field(name).verbose_name) for name in changed)
    detail = {"before": before, "after": {name: _plain(getattr(fresh, name)) for name in changed}}
    _tell(fresh, "edit_qualification", f"Qualification of {fresh.person} changed: {names}", by, at, detail)
    return fresh


@transaction.atomic
def withdraw_qualification(
    *, row: Qualification, revision: int, reason: str, by: Person, at: datetime
) -> Qualification:
    """Withdraw a line from today; what was led under it before stays as it was."""
    _require(row.agency, by)
    fresh = _fresh(row, revision)
    if fault := withdrawal_fault(reason):
        raise Refused(fault)
    fresh.withdrawn_on = timezone.localtime(at).date()
    fresh.withdrawn_reason = reason.strip()[:200]
    fresh.revision += 1
    fresh.save()
    _tell(fresh, "withdraw_qualification", f"Qualification withdrawn: {fresh}: {reason.strip()}", by, at, {})
    return fresh


def _require(agency: Agency, by: Person) -> None:
    permit = Permit.KEEP_QUALIFICATIONS
    if permit not in permits_of(by, agency):
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[permit]))
        raise Refused(f"You may not {permit.label} here: that needs the role {roles}.")


def _fresh(row: Qualification, revision: int) -> Qualification:
    fresh = Qualification.objects.select_for_update().select_related(None).get(pk=row.pk)
    if fresh.revision != revision:
        raise Stale(
            f"Somebody changed the qualification of {fresh.person} after you opened this page, so nothing of yours was "
            "saved. Your entries are still below: compare them with a fresh copy, then save again."
        )
    if fresh.withdrawn_on is not None:
        raise Refused(f"It was withdrawn on {fresh.withdrawn_on:%d %b %Y} and is no longer changed: enter a new line.")
    return fresh


def _checked(values: Mapping, at: datetime) -> dict:
    if faults := qualification_faults(values, today=timezone.localtime(at).date()):
        raise Refused(faults)
    fields = {name: values.get(name) for name in FIELDS}
    return fields | {name: (fields[name] or "").strip() for name in TEXTS}


def _plain(value: object) -> object:
    return value if isinstance(value, str | int | float | bool) or value is None else str(value)


def _tell(row: Qualification, verb: str, sentence: str, by: Person, at: datetime, detail: dict) -> None:
    told = detail | {"qualification": row.pk, "person": row.person_id}
    tell_event(verb=verb, sentence=sentence, at=at, by=by, agency=row.agency, detail=told)
