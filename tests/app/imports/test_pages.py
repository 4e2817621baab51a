"""The pages: send, preview, import; held values; the worklist; and who may do what."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.models import HeldChange, Structure
from inventory.records import received
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.record_files import record, write_records

pytestmark = pytest.mark.django_db
NUMBERS = ["000000000091101", "000000000091102"]


@pytest.fixture(autouse=True)
def own_state(settings, tmp_path):
    settings.STATE_DIR = tmp_path / "state"


@pytest.fixture
def quill(db):
    return make_county("Quill County", "091")


def sent(client, county, content: bytes, name="records.txt", **options):
    data = {"agency": county.agency.pk, "file": SimpleUploadedFile(name, content), "timber_only": "on"} | options
    return client.post(reverse("inventory:import"), data, follow=True)


def file_of(tmp_path, *records) -> bytes:
    return write_records(tmp_path / "up.txt", records).read_bytes()


def waiting_files():
    return list(received.folder().iterdir())


def test_send_preview_import(quill, tmp_path):
    client = quill.client("office")
    page = sent(client, quill, file_of(tmp_path, *(record(i008=number) for number in NUMBERS), record(i008="")))
    assert page.request["PATH_INFO"] == reverse("inventory:import_preview")
    assert "Nothing is saved yet" in page.text and "the structure number is missing" in page.text
    assert not Structure.objects.exists() and len(waiting_files()) == 1
    done = client.post(reverse("inventory:import_preview"), follow=True)
    assert "is imported" in done.text
    assert Structure.objects.filter(agency=quill.agency).count() == 2 and not waiting_files()
    assert quill.agency.events.get(verb="import_records").by == quill.people["office"]


def test_only_lines_of_the_county(quill, tmp_path):
    content = file_of(tmp_path, record(i008=NUMBERS[0]), record(i008=NUMBERS[1], i003="013"))
    client = quill.client("administrator")
    sent(client, quill, content, only_county="on")
    client.post(reverse("inventory:import_preview"))
    assert Structure.objects.get().number == NUMBERS[0]


@pytest.mark.parametrize("role", ["inspector", "crew", "supervisor", "engineer", "reviewer"])
@pytest.mark.parametrize("page", ["import", "import_preview", "import_done", "held"])
def test_only_the_office_and_administrators(quill, role, page):
    client = quill.client(role)
    assert client.get(reverse(f"inventory:{page}")).status_code == 403
    assert client.post(reverse(f"inventory:{page}")).status_code == 403


def test_not_into_another_agency(quill, tmp_path):
    heron = make_county("Heron County", "013")
    page = sent(quill.client("office"), heron, file_of(tmp_path, record()))
    assert page.request["PATH_INFO"] == reverse("inventory:import") and not Structure.objects.exists()


def test_a_waiting_file_belongs_to_who_sent_it(quill, tmp_path):
    first, second = quill.client("office"), quill.client("administrator")
    sent(first, quill, file_of(tmp_path, record()))
    session = second.session
    session["record_file_waiting"] = dict(first.session["record_file_waiting"])
    session.save()
    page = second.post(reverse("inventory:import_preview"), follow=True)
    assert "no longer kept here" in page.text and not Structure.objects.exists()


def test_a_role_lost_between_preview_and_import(quill, tmp_path):
    client = quill.client("office")
    sent(client, quill, file_of(tmp_path, record()))
    quill.people["office"].memberships.update(role="reviewer")
    assert client.post(reverse("inventory:import_preview")).status_code == 403
    assert not Structure.objects.exists()


def test_a_file_changed_on_disk_is_not_imported(quill, tmp_path):
    client = quill.client("office")
    sent(client, quill, file_of(tmp_path, record()))
    (kept,) = waiting_files()
    kept.write_bytes(file_of(tmp_path, record(), record(i008=NUMBERS[1])))
    page = client.post(reverse("inventory:import_preview"), follow=True)
    assert "not the one that was looked at" in page.text and not Structure.objects.exists()


def test_confirming_twice_is_harmless(quill, tmp_path):
    client = quill.client("office")
    sent(client, quill, file_of(tmp_path, record()))
    client.post(reverse("inventory:import_preview"))
    again = client.post(reverse("inventory:import_preview"), follow=True)
    assert again.status_code == 200 and "No file is waiting" in again.text
    assert Structure.objects.count() == 1


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "The file is empty"),
        (b"PK\x03\x04" + b"\x00" * 90, "workbook"),
        (bytes(range(256)) * 9, "binary"),
        (b"name,age\nA,1\n", "some other table"),
        (b"<FHWAELEMENT></FHWAELEMENT>", "element data"),
    ],
)
def test_wrong_files_get_a_sentence_on_the_form(quill, content, words):
    page = sent(quill.client("office"), quill, content, name="records.csv")
    assert page.status_code == 200 and words in page.text and not waiting_files()


def test_too_large(quill, settings, tmp_path):
    settings.RECORD_FILE_MAX_BYTES = 1000
    page = sent(quill.client("office"), quill, file_of(tmp_path, record()))
    assert page.status_code == 200 and "the limit is" in page.text and not waiting_files()


def test_nothing_chosen(quill):
    page = quill.client("office").post(reverse("inventory:import"), {"agency": quill.agency.pk})
    assert page.status_code == 200 and "Choose the file first" in page.text


def test_what_a_file_says_is_shown_as_text(quill, tmp_path):
    """A record is strange input: markup in it stays text on the page."""
    content = file_of(tmp_path, record(i041="<b>", i008=NUMBERS[0]))
    page = sent(quill.client("office"), quill, content)
    assert "&lt;b&gt;" in page.text and "<b>" not in page.text


class TestHeld:
    @pytest.fixture
    def hold(self, quill):
        structure = make_stringer_bridge(quill.agency, adt=300, hand_entered=["adt"])
        return HeldChange.objects.create(structure=structure, field="adt", county_value=300, record_value=120)

    def decide(self, client, hold, decision):
        return client.post(reverse("inventory:held"), {"hold": hold.pk, "decision": decision}, follow=True)

    def test_keep(self, quill, hold):
        page = self.decide(quill.client("office"), hold, "kept")
        hold.refresh_from_db()
        assert hold.decision == "kept" and hold.decided_by == quill.people["office"]
        assert hold.structure.adt == 300 and "Nothing is held" in page.text

    def test_take(self, quill, hold):
        self.decide(quill.client("office"), hold, "taken")
        structure = Structure.objects.get(pk=hold.structure_id)
        assert structure.adt == 120 and structure.hand_entered == [] and structure.revision == 1
        assert structure.events.get(verb="decide_held").detail["county"] == 300

    def test_take_a_position(self, quill, hold):
        hold.field, hold.county_value, hold.record_value = "position", [-97.5, 46.4], [-97.6, 46.5]
        hold.save()
        self.decide(quill.client("office"), hold, "taken")
        structure = Structure.objects.get(pk=hold.structure_id)
        assert (structure.lon_deg, structure.lat_deg) == (-97.6, 46.5)

    def test_settled_once(self, quill, hold):
        self.decide(quill.client("office"), hold, "kept")
        assert self.decide(quill.client("office"), hold, "taken").status_code == 404
        assert Structure.objects.get(pk=hold.structure_id).adt == 300

    def test_a_restriction_is_the_engineers(self, quill, hold):
        hold.field, hold.county_value, hold.record_value = "restriction", "closed", "open"
        hold.save()
        page = self.decide(quill.client("office"), hold, "taken")
        hold.refresh_from_db()
        assert "the engineer decides" in page.text and hold.decision == ""

    def test_anothers_holds_do_not_exist(self, hold):
        heron = make_county("Heron County", "013")
        client = heron.client("office")
        assert hold.structure.number not in client.get(reverse("inventory:held")).text
        assert self.decide(client, hold, "kept").status_code == 404

    @pytest.mark.parametrize("data", [{}, {"hold": "x", "decision": "kept"}, {"hold": "999999", "decision": "kept"}])
    def test_nonsense(self, quill, hold, data):
        assert quill.client("office").post(reverse("inventory:held"), data).status_code == 404


class TestMissing:
    def test_records_say_what_they_lack(self, quill, tmp_path):
        client = quill.client("office")
        sent(client, quill, file_of(tmp_path, record(i048="0")))
        client.post(reverse("inventory:import_preview"))
        page = quill.client("reviewer").get(reverse("inventory:missing"))
        assert "No span is entered" in page.text and "the record says 1 span" in page.text
        assert "MAX_SPAN_LEN_MT_048 0, item 48 cannot be zero" in page.text

    def test_a_structure_with_its_members_is_not_on_the_list(self, quill):
        structure = make_stringer_bridge(quill.agency)
        structure.spans.get().members.update(species="Douglas Fir-Larch", grade="No. 1")
        assert structure.number not in quill.client("office").get(reverse("inventory:missing")).text

    def test_anothers_structures_are_not_shown(self, quill):
        heron = make_county("Heron County", "013")
        Structure.objects.create(agency=heron.agency, number="H-1", state_code="38")
        assert "H-1" in heron.client("office").get(reverse("inventory:missing")).text
        assert "H-1" not in quill.client("office").get(reverse("inventory:missing")).text

    def test_nearest_to_complete_first(self, quill):
        Structure.objects.create(agency=quill.agency, number="A-0", state_code="38")
        structure = make_stringer_bridge(quill.agency, "Z-9")
        structure.spans.get().members.all().delete()
        text = quill.client("office").get(reverse("inventory:missing")).text
        assert text.index("Z-9") < text.index("A-0")
