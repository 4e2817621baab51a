"""The frame: strangers are refused, agency scope holds on a structure's page."""

from tests.makers.county import make_county, make_stringer_bridge


def test_stranger_is_sent_to_sign_in(client, db):
    response = client.get("/structures/1/")
    assert response.status_code == 302 and response.url.startswith("/sign-in/")


def test_structure_of_another_agency_does_not_exist(county):
    other = make_county("Marrow County", "003")
    theirs = make_stringer_bridge(other.agency)
    assert county.client("engineer").get(f"/structures/{theirs.pk}/").status_code == 404
    assert other.client("reviewer").get(f"/structures/{theirs.pk}/").status_code == 200
