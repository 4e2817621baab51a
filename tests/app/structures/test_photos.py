"""Photographs: a clean copy is shown to those who may see it; damaged, huge and false files get a sentence.

Second method: the served bytes are decoded again; pictures are made here with known colours and metadata.
"""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from inventory.models import Document
from tests.makers.county import make_county, make_stringer_bridge

SECRET = "made by a phone at home"


@pytest.fixture
def bridge(county, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return make_stringer_bridge(county.agency)


def picture(kind="JPEG", size=(60, 40), colour=(200, 30, 30), orientation=None) -> bytes:
    image = Image.new("RGB", size, colour)
    exif = Image.Exif()
    exif[0x010E] = SECRET
    if orientation:
        exif[0x0112] = orientation
    kept = io.BytesIO()
    image.save(kept, kind, exif=exif.tobytes())
    return kept.getvalue()


def send(client, bridge, data: bytes, name="deck.jpg", **more):
    values = {"photo": SimpleUploadedFile(name, data), "title": "Deck, looking north"} | more
    return client.post(f"/structures/{bridge.pk}/photos/new/", values)


def shown(client, photo) -> tuple[bytes, dict]:
    response = client.get(f"/photos/{photo.pk}/")
    assert response.status_code == 200
    return b"".join(response.streaming_content), response.headers


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_the_clean_copy_is_the_picture_without_its_metadata(county, bridge, kind):
    data = picture(kind)
    assert SECRET.encode() in data
    assert send(county.client("inspector"), bridge, data).status_code == 302
    photo = Document.objects.get()
    served, headers = shown(county.client("reviewer"), photo)
    assert SECRET.encode() not in served
    copy = Image.open(io.BytesIO(served))
    assert copy.format == "JPEG" and copy.size == (60, 40) and not copy.getexif()
    assert all(abs(a - b) < 8 for a, b in zip(copy.getpixel((30, 20)), (200, 30, 30), strict=True))
    assert headers["Content-Type"] == "image/jpeg" and headers["X-Content-Type-Options"] == "nosniff"
    with photo.received.open() as kept:
        assert kept.read() == data
    assert bridge.events.get().verb == "receive_photo"


def test_a_picture_taken_sideways_stands_upright(county, bridge):
    # EXIF orientation 6: the camera was turned, so 60 x 40 is shown as 40 x 60 (EXIF standard, memory)
    send(county.client("crew"), bridge, picture(orientation=6))
    served, _ = shown(county.client("crew"), Document.objects.get())
    assert Image.open(io.BytesIO(served)).size == (40, 60)


def test_sending_the_same_file_again_keeps_one(county, bridge):
    for _ in range(2):
        assert send(county.client("office"), bridge, picture()).status_code == 302
    assert Document.objects.count() == 1 and bridge.events.count() == 1


def bomb() -> bytes:
    kept = io.BytesIO()
    Image.new("1", (30_000, 30_000)).save(kept, "PNG")
    return kept.getvalue()


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("empty", b""),
        ("words", b"this is no picture" * 50),
        ("a page", b"<html><script>alert(1)</script></html>"),
        ("a drawing", b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"),
        ("cut short", picture(size=(900, 700))[:700]),
        ("a gif", b"GIF89a\x01\x00\x01\x00\x00\x00\x00;"),
        ("damaged", picture()[:40] + b"\xff" * 400),
    ],
)
def test_what_is_no_photograph_is_refused_with_a_sentence(county, bridge, name, data):
    response = send(county.client("office"), bridge, data)
    assert response.status_code == 422
    assert b"Nothing was saved yet" in response.content
    assert not Document.objects.exists() and not bridge.events.exists()


def test_a_picture_that_would_fill_the_memory_is_refused(county, bridge):
    data = bomb()
    assert len(data) < 1_000_000, "small on the wire, 900 million pixels when opened"
    response = send(county.client("office"), bridge, data)
    assert response.status_code == 422 and not Document.objects.exists()


def test_a_file_that_is_too_large_is_refused(county, bridge, monkeypatch):
    monkeypatch.setattr("inventory.rules.photo.MOST_BYTES", 100)
    response = send(county.client("office"), bridge, picture())
    assert response.status_code == 422 and b"The file is larger than" in response.content


def test_who_may_see_and_add(county, bridge):
    assert send(county.client("reviewer"), bridge, picture()).status_code == 403
    assert send(county.client("crew"), bridge, picture()).status_code == 302
    photo = Document.objects.get()
    stranger = make_county("Marrow County", "003")
    assert stranger.client("office").get(f"/photos/{photo.pk}/").status_code == 404
    assert send(stranger.client("office"), bridge, picture(colour=(1, 2, 3))).status_code == 404
