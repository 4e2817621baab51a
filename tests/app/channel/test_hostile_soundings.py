"""Nonsense from a form or a device is refused in sentences; nothing breaks and nothing is half saved."""

import pytest

from inspections.actions import channel, receive
from inspections.models import ChannelSection, ChannelSurvey
from inspections.rules.refusals import Refused
from tests.makers.county import make_stringer_bridge

pytestmark = [pytest.mark.django_db, pytest.mark.database]
GOOD = [[0, 2], [5, 6], [20, 2]]


@pytest.fixture
def opened(county, now):
    bridge = make_stringer_bridge(county.agency)
    return receive.open_inspection(structure=bridge, kind="routine", by=county.people["inspector"], at=now)


@pytest.mark.parametrize(
    "row",
    [
        {"section": "abc", "points": GOOD},
        {"section": True, "points": GOOD},
        {"section": 10**30, "points": GOOD},
        {"section": None, "name": "", "datum": "", "points": GOOD},
        {"section": None, "name": "x" * 300, "datum": "rail", "points": GOOD},
        {"section": None, "name": "x", "datum": "rail", "points": {"a": 1}},
        {"section": None, "name": "x", "datum": "rail", "points": "0 1 2"},
        {"section": None, "name": "x", "datum": "rail", "points": [[0, 1], [float("inf"), 1], [3, 1]]},
        {"section": None, "name": "x", "datum": "rail", "points": [[0, 1], None, [3, 1]]},
        {"section": None, "name": "x", "datum": "rail", "points": GOOD, "water_ft": float("nan")},
        {"section": None, "name": "x", "datum": "rail", "points": GOOD, "water_ft": "deep"},
        {"section": None, "name": "x", "datum": "rail", "points": GOOD, "method": "m" * 99},
    ],
)
def test_a_device_sends_nonsense(county, opened, now, row):
    with pytest.raises(Refused) as refusal:
        channel.save_surveys(inspection=opened, rows=[row], by=county.people["inspector"], at=now)
    assert all(sentence.endswith(".") for sentence in refusal.value.sentences)
    assert not ChannelSurvey.objects.exists() and not ChannelSection.objects.exists()


@pytest.mark.parametrize(
    "points", ["\x00", "٣ ٤\n٥ ٦\n٧ ٨", "9" * 5000, "-\n-\n-", "0 1 2 3\n" * 50, "1e400 1\n2 1\n3 1"]
)
def test_a_form_sends_nonsense(county, opened, now, points):
    section = ChannelSection.objects.create(structure=opened.structure, name="Upstream", datum="rail")
    sent = {"section": section.pk, "points": points, "seen": ""}
    answer = county.client("inspector").post(f"/inspections/{opened.pk}/soundings/", sent)
    assert answer.status_code in (302, 409, 422)
    for survey in ChannelSurvey.objects.all():
        assert all(isinstance(n, float) and n < 1000 for pair in survey.points for n in pair)


@pytest.mark.parametrize("section", ["", "abc", "-1", "9" * 40, "²"])
def test_a_section_that_is_none(county, opened, section):
    client = county.client("inspector")
    for address in (f"/inspections/{opened.pk}/soundings/?section={section}",):
        assert client.get(address).status_code in (200, 404)
    sent = {"section": section, "points": "0 1\n2 3\n4 1", "s-name": "x", "new-name": "x"}
    assert client.post(f"/inspections/{opened.pk}/soundings/", sent).status_code in (404, 422)
    assert client.post(f"/structures/{opened.structure_id}/channel/section/", sent).status_code in (404, 422)
