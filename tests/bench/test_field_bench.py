"""Sending 200 inspections with 1,000 photographs, through the site's own addresses, against a bare view.

The general tool is one Django view and nothing else: it writes the body to a file and draws it anew with Pillow,
without sign-in, database, pieces, checksum, fsync or links. The site does all of these, announces each photograph and
takes it in pieces of 256 kB. An ordinary run sends a tenth; SPANLEDGER_LONG=1 sends everything. No broker listens.
"""

import io
import os
import resource
import time
from pathlib import Path
from uuid import uuid4

import numpy
import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import RequestFactory
from PIL import Image

from inspections.actions.field.photos import MOST_PIECE
from inspections.models import Inspection, InspectionPhoto
from inventory.models import Document
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.field_records import begin, finding_row, inspection_record, put, sent

INSPECTIONS, PHOTOS_EACH = (200 if os.environ.get("SPANLEDGER_LONG") == "1" else 20), 5
STRUCTURES = 10
AIM = 3.0
# Only a collapse fails: the machine of a test run is shared.
FAIL_OVER = 12.0
MOST_GROWTH_MB = 300


def a_picture() -> bytes:
    """1,280 x 960 pixels of soft noise from a fixed seed, about 100 kB as JPEG: what a device sends after resizing."""
    rough = numpy.random.default_rng(5).integers(0, 255, (60, 80, 3), dtype=numpy.uint8)
    file = io.BytesIO()
    Image.fromarray(rough).resize((1280, 960), Image.Resampling.BICUBIC).save(file, "JPEG", quality=82)
    return file.getvalue()


def many(picture: bytes, count: int) -> list[bytes]:
    """The picture with another comment each (marker FFFE, ITU-T T.81 [memory]), so that no two files are the same."""
    made = []
    for number in range(count):
        words = f"number {number}".encode()
        made.append(picture[:2] + b"\xff\xfe" + (len(words) + 2).to_bytes(2, "big") + words + picture[2:])
    return made


def with_bare_view(pictures: list[bytes], folder: Path) -> float:
    folder.mkdir()

    def view(request):
        name = folder / uuid4().hex
        name.write_bytes(request.body)
        with Image.open(name) as picture:
            small = picture.convert("RGB")
        small.thumbnail((1800, 1800))
        small.save(name.with_suffix(".jpg"), "JPEG", quality=86)
        return HttpResponse("kept")

    factory = RequestFactory()
    start = time.perf_counter()
    for data in pictures:
        assert view(factory.post("/", data, content_type="application/octet-stream")).status_code == 200
    return time.perf_counter() - start


def with_site(client, bridges, pictures: list[bytes]) -> tuple[float, float]:
    """(seconds for the records, seconds for the photographs)."""
    records = photographs = 0.0
    waiting = iter(pictures)
    for number in range(INSPECTIONS):
        bridge = bridges[number % STRUCTURES]
        findings = [finding_row(bridge, station_ft=1.0 + each) for each in range(PHOTOS_EACH)]
        named = [{"identity": str(uuid4()), "caption": "rot", "finding": row["identity"]} for row in findings]
        start = time.perf_counter()
        answer = sent(client, inspection_record(bridge, findings=findings, photos=named))
        records += time.perf_counter() - start
        assert answer["inspection"]["state"] == "submitted" and len(answer["wants_photos"]) == PHOTOS_EACH
        start = time.perf_counter()
        for photo in named:
            send_whole(client, photo["identity"], next(waiting), bridge)
        photographs += time.perf_counter() - start
    return records, photographs


def send_whole(client, identity: str, data: bytes, bridge) -> None:
    assert begin(client, identity, data, bridge).status_code == 200
    for at in range(0, len(data), MOST_PIECE):
        answer = put(client, identity, at, data[at : at + MOST_PIECE])
    assert answer.json()["state"] == "kept"


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


@pytest.mark.bench
@pytest.mark.django_db(transaction=True)
def test_sending_against_a_bare_view(settings, tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("inspections.tasks._tell_worker", lambda *_: None)
    settings.MEDIA_ROOT = tmp_path / "files"
    county = make_county()
    bridges = [make_stringer_bridge(county.agency, number=f"Q-{number}") for number in range(STRUCTURES)]
    pictures = many(a_picture(), INSPECTIONS * PHOTOS_EACH)
    general = with_bare_view(pictures, tmp_path / "general")
    client = county.client("inspector")
    client.get("/field/whoami/")  # the routes are loaded now, not in the first measured request
    before = peak_mb()
    records, photographs = with_site(client, bridges, pictures)
    grown, ratio = peak_mb() - before, photographs / general
    assert Inspection.objects.count() == INSPECTIONS and InspectionPhoto.objects.count() == len(pictures)
    kept = {document.received.size for document in Document.objects.all()}
    assert kept == {len(data) for data in pictures}
    with capsys.disabled():
        print(
            f"\nsending ({connection.vendor}): {INSPECTIONS} inspections in {records:.1f} s, "
            f"{INSPECTIONS / records:.1f} a second; {len(pictures)} photographs of {len(pictures[0]) / 1024:.0f} kB in "
            f"{photographs:.1f} s, {len(pictures) / photographs:.1f} a second; a bare view: {general:.1f} s, ratio "
            f"{ratio:.1f}, aim {AIM:g}; memory grew by at most {grown:.0f} MB to {before + grown:.0f} MB"
        )
    assert ratio < FAIL_OVER and grown < MOST_GROWTH_MB
