"""The field's door under faults: cut between keeping and filing, two sendings at once, hostile content."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.utils import timezone
from hypothesis import HealthCheck, given, settings

from inspections.actions.field import receive_record as door
from inspections.actions.field.photos import begin_photo
from inspections.models import Inspection, PhotoUpload, Receipt
from inspections.tasks import sweep_receipts
from inventory.models import Document, Event
from tests.conftest import absent
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.field_records import DEVICE, begin, finding_row, inspection_record, jpeg, put, send, sent
from tests.makers.hostile_records import ANYTHING, PLACES, changed


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def inspector(county):
    return county.client("inspector")


def age(rows, **moments):
    rows.update(**{name: timezone.now() - timedelta(hours=hours) for name, hours in moments.items()})


def test_the_site_dies_between_keeping_and_filing(bridge, county):
    """Kept in a transaction of its own: the sweep files it, once, however often it comes by."""
    record = inspection_record(bridge, findings=[finding_row(bridge)])
    door.keep_record(record=record, by=county.people["inspector"], at=timezone.now(), way="sent")
    assert sweep_receipts() == 0, "a request may still be at work on it"
    age(Receipt.objects, received_at=1)
    assert sweep_receipts() == 1 and sweep_receipts() == 0
    assert Inspection.objects.get().state == "submitted" and Receipt.objects.get().state == "filed"


def test_a_fault_while_filing_leaves_the_record_kept(bridge, inspector, monkeypatch):
    def broken(filing):
        raise RuntimeError("disk gone")

    record = inspection_record(bridge)
    with monkeypatch.context() as patch:
        patch.setitem(door.FILERS, "inspection", broken)
        answer = sent(inspector, record)
        assert answer["state"] == "kept" and "kept" in answer["sentences"][0]
        assert sent(inspector, record)["state"] == "kept"
    assert not Inspection.objects.exists()
    assert sent(inspector, record)["state"] == "filed", "sent again it is filed at once, without the sweep"
    assert Inspection.objects.count() == 1


def test_nothing_of_a_record_is_left_where_its_filing_breaks_off(bridge, inspector, monkeypatch):
    def breaks_off(*arguments, **named):
        raise RuntimeError("cut")

    with monkeypatch.context() as patch:
        patch.setattr("inspections.actions.field.file_inspection.submit_inspection", breaks_off)
        sent(inspector, inspection_record(bridge, findings=[finding_row(bridge)]))
    assert not Inspection.objects.exists() and Receipt.objects.get().state == "kept"


@pytest.fixture
def shared_database(transactional_db):
    if connection.vendor == "sqlite" and "memory" in str(connection.settings_dict["NAME"]):
        absent("a database that two connections can open (SPANLEDGER_TEST_SQLITE=<file> or PostgreSQL)")


def test_two_sendings_at_once_are_one_inspection(shared_database):
    county = make_county()
    bridge = make_stringer_bridge(county.agency)
    record = inspection_record(bridge, findings=[finding_row(bridge)])

    def once(_n):
        try:
            return send(county.client("inspector"), record).json()
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as pool:
        answers = list(pool.map(once, range(4)))
    assert Receipt.objects.count() == Inspection.objects.count() == 1
    assert {answer["record"] for answer in answers} == {record["record"]}
    assert sum(not answer["already"] for answer in answers) == 1
    assert sent(county.client("inspector"), record)["state"] == "filed"


def test_the_same_photograph_twice_at_once_is_kept_once(shared_database):
    county = make_county()
    bridge = make_stringer_bridge(county.agency)
    identity, data = str(uuid4()), jpeg(31)
    begin(county.client("inspector"), identity, data, bridge)

    def once(_n):
        try:
            return put(county.client("inspector"), identity, 0, data).status_code
        finally:
            connection.close()

    with ThreadPoolExecutor(3) as pool:
        assert set(pool.map(once, range(3))) <= {200, 409}
    assert PhotoUpload.objects.get().state == "kept" and Document.objects.count() == 1


def test_a_photograph_whole_but_not_finished_is_finished_by_the_sweep(bridge, inspector, monkeypatch):
    identity, data = str(uuid4()), jpeg(32)
    begin(inspector, identity, data, bridge)

    def dies(**named):
        raise RuntimeError("killed")

    with monkeypatch.context() as patch:
        patch.setattr("inspections.actions.field.photos.receive_photo", dies)
        assert put(inspector, identity, 0, data).status_code == 500
    assert inspector.get(f"/field/photos/{identity}/").json()["received_bytes"] == len(data)
    age(PhotoUpload.objects, touched_at=1)
    assert sweep_receipts() == 1
    assert PhotoUpload.objects.get().state == "kept" and Document.objects.count() == 1


def test_what_was_begun_and_left_is_swept_with_a_word(bridge, inspector, own_files):
    identity, data = str(uuid4()), jpeg(33)
    begin(inspector, identity, data, bridge)
    put(inspector, identity, 0, data[:100])
    age(PhotoUpload.objects, touched_at=24 * 29)
    assert sweep_receipts() == 0
    age(PhotoUpload.objects, touched_at=24 * 31)
    assert sweep_receipts() == 1
    assert Event.objects.filter(verb="give_up_photo").count() == 1
    assert begin(inspector, identity, data, bridge).json()["received_bytes"] == 0


def test_a_wrong_checksum_for_ever_ends(bridge, inspector, own_files):
    """The device names a checksum that the bytes never have: after three wholes the bytes are put aside."""
    identity, data = str(uuid4()), jpeg(34)
    begin(inspector, identity, data, bridge, sha256="0" * 64)
    states = [put(inspector, identity, 0, data).json()["state"] for _ in range(3)]
    assert states == ["open", "open", "refused"]
    assert (own_files / "aside" / f"{identity}.bin").read_bytes() == data


def test_uploads_of_two_people_of_one_county_do_not_cross(bridge, county):
    data, identity = jpeg(35), uuid4()
    about = {"sha256": "0" * 64, "size_bytes": len(data), "structure": bridge.pk, "device": DEVICE}
    first = begin_photo(identity=identity, about=about, by=county.people["inspector"], at=timezone.now())
    again = begin_photo(identity=identity, about=about, by=county.people["engineer"], at=timezone.now())
    assert first.pk == again.pk and again.person == county.people["inspector"]


@pytest.mark.django_db
@settings(
    max_examples=12,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(place=PLACES, value=ANYTHING)
def test_hostile_content_is_filed_or_held_never_a_failure(bridge, inspector, place, value):
    """Any value in any place: an answer in JSON, and the record kept unless a sentence says that it was not."""
    record = inspection_record(
        bridge,
        findings=[finding_row(bridge)],
        photos=[{"identity": str(uuid4()), "caption": "x", "finding": None}],
        elements=[{"number": 117, "unit": "ft", "total": 1, "cs1": 1, "cs2": 0, "cs3": 0, "cs4": 0, "note": ""}],
        channel=[],
    )
    record["channel"] = [{}] if place[0] == "channel" and len(place) > 1 else []
    answer = send(inspector, changed(record, place, value))
    assert answer.status_code in (200, 400), (place, value, answer.content)
    told = answer.json()
    if answer.status_code == 200:
        assert told["state"] in ("filed", "held"), (place, value, told)
        assert Receipt.objects.filter(identity=record["record"]).exists()
    else:
        assert told["sentences"]
