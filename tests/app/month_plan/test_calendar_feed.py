"""The calendar feed, read back by two other readers: `vobject` and `icalendar`; RFC 5545 for the bytes themselves."""

import re
from datetime import date, timedelta

import pytest
import vobject
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from inspections.models import CalendarKey, FieldDay, FieldStop, Reminder
from inventory.models import Event, Membership
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.plan import in_days, owed

pytestmark = [pytest.mark.django_db, pytest.mark.database]

# Words that break careless writers: separators, a line break, accents, an emoji of four bytes, markup, a long word.
HARD = 'Slough; bend, \\ the "long" one\nçédille 🌲 <b>' + "x" * 70


@pytest.fixture
def feed(county):
    """A field day of two stops, and two inspections owed, one of them with hard words."""
    county.bridges = [
        make_stringer_bridge(county.agency, "Q-1"),
        make_stringer_bridge(county.agency, "Q-2", road_name=HARD[:80], lon_deg=-97.45),
    ]
    county.owed = [owed(bridge, on=in_days(10 + n), reason=HARD) for n, bridge in enumerate(county.bridges)]
    county.day = FieldDay.objects.create(
        agency=county.agency, on=in_days(5), leader=county.people["inspector"], made_at=timezone.now(), note=HARD
    )
    for order, row in enumerate(county.owed, start=1):
        FieldStop.objects.create(day=county.day, structure=row.structure, reminder=row, order=order)
    return county


def address(county, role="inspector") -> str:
    page = county.client(role).post("/plan/calendar/make/").content.decode()
    return re.search(r">http://testserver(/plan/calendar/[^<]+)<", page).group(1)


def read(client, where) -> bytes:
    answer = client.get(where)
    assert answer.status_code == 200 and answer["Content-Type"] == "text/calendar; charset=utf-8"
    return answer.content


def test_both_readers_take_it(feed, client):
    body = read(client, address(feed))
    for calendar in vobject.readComponents(body.decode()):
        calendar.validate(raiseException=True)
        assert len(calendar.contents["vevent"]) == 3
    read_back = Calendar.from_ical(body)
    assert not [error for part in read_back.walk() for error in part.errors]
    events = read_back.walk("VEVENT")
    dates = sorted(event.decoded("dtstart") for event in events)
    assert dates == [in_days(5), in_days(10), in_days(11)]
    for event in events:
        assert type(event.decoded("dtstart")) is date, "whole days: a date, no time"
        assert event.decoded("dtend") - event.decoded("dtstart") == timedelta(days=1)


def test_words_come_back_as_they_were(feed, client):
    event = next(
        event
        for calendar in vobject.readComponents(read(client, address(feed)).decode())
        for event in calendar.contents["vevent"]
        if event.summary.value.startswith("Field day")
    )
    assert event.summary.value == "Field day: 2 stops, inspector-001"
    assert HARD in event.description.value and "1. Q-1 Heron Road over Sedge Creek: Routine" in event.description.value
    assert event.url.value.endswith(f"/plan/days/{feed.day.pk}/")


def test_lines_end_with_crlf_and_are_folded_at_75_octets(feed, client):
    """RFC 5545, section 3.1: lines end in CRLF and SHOULD NOT be longer than 75 octets without it [memory]."""
    body = read(client, address(feed))
    assert body.endswith(b"\r\n")
    assert b"\n" not in body.replace(b"\r\n", b"") and b"\r" not in body.replace(b"\r\n", b"")
    lines = body.split(b"\r\n")
    assert max(len(line) for line in lines) <= 75
    assert any(line.startswith(b" ") for line in lines), "something was long enough to be folded"
    for line in lines:
        line.decode()  # no fold cuts a character in two


def test_summaries_are_one_line(feed, client):
    for event in Calendar.from_ical(read(client, address(feed))).walk("VEVENT"):
        assert "\n" not in str(event["summary"]) and "\\n" not in str(event["summary"])


