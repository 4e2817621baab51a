"""What a calendar feed shows, and whose key an address holds."""

from datetime import date, datetime, timedelta

from django.db.models import QuerySet

from inspections.models import CalendarKey, FieldDay, Reminder
from inspections.rules.calendar import digest_of, is_same
from inventory.models import Agency, Event, Membership, Person
from inventory.queries.people import agencies_of

from .field_days import FIELD_REMINDERS, with_stops
from .reminders import ACTIVE

PAST_DAYS, AHEAD_DAYS, MOST_DUE = 62, 800, 5000
PLAN_VERBS = (
    "plan_field_day", "change_field_day", "override_leader", "plan_field_stop", "move_field_stop", "remove_field_stop",
)  # fmt: skip


def keys_of(person: Person) -> QuerySet[CalendarKey]:
    """The person's own keys, in agencies they belong to; nobody sees another's."""
    return CalendarKey.objects.filter(person=person, agency__in=agencies_of(person)).select_related("agency")


def key_in_use(key: str) -> CalendarKey | None:
    """The row of a key that still opens its feed: not revoked, its person active and still a member of the agency."""
    digest = digest_of(key)
    row = CalendarKey.objects.filter(digest=digest).select_related("agency", "person").first()
    if row is None or not is_same(digest, row.digest) or row.revoked_at is not None or not row.person.is_active:
        return None
    belongs = Membership.objects.filter(agency=row.agency_id, person=row.person_id).exists()
    return row if belongs else None


def feed_days(agency: Agency, today: date) -> list[FieldDay]:
    """The agency's field days from two months back on."""
    found = FieldDay.objects.filter(agency=agency, on__gte=today - timedelta(days=PAST_DAYS))
    return list(with_stops(found).order_by("on", "pk"))


def feed_dues(agency: Agency, today: date) -> list[Reminder]:
    """Inspections and bar checks owed: all that are late, and what falls due in the next two years."""
    owed = Reminder.objects.filter(
        structure__agency=agency, kind__in=FIELD_REMINDERS, state__in=ACTIVE,
        due_on__lte=today + timedelta(days=AHEAD_DAYS),
    )  # fmt: skip
    return list(owed.select_related("structure").order_by("due_on", "pk")[:MOST_DUE])


def last_told(agency: Agency, days: list[FieldDay]) -> dict[int, datetime]:
    """Field day id to the moment it was last changed, from its events."""
    found = {day.pk: day.made_at for day in days}
    if not days:
        return found
    since = min(found.values())
    events = Event.objects.filter(agency=agency, verb__in=PLAN_VERBS, at__gte=since)
    for detail, at in events.values_list("detail", "at"):
        pk = detail.get("field_day")
        if pk in found and at > found[pk]:
            found[pk] = at
    return found
