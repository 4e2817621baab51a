"""What the crew sees at the road, once and for ever: photograph, place, the days of the law, the supervisor told."""

from datetime import date, timedelta

import pytest
from pyproj import Geod

from inspections.actions import signs
from inspections.actions.remind.refresh import refresh_reminders
from inspections.models import OwedMessage, Reminder
from inspections.pages.sign_place import place_words
from inspections.rules.refusals import Refused
from inventory.actions.receive_photo import receive_photo
from inventory.models import Event
from tests.makers.county import make_stringer_bridge
from tests.makers.critical import jpeg

TODAY = date(2026, 6, 15)


def photo_of(structure, person, now, colour=(10, 20, 30)):
    return receive_photo(structure=structure, data=jpeg(colour), title="Sign", by=person, at=now)


@pytest.fixture
def crew(county):
    return county.people["crew"]


@pytest.fixture
def standing(sign, crew, now):
    return signs.confirm_sign(sign=sign, on=TODAY - timedelta(days=1), by=crew, at=now)


def told(verb):
    return Event.objects.filter(verb=verb)


def test_photograph_and_place_stand_with_the_sign_and_in_the_event(sign, bridge, crew, now):
    photo = photo_of(bridge, crew, now)
    signs.confirm_sign(sign=sign, on=TODAY, by=crew, at=now, photo=photo, lon=-97.5, lat=46.401)
    sign.refresh_from_db()
    assert (sign.state, sign.photo, sign.lon, sign.lat) == ("confirmed", photo, -97.5, 46.401)
    assert told("confirm_sign").get().detail == {
        "sign": sign.pk, "on": "2026-06-15", "photo": photo.pk, "lon": -97.5, "lat": 46.401
    }  # fmt: skip


@pytest.mark.parametrize("act", [signs.confirm_sign, signs.report_sign_missing])
def test_the_same_word_sent_again_changes_nothing(sign, bridge, crew, now, act):
    photo = photo_of(bridge, crew, now)
    first = act(sign=sign, on=TODAY, by=crew, at=now, photo=photo, lon=-97.5, lat=46.4)
    again = act(sign=sign, on=TODAY, by=crew, at=now + timedelta(hours=3), photo=photo, lon=-97.5, lat=46.4)
    bare = act(sign=sign, on=TODAY, by=crew, at=now + timedelta(hours=4))
    assert first.pk == again.pk == bare.pk and bare.photo == photo
    assert told("confirm_sign").count() + told("sign_missing").count() == 1


def test_a_photograph_that_comes_later_joins_its_sighting(sign, bridge, crew, now):
    signs.confirm_sign(sign=sign, on=TODAY, by=crew, at=now, lon=-97.5, lat=46.4)
    seen = signs.confirm_sign(sign=sign, on=TODAY, by=crew, at=now, photo=photo_of(bridge, crew, now))
    assert seen.photo is not None and seen.lon == -97.5


def test_a_new_sighting_does_not_borrow_the_photograph_of_the_last(sign, bridge, crew, now):
    signs.confirm_sign(sign=sign, on=TODAY, by=crew, at=now, photo=photo_of(bridge, crew, now), lon=-97.5, lat=46.4)
    gone = signs.report_sign_missing(sign=sign, on=TODAY, by=crew, at=now)
    assert (gone.photo, gone.lon, gone.lat) == (None, None, None)


def test_a_missing_sign_starts_the_thirty_days_anew(standing, bridge, crew, now):
    """30 days: 23 CFR 650.313(l), from memory, and the county's policy: 14 June + 30 days is 14 July."""
    signs.report_sign_missing(sign=standing, on=date(2026, 6, 14), by=crew, at=now)
    refresh_reminders(structure_ids=[bridge.pk], as_of=TODAY, at=now)
    due = Reminder.objects.get(structure=bridge, kind="sign", reason__contains="Put back the sign")
    assert due.due_on == date(2026, 7, 14)


