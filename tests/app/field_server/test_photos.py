"""Photographs in pieces: the bytes kept are the bytes sent (hashlib holds them), the copy shown carries no metadata,
and what is no photograph is put aside with a sentence."""

import hashlib
import io
import struct
import zlib
from uuid import uuid4

import pytest
from PIL import Image

from inspections.models import Finding, InspectionPhoto, PhotoUpload
from inventory.models import Document
from tests.makers.county import make_county
from tests.makers.field_records import begin, finding_row, inspection_record, jpeg, put, send_photo, sent


def kept_bytes(document) -> bytes:
    with document.received.open() as file:
        return file.read()


def test_the_whole_way_in_pieces(bridge, inspector):
    identity, data = str(uuid4()), jpeg(3)
    answer = send_photo(inspector, identity, data, bridge, piece=500)
    assert (answer["state"], answer["received_bytes"], answer["photo"]) == ("kept", len(data), identity)
    document = Document.objects.get(identity=identity)
    assert hashlib.sha256(kept_bytes(document)).hexdigest() == document.sha256 == hashlib.sha256(data).hexdigest()
    assert (document.lon, document.lat) == (-97.5, 46.4) and document.taken_at
    assert inspector.get(f"/field/photos/{identity}/").json()["state"] == "kept"
    assert begin(inspector, identity, data, bridge).json()["state"] == "kept"


def test_a_broken_line_goes_on_where_it_was(bridge, inspector):
    identity, data = str(uuid4()), jpeg(4)
    begin(inspector, identity, data, bridge)
    put(inspector, identity, 0, data[:300])
    wrong = put(inspector, identity, 0, data[:300])
    assert wrong.status_code == 409 and wrong.json()["received_bytes"] == 300
    assert inspector.get(f"/field/photos/{identity}/").json()["received_bytes"] == 300
    assert put(inspector, identity, 300, data[300:]).json()["state"] == "kept"


def test_a_power_cut_between_file_and_row(bridge, inspector, own_files):
    """The file holds more than the row says: what is too much is cut off, and the whole agrees in the end."""
    identity, data = str(uuid4()), jpeg(5)
    begin(inspector, identity, data, bridge)
    put(inspector, identity, 0, data[:300])
    with (own_files / "arriving" / f"{identity}.part").open("ab") as file:
        file.write(b"half a piece")
    assert put(inspector, identity, 300, data[300:]).json()["state"] == "kept"
    assert kept_bytes(Document.objects.get()) == data


def test_a_file_lost_from_the_disk_is_asked_for_again(bridge, inspector, own_files):
    identity, data = str(uuid4()), jpeg(6)
    begin(inspector, identity, data, bridge)
    put(inspector, identity, 0, data[:300])
    (own_files / "arriving" / f"{identity}.part").unlink()
    assert put(inspector, identity, 300, data[300:]).json()["received_bytes"] == 0
    assert put(inspector, identity, 0, data).json()["state"] == "kept"


def test_damaged_on_the_way_begins_anew(bridge, inspector):
    identity, data = str(uuid4()), jpeg(7)
    begin(inspector, identity, data, bridge)
    answer = put(inspector, identity, 0, data[:-1] + bytes([data[-1] ^ 1])).json()
    assert (answer["state"], answer["received_bytes"]) == ("open", 0) and "checksum" in answer["sentences"][0]
    answer = put(inspector, identity, 0, data).json()
    assert answer["state"] == "kept" and answer["sentences"] == []


def test_photographs_come_before_or_after_their_record(bridge, inspector):
    early, late = str(uuid4()), str(uuid4())
    finding = finding_row(bridge)
    send_photo(inspector, early, jpeg(8), bridge)
    photos = [
        {"identity": early, "caption": "bank", "finding": None},
        {"identity": late, "caption": "rot", "finding": finding["identity"]},
    ]
    answer = sent(inspector, inspection_record(bridge, findings=[finding], photos=photos))
    assert answer["wants_photos"] == [late]
    send_photo(inspector, late, jpeg(9), bridge)
    assert Finding.objects.get().photo.identity.hex == late.replace("-", "")
    linked = InspectionPhoto.objects.order_by("order").values_list("caption", "document__identity")
    assert [(caption, str(identity)) for caption, identity in linked] == [("bank", early), ("rot", late)]


def test_the_same_bytes_under_two_identities_are_kept_once(bridge, inspector):
    first, second, data = str(uuid4()), str(uuid4()), jpeg(10)
    findings = [finding_row(bridge), finding_row(bridge, station_ft=3.0)]
    photos = [
        {"identity": each, "caption": "", "finding": row["identity"]}
        for each, row in zip((first, second), findings, strict=True)
    ]
    sent(inspector, inspection_record(bridge, findings=findings, photos=photos))
    assert [send_photo(inspector, each, data, bridge)["state"] for each in (first, second)] == ["kept", "kept"]
    assert Document.objects.count() == 1 and InspectionPhoto.objects.count() == 2
    assert set(Finding.objects.values_list("photo", flat=True)) == {Document.objects.get().pk}