def test_uid_stays_and_dtstamp_moves_with_a_change(feed, client):
    """RFC 5545, 3.8.4.7 and 3.8.7.2: a UID is for ever; DTSTAMP is when it was last revised [memory]."""
    where = address(feed)

    def seen():
        events = Calendar.from_ical(read(client, where)).walk("VEVENT")
        return {str(e["uid"]): (e.decoded("dtstamp"), int(e["sequence"]), e.decoded("dtstart")) for e in events}

    first = seen()
    assert len(first) == 3 and seen() == first
    feed.client("supervisor").post(
        f"/plan/days/{feed.day.pk}/change/", {"revision": 0, "on": str(in_days(6)), "leader": ""}
    )
    second = seen()
    assert set(second) == set(first)
    moved = [uid for uid in first if first[uid] != second[uid]]
    assert len(moved) == 1
    (old_stamp, old_sequence, _), (stamp, sequence, on) = first[moved[0]], second[moved[0]]
    assert stamp >= old_stamp and sequence == old_sequence + 1 and on == in_days(6)
    assert stamp.utcoffset() == timedelta(0)


def test_etag_answers_not_modified_until_something_changes(feed, client):
    where = address(feed)
    tag = client.get(where)["ETag"]
    assert client.get(where, HTTP_IF_NONE_MATCH=tag).status_code == 304
    Reminder.objects.filter(pk=feed.owed[0].pk).update(reason="Changed")
    assert client.get(where, HTTP_IF_NONE_MATCH=tag).status_code == 200


def test_only_the_digest_is_kept_and_the_key_is_shown_once(feed):
    where = address(feed)
    key = where.rstrip("/").rsplit("/", 1)[1]
    row = CalendarKey.objects.get()
    assert len(key) >= 40 and key not in str(CalendarKey.objects.values().get()) and len(row.digest) == 64
    assert not any(key in f"{event.sentence}{event.detail}" for event in Event.objects.all())
    assert key not in feed.client("inspector").get("/plan/calendar/").content.decode()


def test_other_keys_and_ended_people_meet_nothing(feed, client):
    where = address(feed)
    person = feed.people["inspector"]
    for wrong in (where[:-2] + "/", where.replace("calendar/", "calendar/A"), "/plan/calendar/x/", "/plan/calendar/é/"):
        assert client.get(wrong).status_code == 404
    row = CalendarKey.objects.get()
    assert client.get(reverse("inspections:calendar_feed", args=[row.digest])).status_code == 404, (
        "the digest opens nothing"
    )
    person.is_active = False
    person.save()
    assert client.get(where).status_code == 404
    person.is_active = True
    person.save()
    assert client.get(where).status_code == 200
    Membership.objects.filter(person=person).delete()
    assert client.get(where).status_code == 404


def test_revoked_by_its_own_person_only(feed, client):
    where = address(feed)
    row = CalendarKey.objects.get()
    assert feed.client("engineer").post(f"/plan/calendar/revoke/{row.pk}/").status_code == 404
    assert client.get(where).status_code == 200
    assert feed.client("inspector").post(f"/plan/calendar/revoke/{row.pk}/").status_code == 302
    assert client.get(where).status_code == 404
    assert "Revoked" in feed.client("inspector").get("/plan/calendar/").content.decode()


def test_a_feed_holds_its_own_agency_only(feed, client):
    other = make_county("Reed County", "003")
    owed(make_stringer_bridge(other.agency, "LEAK-7"), on=in_days(3))
    assert b"LEAK-7" not in read(client, address(feed))
    assert b"LEAK-7" in read(client, address(other))
    # One who joins the other agency does not thereby see it through the key of the first.
    Membership.objects.create(person=feed.people["inspector"], agency=other.agency, role="inspector")
    assert b"LEAK-7" not in read(client, address(feed))


def test_what_is_done_or_put_off_the_plan_is_gone(feed, client):
    where = address(feed)
    Reminder.objects.update(state="done")
    feed.day.delete()
    body = read(client, where)
    assert b"VEVENT" not in body and b"END:VCALENDAR" in body


def test_no_more_than_five_addresses(feed):
    for _ in range(5):
        address(feed)
    answer = feed.client("inspector").post("/plan/calendar/make/")
    assert answer.status_code == 409 and "revoke one first" in answer.content.decode()
