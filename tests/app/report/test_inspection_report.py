"""The inspection report read back with another program (pypdf): every finding, caption and caution is there.

Images are counted by the reader, and their pixels compared with the picture that was sent.
"""

import io
import re
import uuid

import pytest
from pypdf import PdfReader

from inspections.actions import critical
from inspections.actions.receive import save_draft
from inspections.letters.report import file_name, inspection_report_pdf, report_content
from inspections.letters.report.content import SAFETY
from inspections.models import InspectionPhoto
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.critical import make_critical, make_photo
from tests.makers.inspected import bar_readings, decay, draft, make_stressed_deck, rated, submitted

pytestmark = pytest.mark.django_db


def read(pdf: bytes) -> tuple[list[str], list]:
    reader = PdfReader(io.BytesIO(pdf))
    pages = [plain(page.extract_text()) for page in reader.pages]
    return pages, [image for page in reader.pages for image in page.images]


def plain(text: str) -> str:
    """Without line ends and the hyphens that break words at them."""
    return re.sub(r"\s+", " ", text)


def squeezed(text: str) -> str:
    """A column may break a word anywhere: compare letters only."""
    return re.sub(r"[\s\u00ad\u2010-]+", "", text)


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def inspected(county, bridge, now):
    """Two findings, one grave; three photographs: of the first finding, of the second, and of the whole."""
    by = county.people["inspector"]
    identity = uuid.uuid4()
    photos = [
        make_photo(bridge, by, now, colour=(40 * n, 20, 90), title=title)
        for n, title in enumerate(("Stringer 4 from below", "Crack at midspan", "Looking upstream"), start=1)
    ]
    findings = [
        decay(bridge, identity=identity, note="Soft to the awl."),
        decay(bridge, kind="crack", member_number=7, station_ft=9.0, depth_in=2.0, face="left", photo=photos[1]),
    ]
    inspection = rated(bridge, by, now, findings, weather="Rain, windy", team="T. Test")
    InspectionPhoto.objects.create(
        inspection=inspection, document=photos[0], finding_identity=identity, caption="Decay begun at stringer 4"
    )
    InspectionPhoto.objects.create(inspection=inspection, document=photos[2], order=1)
    return inspection


def test_everything_of_it_stands_in_the_pdf(inspected):
    pages, images = read(inspection_report_pdf(report_content(inspected)))
    whole = squeezed(" ".join(pages))
    for said in (
        "Q-1", "Heron Road", "Sedge Creek", "Rain, windy", "T. Test", "14 Jun 2026", "inspector-001",
        "7 Good", "6 Satisfactory", "first rating", "Decay on a face", "Crack across the grain", "stringer 4",
        "stringer 7", "Soft to the awl", "Decay begun at stringer 4", "Crack at midspan", "Looking upstream",
        "not yet reviewed", "To the engineer at once", "A crack across the grain, 2 in deep",
    ):  # fmt: skip
        assert squeezed(said) in whole, said
    assert len(images) == 3


def test_the_safety_sentence_and_the_count_stand_on_every_page(inspected):
    pages, _images = read(inspection_report_pdf(report_content(inspected)))
    assert len(pages) >= 2
    for number, text in enumerate(pages, start=1):
        assert squeezed(SAFETY) in squeezed(text)
        assert f"page {number} of {len(pages)}" in text


