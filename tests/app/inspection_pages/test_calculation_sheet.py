"""The calculation sheet as page and PDF: who may read it, what travels with it, and ratings stored long ago."""

import io
import re

import pytest
from django.urls import reverse
from pypdf import PdfReader

from inspections.models import Rating
from inventory.vocabulary.roles import Role
from tests.app.inspection_pages.test_whole_way import rated
from tests.makers.county import make_county
from tests.unit.calculation_sheet.sheets import as_stored_before

pytestmark = pytest.mark.django_db


def pdf_of(client, rating: Rating):
    return client.get(reverse("inspections:calculation_pdf", args=[rating.pk]))


def words_of(response) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(response.content)).pages)


@pytest.fixture
def rating(county, bridge) -> Rating:
    return rated(county, bridge).ratings.get()


def another(rating: Rating, **changes) -> Rating:
    """A further row like a rating; rows themselves never change."""
    fields = {f.name: getattr(rating, f.name) for f in Rating._meta.concrete_fields if f.name != "id"}
    return Rating.objects.create(**fields | {"digest": "0" * 64} | changes)


def test_pdf_travels_with_its_name_and_kind(county, rating):
    response = pdf_of(county.client("reviewer"), rating)
    assert response.status_code == 200 and response["Content-Type"] == "application/pdf"
    name = re.fullmatch(r'inline; filename="([A-Za-z0-9.-]+\.pdf)"', response["Content-Disposition"])[1]
    assert str(rating.pk) in name
    assert response.content.startswith(b"%PDF-") and rating.structure.number in words_of(response)


def test_pdf_is_the_same_whoever_asks_and_whenever(county, rating):
    assert pdf_of(county.client("engineer"), rating).content == pdf_of(county.client("office"), rating).content


def test_pdf_of_another_county_does_not_exist(county, rating):
    other = make_county("Marrow County", "003")
    assert pdf_of(other.client("engineer"), rating).status_code == 404


@pytest.mark.parametrize("role", [role.value for role in Role])
def test_whoever_may_read_the_page_may_read_the_pdf(county, rating, role):
    client = county.client(role)
    page = client.get(reverse("inspections:calculation", args=[rating.pk]))
    assert pdf_of(client, rating).status_code == page.status_code


def test_page_and_pdf_say_the_same(county, rating):
    """Law: one content; every governing factor, the digest and the posting stand in both."""
    client = county.client("engineer")
    page = client.get(reverse("inspections:calculation", args=[rating.pk])).content.decode()
    printed = words_of(pdf_of(client, rating))
    for case in rating.results["governing_cases"]:
        for words in (f"{case['rating_factor']:.3f}", f"{case['lane_effect']:,.0f}", case["name"]):
            assert words in page and words in printed
    assert rating.digest in page and rating.digest in printed
    assert page.count('class="drawing"') >= 4 and "style=" not in page.split("<main")[1]


def test_page_links_to_its_pdf(county, rating):
    page = county.client("engineer").get(reverse("inspections:calculation", args=[rating.pk])).content.decode()
    assert f'href="{reverse("inspections:calculation_pdf", args=[rating.pk])}"' in page


def test_rating_stored_before_governing_cases_still_reads(county, rating):
    old = another(rating, results=as_stored_before(rating.results), kernel_version="1.1")
    client = county.client("engineer")
    page = client.get(reverse("inspections:calculation", args=[old.pk]))
    assert page.status_code == 200 and "before axle positions were kept" in page.content.decode()
    assert "before axle positions were kept" in words_of(pdf_of(client, old)).replace("\n", " ")


def test_rating_that_could_not_be_made_says_what_is_missing(county, rating):
    none = another(
        rating, is_rated=False, reasons=["Span 1: no stringer is on record."], results={}, trace=[], snapshot={}
    )
    client = county.client("engineer")
    page = client.get(reverse("inspections:calculation", args=[none.pk])).content.decode()
    for text in (page, words_of(pdf_of(client, none))):
        assert "no stringer is on record" in text and "Not rated" in text


def test_name_of_the_file_holds_no_sign_that_leaves_it(county, rating):
    rating.structure.number = 'A/../"x"\r\nB'[:20]
    rating.structure.save()
    header = pdf_of(county.client("engineer"), rating)["Content-Disposition"]
    assert re.fullmatch(r'inline; filename="calculation-A-x-B-\d+\.pdf"', header)
