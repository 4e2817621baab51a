"""Records as a device sends them, and small photographs made on the spot."""

import hashlib
import io
import json
from uuid import uuid4

from django.test import Client
from django.utils import timezone
from PIL import Image

from inventory.models import MemberGroup, Structure

DEVICE = "00000000-0000-4000-8000-00000000000d"


def finding_row(structure: Structure, **changed) -> dict:
    """Decay on the bottom of the fourth stringer, by ids and plain values."""
    member = MemberGroup.objects.filter(span__structure=structure).first()
    return {
        "identity": str(uuid4()),
        "kind": "surface_decay",
        "span_index": 1,
        "member": member.pk,
        "member_number": 4,
        "station_ft": 8.0,
        "extent_ft": 2.0,
        "face": "bottom",
        "depth_in": 1.0,
        "note": "",
    } | changed


def inspection_record(structure: Structure, *, findings=(), photos=(), visit=None, **changed) -> dict:
    """A whole routine inspection, asked to be submitted."""
    today = timezone.localdate()
    return {
        "format": 1,
        "kind": "inspection",
        "record": str(uuid4()),
        "device": DEVICE,
        "device_now": timezone.now().isoformat(),
        "made_at": timezone.now().isoformat(),
        "app_version": "1",
        "structure": structure.pk,
        "structure_number": structure.number,
        "inspection": {
            "identity": str(uuid4()),
            "kind": "routine",
            "base_revision": None,
            "field_completed_on": today.isoformat(),
            "team": "",
            "weather": "",
            "deck_rating": "7",
            "superstructure_rating": "6",
            "substructure_rating": "6",
            "notes": "",
            "submit": True,
        }
        | (visit or {}),
        "findings": list(findings),
        "elements": [],
        "channel": [],
        "photos": list(photos),
    } | changed


def send(client: Client, record: dict, **more):
    """The answer to a record posted as JSON."""
    return client.post("/field/records/", json.dumps(record), content_type="application/json", **more)


def sent(client: Client, record: dict) -> dict:
    answer = send(client, record)
    assert answer.status_code == 200, answer.content
    return answer.json()


def jpeg(seed: int = 1, width: int = 64, height: int = 48, **saving) -> bytes:
    """A small picture whose bytes depend on the seed."""
    picture = Image.new("RGB", (width, height))
    picture.putdata([((x * seed) % 256, (x * 7) % 256, (x + seed * 3) % 256) for x in range(width * height)])
    file = io.BytesIO()
    picture.save(file, "JPEG", **saving)
    return file.getvalue()


def begin(client: Client, identity: str, data: bytes, structure: Structure | None, **changed):
    about = {
        "sha256": hashlib.sha256(data).hexdigest(),
        "size_bytes": len(data),
        "structure": structure.pk if structure else 999_999,
        "device": DEVICE,
        "caption": "Stringer 4",
        "taken_at": timezone.now().isoformat(),
        "lon": -97.5,
        "lat": 46.4,
    } | changed
    return client.post(f"/field/photos/{identity}/", json.dumps(about), content_type="application/json")


def put(client: Client, identity: str, start: int, piece: bytes):
    return client.put(
        f"/field/photos/{identity}/",
        piece,
        content_type="application/octet-stream",
        headers={"X-From-Byte": str(start)},
    )


def send_photo(client: Client, identity: str, data: bytes, structure: Structure, piece: int = 4096, **changed) -> dict:
    """A whole photograph in pieces; the last answer."""
    answer = begin(client, identity, data, structure, **changed)
    assert answer.status_code == 200, answer.content
    for start in range(0, len(data), piece):
        answer = put(client, identity, start, data[start : start + piece])
    return answer.json()
