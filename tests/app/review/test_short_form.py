"""The entry page of an inspection that was sent back: just what is asked for, on top, in one sheet with the rest."""

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inspections.actions import review
from inspections.models import InspectionPhoto
from tests.makers.critical import jpeg


@pytest.fixture
def back(judged, people, now):
    found = str(judged.findings.get().identity)
    asked = [
        {"finding": found, "field": "depth_in", "words": "Probe again."},
        {"finding": found, "field": "photo"},
        {"finding": "", "field": "deck_rating", "words": "Rate the deck with the new planks."},
    ]
    return review.send_back(inspection=judged, reason="Depth", asked=asked, by=people["engineer"], at=now)


@pytest.fixture
def sheet(county, back):
    """(client, address, what the page's boxes hold)."""
    client, address = county.client("inspector"), reverse("inspections:edit", args=[back.pk])
    page = client.get(address).content.decode()
    return client, address, page


def boxes(page: str) -> dict:
    """Names and values of the page's inputs and chosen options, read as a browser would send them."""
    form = page[page.index('id="entry"') : page.index("</form>", page.index('id="entry"'))]
    form = re.sub(r"<template>.*?</template>", "", form, flags=re.S)
    typed = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = re.search(r'name="([^"]+)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and 'type="file"' not in tag and 'type="checkbox"' not in tag:
            typed[name[1]] = value[1] if value else ""
    for name, inner in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', form, flags=re.S):
        chosen = re.search(r'value="([^"]*)" selected', inner)
        typed[name] = chosen[1] if chosen else ""
    return typed | {"then": "save"}


def test_on_top_stand_just_the_things_asked_for(sheet):
    _client, _address, page = sheet
    top = page[page.index('id="asked"') : page.index('id="visit"')]
    assert "Probe again." in top and 'name="f-0-depth_in"' in top and 'name="asked-1-photo"' in top
    assert 'href="#id_deck_rating"' in top and top.count("open</span>") == 3
    assert page.count('name="f-0-depth_in"') == 1, "one box for one thing"


def test_answers_are_marked_and_the_rest_stays(sheet, back):
    client, address, page = sheet
    photo = SimpleUploadedFile("a.jpg", jpeg(), content_type="image/jpeg")
    sent = boxes(page) | {"f-0-depth_in": "1-1/2", "asked-1-photo": photo, "deck_rating": "5"}
    assert client.post(address, sent).status_code == 302
    back.refresh_from_db()
    assert [row["answered"] for row in back.asked] == [True, True, True]
    finding = back.findings.get()
    assert finding.depth_in == 1.5 and finding.station_ft == 8.0
    assert str(finding.identity) == back.asked[0]["finding"], "the finding is the same one still"
    assert InspectionPhoto.objects.get().finding_identity == finding.identity
    assert client.get(address).content.decode().count("✓ answered") == 3


def test_submitting_with_something_open_says_what(sheet, back):
    client, address, page = sheet
    answer = client.post(address, boxes(page) | {"f-0-depth_in": "2", "deck_rating": "5", "then": "submit"})
    said = answer.content.decode()
    assert answer.status_code == 200 and "Asked for when it was sent back, and still open" in said
    assert 'href="#asked"' in said and "Give a photograph." in said
    assert boxes(said)["f-0-depth_in"] == "2"


def test_words_are_an_answer(sheet, back):
    client, address, page = sheet
    words = {f"asked-{n}-why_not": "Read again, the same." for n in range(3)}
    assert client.post(address, boxes(page) | words | {"then": "submit"}).status_code == 302
    back.refresh_from_db()
    assert back.state == "submitted"


def test_what_is_no_photograph_is_told_and_nothing_typed_is_lost(sheet, back):
    client, address, page = sheet
    bad = SimpleUploadedFile("a.jpg", b"no picture", content_type="image/jpeg")
    answer = client.post(address, boxes(page) | {"f-0-depth_in": "1.75", "asked-1-photo": bad})
    assert answer.status_code == 200 and boxes(answer.content.decode())["f-0-depth_in"] == "1.75"
    assert "photograph" in answer.content.decode().split('id="entry"')[0].lower()


def test_an_inspection_never_sent_back_has_no_short_form(county, bridge, people, now):
    from tests.makers.inspected import draft

    open_one = draft(bridge, people["inspector"], now)
    page = county.client("inspector").get(reverse("inspections:edit", args=[open_one.pk])).content.decode()
    assert 'id="asked"' not in page
