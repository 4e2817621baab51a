"""The leader is named on the entry page, kept, and told where not qualified on the day."""

from datetime import date

import pytest

from inspections.models import Inspection
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import draft
from tests.makers.plan import qualified

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def entered(county, inspection, **typed):
    inspection.refresh_from_db()
    counts = {f"{prefix}-count": "0" for prefix in ("e", "f", "b")}
    values = {"revision": inspection.revision, "then": "save", "field_completed_on": "2026-06-14", **counts}
    return county.client("inspector").post(f"/inspections/{inspection.pk}/edit/", values | typed)


def test_named_kept_and_told(county, now):
    person = county.people["inspector"]
    inspection = draft(make_stringer_bridge(county.agency), person, now)
    answer = entered(county, inspection, leader=person.pk)
    assert answer.status_code == 302, answer.content.decode()
    assert Inspection.objects.get().leader == person
    for address in (f"/inspections/{inspection.pk}/", f"/inspections/{inspection.pk}/edit/"):
        page = county.client("inspector").get(address).content.decode()
        assert "is not a qualified team leader on 14 Jun 2026" in page and "inspector-001" in page
    qualified(county.agency, person, held_since=date(2024, 1, 1))
    page = county.client("inspector").get(f"/inspections/{inspection.pk}/").content.decode()
    assert "is not a qualified" not in page


def test_nobody_of_another_agency_leads(county, now):
    other = make_county("Reed County", "003")
    inspection = draft(make_stringer_bridge(county.agency), county.people["inspector"], now)
    answer = entered(county, inspection, leader=other.people["inspector"].pk, team="Kept words")
    page = answer.content.decode()
    assert "choose one of the people listed" in page and "Kept words" in page
    assert Inspection.objects.get().leader is None
