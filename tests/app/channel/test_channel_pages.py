"""Sections laid down, sounded at an inspection, compared; bad input costs nothing that was typed."""

from datetime import date
from xml.etree import ElementTree

import pytest

from inspections.actions import channel, receive
from inspections.models import ChannelSection, ChannelSurvey
from inspections.rules.refusals import Refused, Stale
from inventory.models import Event
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import RATINGS

pytestmark = [pytest.mark.django_db, pytest.mark.database]
SVG = "{http://www.w3.org/2000/svg}"
FLAT = [[0, 2], [5, 6], [15, 6], [20, 2]]
HOLE = [[0, 2], [5, 6], [10, 8], [15, 6], [20, 2]]


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def section(county, bridge, now):
    return channel.save_section(structure=bridge, section=None, name="Upstream face", datum="top of rail",
                                foundation_ft=None, by=county.people["inspector"], at=now)  # fmt: skip


@pytest.fixture
def opened(county, bridge, now):
    return receive.open_inspection(structure=bridge, kind="routine", by=county.people["inspector"], at=now)


def sounded(county, bridge, section, now, on, points, water_ft=4.0):
    by = county.people["inspector"]
    inspection = receive.open_inspection(structure=bridge, kind="routine", by=by, at=now)
    inspection = receive.save_draft(inspection=inspection, revision=0, fields={"field_completed_on": on, **RATINGS},
                                    findings=[], elements=[], by=by, at=now)  # fmt: skip
    rows = [{"section": section.pk, "points": points, "water_ft": water_ft}]
    channel.save_surveys(inspection=inspection, rows=rows, by=by, at=now)
    return receive.submit_inspection(inspection=inspection, revision=1, by=by, at=now)


def post(client, inspection, section, points, **more):
    sent = {"section": section.pk, "points": points, "seen": "", **more}
    return client.post(f"/inspections/{inspection.pk}/soundings/", sent)


def text(answer):
    return " ".join(answer.content.decode().split())


def test_a_section_is_laid_down_and_told_of(county, bridge):
    sent = {"new-name": "Upstream face", "new-datum": "top of the left rail", "new-foundation_ft": "14"}
    client = county.client("inspector")
    assert client.post(f"/structures/{bridge.pk}/channel/section/", sent).status_code == 302
    row = ChannelSection.objects.get()
    assert (row.name, row.datum, row.foundation_ft) == ("Upstream face", "top of the left rail", 14.0)
    assert Event.objects.filter(structure=bridge, verb="save_channel_section").exists()
    again = client.post(f"/structures/{bridge.pk}/channel/section/", sent)
    assert again.status_code == 409 and "choose another name" in text(again) and "top of the left rail" in text(again)


def test_two_pasted_columns_are_soundings(county, opened, section):
    pasted = "station\tdepth\n0\t2\n5\t6\n10\t8\n15\t6.5\n20\t2"
    assert post(county.client("inspector"), opened, section, pasted, water_ft="4").status_code == 302
    survey = ChannelSurvey.objects.get()
    assert survey.points == [[0, 2], [5, 6], [10, 8], [15, 6.5], [20, 2]] and survey.water_ft == 4.0


@pytest.mark.parametrize("separator", [" ", ";", ",", ", ", "   ", ";\t"])
def test_columns_may_be_parted_in_any_usual_way(county, opened, section, separator):
    lines = "\n".join(f"{s}{separator}{d}" for s, d in FLAT)
    assert post(county.client("inspector"), opened, section, lines).status_code == 302
    assert ChannelSurvey.objects.get().points == FLAT


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ("0 2\n5 six\n9 3", "row 2: &#x27;5 six&#x27; is not a station and a depth"),
        ("0 2\n5\n9 3", "row 2"),
        ("0 2\n5 6", "at least 3"),
        ("0 2\n9 6\n5 3", "does not lie beyond 9 ft"),
        ("0 2\n5 600\n9 3", "outside -30 to 150 ft"),
    ],
)
def test_what_cannot_be_is_refused_and_stays_in_the_box(county, opened, section, points, said):
    answer = post(county.client("inspector"), opened, section, points)
    assert answer.status_code in (409, 422) and said in text(answer)
    assert points.splitlines()[0] in answer.content.decode()
    assert not ChannelSurvey.objects.exists()


def test_what_is_odd_is_asked_and_kept_on_a_word(county, opened, section):
    steep = "0 2\n0.05 12\n9 3"
    client = county.client("inspector")
    answer = post(client, opened, section, steep)
    assert "is that a wall?" in text(answer) and not ChannelSurvey.objects.exists()
    assert post(client, opened, section, steep, asked="yes").status_code == 302
    assert ChannelSurvey.objects.exists()


def test_two_people_sounding_the_second_is_told(county, opened, section):
    client = county.client("inspector")
    post(client, opened, section, "0 2\n5 6\n9 2")
    answer = post(client, opened, section, "0 2\n5 7\n9 2")
    assert answer.status_code == 409 and "Someone else changed these soundings" in text(answer)
    assert "5 7" in answer.content.decode() and ChannelSurvey.objects.get().points[1] == [5, 6]


