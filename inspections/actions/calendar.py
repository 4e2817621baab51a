"""A key of a calendar feed is made and revoked; only its digest is kept."""

import secrets
from datetime import datetime

from django.db import transaction

from inspections.models import CalendarKey
from inspections.rules.calendar import digest_of
from inspections.rules.refusals import Refused
from inventory.actions.tell import tell_event
from inventory.models import Agency, Person
from inventory.vocabulary.roles import Permit

from .lock import require_agency_permit

KEY_BYTES, MOST_KEYS = 32, 5


@transaction.atomic
def make_calendar_key(*, agency: Agency, by: Person, at: datetime) -> tuple[CalendarKey, str]:
    """A new key for the person's own feed of an agency; the key itself is returned here and never again."""
    require_agency_permit(by, agency, Permit.READ)
    Person.objects.select_for_update().get(pk=by.pk)
    if CalendarKey.objects.filter(agency=agency, person=by, revoked_at=None).count() >= MOST_KEYS:
        raise Refused(f"You have {MOST_KEYS} calendar addresses in use already: revoke one first.")
    key = secrets.token_urlsafe(KEY_BYTES)
    row = CalendarKey.objects.create(agency=agency, person=by, digest=digest_of(key), made_at=at)
    _tell(row, "make_calendar_key", f"Calendar address made for {by}.", by, at)
    return row, key


@transaction.atomic
def revoke_calendar_key(*, row: CalendarKey, by: Person, at: datetime) -> CalendarKey:
    """From now on the address answers nobody. Only the person's own; to revoke it again changes nothing."""
    fresh = CalendarKey.objects.select_for_update().get(pk=row.pk)
    if fresh.person_id != by.pk:
        raise Refused("Only the person whose address it is may revoke it.")
    if fresh.revoked_at is None:
        fresh.revoked_at = at
        fresh.save(update_fields=["revoked_at"])
        _tell(fresh, "revoke_calendar_key", f"Calendar address of {by} revoked.", by, at)
    return fresh


def _tell(row: CalendarKey, verb: str, sentence: str, by: Person, at: datetime) -> None:
    tell_event(verb=verb, sentence=sentence, at=at, by=by, agency=row.agency, detail={"calendar_key": row.pk})
