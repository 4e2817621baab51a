"""The crew's page: photograph from the camera, place by a press, and what was sent shown back."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from inventory.models import Document
from tests.makers.critical import jpeg


@pytest.fixture
def post(county, sign):
    def send(route="confirm_sign", role="crew", **values):
        today = timezone.localdate().isoformat()
        typed = {f"sign-{sign.pk}-{name}": value for name, value in ({"on": today} | values).items()}
        return county.client(role).post(reverse(f"inspections:{route}", args=[sign.pk]), typed)

    return send


def camera(data=None):
    return SimpleUploadedFile("IMG_0001.jpg", jpeg() if data is None else data, content_type="image/jpeg")


def test_the_page_asks_for_photograph_and_place(county, sign):
    page = county.client("crew").get(reverse("inspections:signs")).content.decode()
    assert 'capture="environment"' in page and 'enctype="multipart/form-data"' in page
    assert "data-take-place" in page and "block the road" in page


def test_photograph_and_place_are_kept_and_shown(county, sign, post):
    assert post(photo=camera(), lon="-97.5", lat="46.401").status_code == 302
    sign.refresh_from_db()
    assert sign.state == "confirmed" and sign.photo == Document.objects.get() and sign.lat == 46.401
    page = county.client("crew").get(reverse("inspections:signs")).content.decode()
    assert reverse("inventory:photo", args=[sign.photo_id]) in page
    assert "seen 360 ft north of the structure" in page  # 0.001 degree of latitude is 364.6 ft


def test_without_either_it_works_too(sign, post):
    assert post(route="sign_missing").status_code == 302
    sign.refresh_from_db()
    assert sign.state == "missing" and sign.photo is None


@pytest.mark.parametrize("data", [b"not a picture", b""])
def test_what_is_no_photograph_is_told_and_the_sign_stays(sign, post, data):
    answer = post(photo=camera(data))
    assert answer.status_code == 200 and "photograph" in answer.content.decode().lower()
    sign.refresh_from_db()
    assert sign.state == "ordered"


def test_a_photograph_is_not_lost_where_the_day_is_refused(sign, post):
    answer = post(on="2031-01-01", photo=camera())
    assert answer.status_code == 409 and "still to come" in answer.content.decode()
    assert Document.objects.count() == 1
    assert post(photo=camera()).status_code == 302
    sign.refresh_from_db()
    assert sign.photo == Document.objects.get()


def test_a_bent_place_is_told(sign, post):
    assert "Take the place" in post(lon="east", lat="46").content.decode()
    assert post(lon="500", lat="46").status_code == 409