def test_soundings_of_what_was_handed_in_stand(county, bridge, section, now):
    inspection = sounded(county, bridge, section, now, date(2024, 5, 14), FLAT)
    with pytest.raises(Refused, match="no longer be changed"):
        channel.save_surveys(inspection=inspection, rows=[{"section": section.pk, "points": HOLE}],
                             by=county.people["inspector"], at=now)  # fmt: skip
    assert ChannelSurvey.objects.get().points == FLAT


def test_a_datum_that_was_sounded_from_does_not_move(county, bridge, section, now):
    sounded(county, bridge, section, now, date(2024, 5, 14), FLAT)
    with pytest.raises(Refused, match="depths from another datum"):
        channel.save_section(structure=bridge, section=section.pk, name="Upstream face", datum="low chord",
                             foundation_ft=None, by=county.people["inspector"], at=now)  # fmt: skip


def test_a_device_lays_a_section_down_by_its_name_once(county, bridge, opened, now):
    by = county.people["inspector"]
    rows = [{"section": None, "name": "Downstream face", "datum": "top of rail", "points": FLAT, "water_ft": None}]
    for _ in range(2):
        channel.save_surveys(inspection=opened, rows=rows, by=by, at=now)
    assert ChannelSection.objects.get().surveys.get().points == FLAT


def test_rows_of_a_record_are_whole_or_not_at_all(county, bridge, opened, section, now):
    rows = [{"section": section.pk, "points": FLAT}, {"section": None, "name": "x", "datum": "y", "points": [[0, 1]]}]
    with pytest.raises(Refused, match="at least 3"):
        channel.save_surveys(inspection=opened, rows=rows, by=county.people["inspector"], at=now)
    assert not ChannelSurvey.objects.exists() and ChannelSection.objects.count() == 1


def test_a_mark_that_is_not_what_stands_is_stale(county, opened, section, now):
    rows = [{"section": section.pk, "points": FLAT, "seen": "0123456789abcdef"}]
    with pytest.raises(Stale):
        channel.save_surveys(inspection=opened, rows=rows, by=county.people["inspector"], at=now)


def test_the_page_compares_and_draws_to_its_scale(county, bridge, section, now):
    for on, points in ((date(2022, 5, 1), FLAT), (date(2024, 5, 1), FLAT), (date(2026, 5, 1), HOLE)):
        sounded(county, bridge, section, now, on, points)
    page = county.client("reviewer").get(f"/structures/{bridge.pk}/channel/")
    # A hole of 2 ft over 10 ft of flat bed: 10 x 2 / 2 = 10 sq ft, lowered 2 ft at 10 ft. The channel held, under its
    # banks at 2 ft, 4 x (10 + 20) / 2 = 60 sq ft: 10 / 60 is 17 % more.
    assert "last time, 1 May 2024" in text(page) and "the first survey, 1 May 2022" in text(page)
    assert '<td class="figure">10.0</td><td class="figure">0.0</td><td class="figure">2.00</td>' in text(page)
    assert "+17 %" in text(page) and "not on record for this section" in text(page)
    drawing = page.context["sections"][0]["drawing"]
    dots = [dot for dot in ElementTree.fromstring(drawing).iter(f"{SVG}circle") if dot.get("class") == "sounding"]
    xs, ys = ([float(dot.get(name)) for dot in dots] for name in ("cx", "cy"))
    along, down = (xs[-1] - xs[0]) / 20.0, (ys[2] - ys[1]) / 2.0
    assert down / along == pytest.approx(1.0, abs=0.02) and "to one scale" in page.context["sections"][0]["scale_words"]
    for x, (station, _) in zip(xs, HOLE, strict=True):
        assert x - xs[0] == pytest.approx(station * along, abs=0.05)


def test_a_bed_below_the_foundation_calls_for_the_engineer(county, bridge, section, now):
    section.foundation_ft = 7.5
    section.save()
    inspection = sounded(county, bridge, section, now, date(2026, 5, 1), HOLE)
    page = text(county.client("reviewer").get(f"/structures/{bridge.pk}/channel/"))
    assert "0.5 ft below the underside of the footing" in page and "call the engineer now" in page
    inspection.refresh_from_db()
    assert inspection.rating_proposals["scour"]["rating"] == "2"


def test_no_one_sounds_without_leave_or_in_another_county(county, bridge, opened, section):
    for role in ("crew", "office", "reviewer"):
        assert post(county.client(role), opened, section, "0 1\n1 2\n2 1").status_code == 403
    other = make_county("Marrow County", "003")
    for address in (f"/structures/{bridge.pk}/channel/", f"/inspections/{opened.pk}/soundings/"):
        assert other.client("inspector").get(address).status_code == 404
    theirs = make_stringer_bridge(other.agency)
    sent = {"section": section.pk, "s-name": "x"}
    assert other.client("inspector").post(f"/structures/{theirs.pk}/channel/section/", sent).status_code == 404
    unknown = {"section": str(section.pk + 9), "points": "0 1\n1 2\n2 1", "seen": ""}
    address = f"/inspections/{opened.pk}/soundings/"
    assert county.client("inspector").post(address, unknown).status_code == 404
