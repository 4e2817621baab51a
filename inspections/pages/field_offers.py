"""What a device is offered before it leaves: who is signed in, which structures, which days."""

from datetime import date

from inspections.assembly.inspection_content import plain
from inspections.models import Reminder
from inspections.queries.field_pack import due_of, field_days_of, structures_offered
from inspections.rules.clocks import day, lateness
from inspections.vocabulary.states import ReminderKind
from inventory.models import Person
from inventory.queries.people import agencies_of, permits_of

from .field_pack import contact_list


def who_is_this(person: Person) -> dict:
    """The person, their agencies with the telephone numbers, and what they may do."""
    return {
        "signed_in": True,
        "person": {"id": person.pk, "name": str(person)},
        "agencies": [
            {
                "id": agency.pk,
                "name": agency.name,
                "contacts": contact_list(agency.pk),
                "permits": sorted(permit.value for permit in permits_of(person, agency)),
            }
            for agency in agencies_of(person)
        ],
    }


def offers(person: Person, *, as_of: date) -> dict:
    """Structures with what is due there, and the field days; everything a pack page lists."""
    due, days = due_of(person), field_days_of(person, as_of)
    on_days: dict[int, list[str]] = {}
    for each in days:
        for stop in each.stops.all():
            on_days.setdefault(stop.structure_id, []).append(plain(each.on))
    return {
        "structures": [
            {
                "id": row.pk,
                "number": row.number,
                "title": row.title,
                "lon": row.lon_deg,
                "lat": row.lat_deg,
                "due": [_due(reminder, as_of) for reminder in due.get(row.pk, [])],
                "on_days": on_days.get(row.pk, []),
            }
            for row in structures_offered(person)
        ],
        "days": [
            {
                "id": each.pk,
                "on": plain(each.on),
                "leader": str(each.leader or ""),
                "leader_id": each.leader_id,
                "team": each.team,
                "stops": [stop.structure_id for stop in each.stops.all()],
            }
            for each in days
        ],
    }


def _due(reminder: Reminder, as_of: date) -> dict:
    """With the state of the day the pack is taken, where it is late."""
    words = f"{ReminderKind.label_of(reminder.kind)} due {day(reminder.due_on)}"
    state = lateness(kind=reminder.kind, due_on=reminder.due_on, late_after=reminder.late_after, as_of=as_of)
    if state.is_late:
        words = f"{words}, {state.words}"
    return {"kind": reminder.kind, "due_on": plain(reminder.due_on), "words": words}
