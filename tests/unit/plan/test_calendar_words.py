"""Any words in a feed come out as RFC 5545 asks, and come back as they were; no database is needed for due dates."""

from datetime import UTC, date, datetime

import vobject
from hypothesis import example, given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from inspections.letters.calendar_feed import AID, calendar_feed
from inspections.models import Reminder
from inspections.rules.calendar import digest_of, event_uid, is_same, many_lines, one_line
from inventory.models import Agency, Structure

MOMENT = datetime(2026, 6, 15, 12, 0, tzinfo=UTC)


def feed_of(words: str) -> bytes:
    structure = Structure(pk=1, number="Q-1", name=words)
    row = Reminder(
        pk=7, structure=structure, kind="inspection", due_on=date(2026, 7, 1), late_after=date(2026, 7, 1),
        reason=words, created_at=MOMENT,
    )  # fmt: skip
    agency = Agency(pk=1, name="Quill County")
    return calendar_feed(
        agency=agency, days=[], changed={}, dues=[row], address_of=lambda route, pk: f"https://site.example/{pk}/"
    )


@settings(max_examples=80, deadline=None)
@given(st.text(max_size=200))
@example("a\r\nBEGIN:VEVENT\r\nUID:x")
@example('\\n; , : " \x00 \x0b\u2028\x85')
@example("ü" * 100)
@example("🌲" * 60)
def test_any_words(words):
    body = feed_of(words)
    assert b"\n" not in body.replace(b"\r\n", b"") and b"\r" not in body.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in body.split(b"\r\n"))
    calendar = Calendar.from_ical(body)
    assert not [error for part in calendar.walk() for error in part.errors]
    (event,) = calendar.walk("VEVENT")
    assert "\n" not in str(event["summary"]) and str(event["uid"]) == str(event_uid("reminder", 7, MOMENT))
    assert str(event["description"]) == f"{many_lines(words)}\n{AID}"


def test_a_second_reader_takes_awkward_words():
    for words in ("a; b, c\\ d", "line one\nline two", "ü" * 100, "BEGIN:VEVENT"):
        (calendar,) = vobject.readComponents(feed_of(words).decode())
        calendar.validate(raiseException=True)
        assert calendar.vevent.description.value == f"{words}\n{AID}"


@given(st.text())
def test_one_line_is_one_line(words):
    said = one_line(words)
    assert said.splitlines() in ([], [said]) and len(said) <= 160


def test_the_digest_is_sha_256():
    """FIPS 180-2, appendix B.1: the digest of "abc" [memory]."""
    assert digest_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert is_same(digest_of("abc"), digest_of("abc")) and not is_same(digest_of("abc"), digest_of("abd"))


def test_identities_differ_by_row_and_by_site():
    later = datetime(2026, 6, 15, 12, 0, 0, 1, tzinfo=UTC)
    made = {event_uid("reminder", 7, MOMENT), event_uid("field day", 7, MOMENT), event_uid("reminder", 8, MOMENT)}
    assert len(made | {event_uid("reminder", 7, later)}) == 4
