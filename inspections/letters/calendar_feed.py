"""The month plan and the due dates as an iCalendar file (RFC 5545), written by the icalendar library.

No METHOD: a plain feed, for which the rules of scheduling messages do not hold. Every event lasts whole days.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime, timedelta

from icalendar import Calendar, Event

from inspections.models import FieldDay, Reminder
from inspections.rules.calendar import event_uid, many_lines, one_line
from inspections.rules.clocks.terms import count
from inspections.rules.clocks.terms import day as day_words
from inspections.vocabulary.findings import InspectionKind
from inventory.models import Agency

PRODUCT = "-//Spanledger//Field plan//EN"
AID = "A plan, not an order. The State's manual and the engineer of record come first."


def calendar_feed(
    *,
    agency: Agency,
    days: Sequence[FieldDay],
    changed: Mapping[int, datetime],
    dues: Sequence[Reminder],
    address_of: Callable[[str, int], str],
) -> bytes:
    """One event for each field day, one for each due date. `address_of(route, id)` gives the page of a row."""
    feed = Calendar()
    feed.add("prodid", PRODUCT)
    feed.add("version", "2.0")
    feed.add("calscale", "GREGORIAN")
    feed.add("x-wr-calname", one_line(f"{agency}: field plan"))
    for day in days:
        feed.add_component(_day_event(day, changed[day.pk], address_of("inspections:field_day", day.pk)))
    for row in dues:
        feed.add_component(_due_event(row, address_of("inspections:reminder", row.pk)))
    return feed.to_ical()


def _event(*, uid: str, stamp: datetime, revision: int, on: date, summary: str, words: str, address: str) -> Event:
    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", stamp)
    event.add("last-modified", stamp)
    event.add("sequence", revision)
    event.add("dtstart", on)
    event.add("dtend", on + timedelta(days=1))
    event.add("summary", one_line(summary))
    event.add("description", many_lines(words))
    event.add("url", address)
    return event


def _day_event(day: FieldDay, changed: datetime, address: str) -> Event:
    stops = list(day.stops.all())
    lines = [
        f"{number}. {stop.structure.number} {stop.structure.title}: {InspectionKind.label_of(stop.kind)}"
        for number, stop in enumerate(stops, start=1)
    ]
    leader = f"Led by {day.leader}" if day.leader else "No leader named yet"
    team = f", with {day.team}" if day.team else ""
    event = _event(
        uid=str(event_uid("field day", day.pk, day.made_at)), stamp=changed, revision=day.revision, on=day.on,
        summary=f"Field day: {count(len(stops), 'stop')}, {day.leader or 'no leader yet'}",
        words="\n".join([f"{leader}{team}.", *lines, day.note, AID]), address=address,
    )  # fmt: skip
    event.add("categories", ["Field day"])
    return event


def _due_event(row: Reminder, address: str) -> Event:
    structure = row.structure
    late = f"\nMay be done until {day_words(row.late_after)}." if row.late_after > row.due_on else ""
    event = _event(
        uid=str(event_uid("reminder", row.pk, row.created_at)), stamp=row.changed_at or row.created_at,
        revision=row.revision, on=row.due_on,
        summary=f"Due: {row.get_kind_display()}, {structure.number} {structure.title}",
        words=f"{row.reason}{late}\n{AID}", address=address,
    )  # fmt: skip
    event.add("categories", ["Due"])
    event.add("transp", "TRANSPARENT")
    return event