def test_a_second_report_does_not_put_the_days_off(standing, crew, now):
    signs.report_sign_missing(sign=standing, on=date(2026, 6, 14), by=crew, at=now)
    later = signs.report_sign_missing(sign=standing, on=TODAY, by=crew, at=now)
    assert later.missing_seen_on == date(2026, 6, 14)
    assert "still missing" in told("sign_missing").order_by("-id").first().sentence


def test_supervisors_are_told_once_of_each_loss(standing, bridge, county, crew, now):
    for _ in range(2):
        signs.report_sign_missing(sign=standing, on=TODAY, by=crew, at=now)
    message = OwedMessage.objects.get(key__startswith="sign-missing")
    assert message.person == county.people["supervisor"] and message.structure == bridge
    assert "put it back by 15 Jul 2026" in message.sentence
    signs.confirm_sign(sign=standing, on=TODAY, by=crew, at=now)
    tomorrow = now + timedelta(days=1)
    signs.report_sign_missing(sign=standing, on=TODAY + timedelta(days=1), by=crew, at=tomorrow)
    assert OwedMessage.objects.filter(key__startswith="sign-missing").count() == 2


def test_an_older_word_does_not_undo_a_later_one(standing, crew, now):
    """Two phones: what was seen later counts, whichever arrives first."""
    signs.report_sign_missing(sign=standing, on=TODAY, by=crew, at=now)
    with pytest.raises(Refused, match="stays owed"):
        signs.confirm_sign(sign=standing, on=TODAY - timedelta(days=1), by=crew, at=now)
    signs.confirm_sign(sign=standing, on=TODAY, by=crew, at=now)
    with pytest.raises(Refused, match="correct the day"):
        signs.report_sign_missing(sign=standing, on=TODAY - timedelta(days=3), by=crew, at=now)
    standing.refresh_from_db()
    assert standing.state == "confirmed"


@pytest.mark.parametrize(("lon", "lat"), [(181.0, 0.0), (0.0, 91.0), (float("nan"), 1.0), (5.0, None), (None, 5.0)])
def test_a_place_that_cannot_be_is_refused(sign, crew, now, lon, lat):
    with pytest.raises(Refused, match="longitude"):
        signs.confirm_sign(sign=sign, on=TODAY, by=crew, at=now, lon=lon, lat=lat)


def test_a_photograph_of_another_structure_is_refused(sign, county, crew, now):
    other = make_stringer_bridge(county.agency, number="Q-9")
    with pytest.raises(Refused, match="another structure"):
        signs.confirm_sign(sign=sign, on=TODAY, by=crew, at=now, photo=photo_of(other, crew, now))


@pytest.mark.parametrize(("east_ft", "north_ft", "azimuth"), [(450, 0, 90), (-700, 700, 315), (0, -9000, 180)])
def test_the_place_in_words_against_the_ellipsoid(bridge, east_ft, north_ft, azimuth):
    """Second method: the geodesic on the GRS80 ellipsoid (pyproj)."""
    away_ft = (east_ft**2 + north_ft**2) ** 0.5
    lon, lat, _ = Geod(ellps="GRS80").fwd(bridge.lon_deg, bridge.lat_deg, azimuth, away_ft * 0.3048)
    words = place_words(lon, lat, bridge)
    number = float(words.split()[1].replace(",", ""))
    shown_ft = number * (5280 if " mi " in words else 1)
    assert shown_ft == pytest.approx(away_ft, rel=0.02)
    assert {90: " east ", 315: "north-west", 180: " south "}[azimuth] in words


def test_no_place_and_no_structure_place(bridge):
    assert place_words(None, None, bridge) == ""
    assert place_words(bridge.lon_deg, bridge.lat_deg, bridge) == "seen at the structure"
    bridge.lon_deg = None
    assert "46.40000" in place_words(-97.5, 46.4, bridge)