def test_photographs_keep_their_colours(inspected):
    """A second method: the picture decoded from the PDF has the colour that was sent, within what JPEG loses."""
    _pages, images = read(inspection_report_pdf(report_content(inspected)))
    found = {image.image.convert("RGB").getpixel((20, 20))[0] // 20 * 20 for image in images}
    assert found == {40, 80, 120}


def test_the_same_rows_give_the_same_bytes(inspected):
    assert inspection_report_pdf(report_content(inspected)) == inspection_report_pdf(report_content(inspected))


def test_it_is_marked_for_the_archive(inspected):
    """PDF/A-2b says so in its metadata (ISO 19005-2: part 2, conformance B)."""
    reader = PdfReader(io.BytesIO(inspection_report_pdf(report_content(inspected))))
    told = reader.trailer["/Root"]["/Metadata"].get_data().decode()
    assert re.search(r"pdfaid:part>2<", told)
    assert re.search(r"pdfaid:conformance>B<", told)
    assert reader.metadata.title == "Routine inspection, Q-1"


def test_words_of_the_record_are_never_markup(county, bridge, now):
    evil = '#image("/etc/passwd") $x$ *bold* <script>alert(1)</script> \\ @ref'
    inspection = submitted(bridge, county.people["inspector"], now, [decay(bridge, note=evil)], team=evil)
    pages, _images = read(inspection_report_pdf(report_content(inspection)))
    assert squeezed(evil) in squeezed(" ".join(pages))
    page = county.client("inspector").get(f"/inspections/{inspection.pk}/report/").content.decode()
    assert "<script>alert" not in page


def test_findings_are_drawn_where_they_are(inspected):
    """Stringers stand at 1 ft and every 2 ft from the left edge: the fourth at 7 ft, the seventh at 13 ft."""
    figures = report_content(inspected)["drawings"]["figures"]
    elevation, section = figures[0]["svg"], figures[1]["svg"]
    assert "Finding in span 1 at 8 ft: 1." in elevation
    assert "Finding in span 1 at 9 ft: 2." in elevation
    assert "Finding 1 at 7.0 ft from the left edge." in section
    assert "Finding 2 at 13.0 ft from the left edge." in section
    spots = [float(x) for x in re.findall(r'class="finding-spot" cx="([\d.]+)"', section)]
    unit = float(re.search(r'data-px-per-ft="([\d.]+)"', section).group(1))
    assert spots[1] - spots[0] == pytest.approx(6.0 * unit, abs=0.02)


def test_a_finding_without_a_place_is_named_as_not_drawn(county, bridge, now):
    nowhere = {"kind": "other", "note": "Debris on the cap.", "span_index": 1}
    by = county.people["inspector"]
    inspection = draft(bridge, by, now, [nowhere])
    content = report_content(inspection)
    assert content["drawings"]["unplaced"] == [1]
    pages, _images = read(inspection_report_pdf(content))
    assert "Without a place on record, and so not drawn: no. 1." in " ".join(pages)
    assert "Draft: not handed in." in " ".join(pages)


def test_what_changed_since_last_time_and_the_rating_before(county, bridge, now, inspected):
    by = county.people["inspector"]
    later = rated(
        bridge, by, now, [decay(bridge, depth_in=1.5)], field_completed_on="2026-06-15", superstructure_rating="5"
    )
    content = report_content(later)
    rows = {row[0]: row for row in content["ratings"]["rows"]}
    assert rows["Superstructure"][1].startswith("5 ")
    assert rows["Superstructure"][2] == "6 Satisfactory, 14 Jun 2026"
    changes = [row[0] for row in content["changes"]["rows"]]
    assert sorted(changes) == ["Grown", "Not seen again"]


def test_critical_findings_and_who_was_told(county, bridge, now, inspected):
    finding = make_critical(bridge, county.people["inspector"], now, inspection=inspected)
    notice = {"whom": "Duty officer", "role": "state", "how": "call", "told_at": now}
    critical.tell_of_critical(finding=finding, notice=notice, by=county.people["supervisor"], at=now)
    pages, _images = read(inspection_report_pdf(report_content(inspected)))
    whole = squeezed(" ".join(pages))
    assert squeezed("Pile 3 of bent 1 hangs free.") in whole
    assert squeezed("Duty officer (by telephone, 15 Jun 2026 07:00)") in whole


def test_bars_read_are_listed_with_their_profile(county, now):
    deck = make_stressed_deck(county.agency)
    inspection = rated(deck, county.people["inspector"], now, bar_readings(deck, 50_000.0), kind="bar_check")
    content = report_content(inspection)
    assert len(content["bars"]["rows"]) == 6
    assert {row[2] for row in content["bars"]["rows"]} == {"50,000"}
    assert len(content["bars"]["figures_of"]) == 1
    pages, _images = read(inspection_report_pdf(content))
    assert squeezed("Bar force, span 1") in squeezed(" ".join(pages))


def test_elements_with_their_quantities(county, bridge, now):
    by = county.people["inspector"]
    inspection = draft(bridge, by, now)
    element = {"number": 111, "unit": "ft", "total": 180, "cs1": 100, "cs2": 50, "cs3": 30, "cs4": 0}
    save_draft(inspection=inspection, revision=1, fields={}, findings=[], elements=[element], by=by, at=now)
    rows = report_content(inspection)["elements"]["rows"]
    assert rows[0][2:7] == ["180", "100", "50", "30", "0"]


def test_a_photograph_whose_file_is_gone_is_named_in_its_place(inspected):
    photo = inspected.photos.first().document
    photo.served.delete(save=False)
    pages, images = read(inspection_report_pdf(report_content(inspected)))
    assert len(images) == 2
    assert "The file of this photograph cannot be read." in " ".join(pages)
    assert squeezed("Decay begun at stringer 4") in squeezed(" ".join(pages))


def test_forty_photographs(county, bridge, now):
    by = county.people["inspector"]
    inspection = submitted(bridge, by, now)
    for number in range(40):
        photo = make_photo(bridge, by, now, colour=(6 * number, 100, 200), title=f"View {number}")
        InspectionPhoto.objects.create(inspection=inspection, document=photo, order=number)
    pages, images = read(inspection_report_pdf(report_content(inspection)))
    whole = squeezed(" ".join(pages))
    assert len(images) == 40
    for number in range(40):
        assert squeezed(f"Photo {number + 1}. View {number}. The whole") in whole


def test_page_and_file_for_those_who_may_see_it(county, inspected):
    client = county.client("reviewer")
    page = client.get(f"/inspections/{inspected.pk}/report/").content.decode()
    for said in ("Decay begun at stringer 4", "Soft to the awl", SAFETY.split(",")[0], "report.pdf"):
        assert said in page
    answer = client.get(f"/inspections/{inspected.pk}/report.pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    stranger = make_county("Marrow County", "003").client("engineer")
    for address in ("report/", "report.pdf"):
        assert stranger.get(f"/inspections/{inspected.pk}/{address}").status_code == 404


@pytest.mark.parametrize(
    ("number", "name"),
    [("Q-1", "inspection-Q-1-7.pdf"), ('a"b/../c', "inspection-a-b-c-7.pdf"), ("é", "inspection-7.pdf")],
)
def test_file_names_are_plain(number, name):
    assert file_name(number, 7) == name