def one_bit_bomb() -> bytes:
    """30,000 x 30,000 pixels in about half a megabyte: one bit each, all black; a whole and honest PNG (ISO/IEC 15948,
    chunk layout [memory])."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    rows = zlib.compress(bytes(30_000 * (1 + 3_750)), 1)
    head = struct.pack(">IIBBBBB", 30_000, 30_000, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize("kind", ["text", "truncated", "bomb", "html"])
def test_what_is_no_photograph_is_put_aside(bridge, inspector, own_files, kind):
    data = {
        "text": b"This is not a photograph." * 20,
        "truncated": jpeg(11)[:400],
        "bomb": one_bit_bomb() if kind == "bomb" else b"",
        "html": b"<html><script>alert(1)</script></html>",
    }[kind]
    identity = str(uuid4())
    answer = send_photo(inspector, identity, data, bridge, piece=200_000)
    assert answer["state"] == "refused" and answer["sentences"]
    assert (own_files / "aside" / f"{identity}.bin").read_bytes() == data
    assert not Document.objects.exists()


def test_sixty_megabytes_are_refused_before_they_are_sent(bridge, inspector):
    answer = begin(inspector, str(uuid4()), b"x", bridge, size_bytes=60 * 1024 * 1024).json()
    assert answer["state"] == "refused" and "15 MB" in answer["sentences"][0]


def test_nonsense_metadata_is_neither_believed_nor_shown(bridge, inspector):
    exif = Image.Exif()
    exif[0x010E] = "SECRET WORDS" * 20
    exif[0x0132] = "9999:99:99 99:99:99"
    exif[0x8825] = {1: "N", 2: (999.0, 999.0, 999.0)}
    data = jpeg(12, exif=exif.tobytes())
    assert b"Exif" in data and b"SECRET" in data
    identity = str(uuid4())
    assert send_photo(inspector, identity, data, bridge)["state"] == "kept"
    document = Document.objects.get()
    with document.served.open() as file:
        served = file.read()
    assert b"Exif" not in served and b"SECRET" not in served
    assert kept_bytes(document) == data
    small = inspector.get(f"/field/packs/{bridge.pk}/photos/{document.pk}/")
    shown = b"".join(small.streaming_content)
    assert b"Exif" not in shown and max(Image.open(io.BytesIO(shown)).size) <= 480
    shown = b"".join(inspector.get(f"/photos/{document.pk}/").streaming_content)
    assert shown == served


def test_a_photograph_of_a_structure_gone_is_kept_aside(inspector, own_files, bridge):
    identity, data = str(uuid4()), jpeg(13)
    answer = send_photo(inspector, identity, data, None)
    assert answer["state"] == "refused" and "office" in answer["sentences"][0]
    assert (own_files / "aside" / f"{identity}.bin").read_bytes() == data


@pytest.mark.parametrize(
    "changed", [{"sha256": "x"}, {"size_bytes": 0}, {"size_bytes": True}, {"device": "me"}, {"size_bytes": "9"}]
)
def test_an_announcement_without_its_facts_gets_a_sentence(bridge, inspector, changed):
    answer = begin(inspector, str(uuid4()), b"abc", bridge, **changed)
    assert answer.status_code == 400 and answer.json()["sentences"]


def test_another_file_under_one_identity_is_refused(bridge, inspector):
    identity = str(uuid4())
    begin(inspector, identity, jpeg(14), bridge)
    assert begin(inspector, identity, jpeg(15), bridge).status_code == 409


def test_a_piece_too_large_or_without_a_place_gets_a_sentence(bridge, inspector):
    identity, data = str(uuid4()), jpeg(16)
    begin(inspector, identity, data, bridge)
    assert put(inspector, identity, 0, b"x" * (256 * 1024 + 1)).status_code == 400
    answer = inspector.put(f"/field/photos/{identity}/", data, content_type="application/octet-stream")
    assert answer.status_code == 400 and "X-From-Byte" in answer.json()["sentences"][0]
    assert PhotoUpload.objects.get().received_bytes == 0


def test_another_county_sees_no_photograph(bridge, inspector):
    identity = str(uuid4())
    begin(inspector, identity, jpeg(17), bridge)
    other = make_county("Marrow County", "003").client("inspector")
    assert other.get(f"/field/photos/{identity}/").status_code == 404
    assert put(other, identity, 0, b"x").status_code == 404
