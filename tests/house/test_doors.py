"""Every page refuses a stranger, the wrong role and the other agency; found by walking the resolver, not by a list."""

import pytest
from django.apps import apps
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.models import Structure
from inventory.vocabulary.roles import ALLOWED, Role
from tests.house.doors import OPEN, Route, routes
from tests.house.tree import APPS
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import decay, rated

ROUTES = routes()
GUARDED = [route for route in ROUTES if route.name not in OPEN]
named = pytest.mark.parametrize("route", GUARDED, ids=lambda route: route.name)
REFUSED = {401, 403, 404, 405}


def test_the_walk_finds_every_room():
    assert {route.name.split(":")[0] for route in ROUTES} == set(APPS)
    assert len(ROUTES) > 20
    assert set(OPEN) <= {route.name for route in ROUTES}


@named
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_stranger_is_refused(client, db, route: Route, method):
    answer = getattr(client, method)(route.address())
    sent_to_sign_in = answer.status_code == 302 and answer.url.startswith("/sign-in/")
    assert sent_to_sign_in or answer.status_code in REFUSED, f"{method} {route.address()}: {answer.status_code}"


@named
def test_a_person_of_no_agency_sees_nothing(county, client, route: Route):
    person = county.people["engineer"]
    person.memberships.all().delete()
    make_stringer_bridge(county.agency)
    client.force_login(person)
    answer = client.get(route.address())
    assert answer.status_code in REFUSED, f"{route.address()}: {answer.status_code}"


WRONG = [(route, role) for route in GUARDED if route.permit for role in Role if role not in ALLOWED[route.permit]]


@pytest.mark.parametrize(("route", "role"), WRONG, ids=lambda each: getattr(each, "name", each))
def test_the_wrong_role_is_refused(county, route: Route, role):
    make_stringer_bridge(county.agency)
    client = county.client(role.value)
    for method in ("get", "post"):
        status = getattr(client, method)(route.address(), {}).status_code
        assert status in REFUSED, f"{role} {method} {route.address()}: {status}"


def row_counts() -> dict[str, int]:
    return {model._meta.label: model.objects.count() for model in apps.get_models() if model._meta.app_label in APPS}


@named
def test_one_who_only_reads_changes_no_row(county, route: Route):
    structure = make_stringer_bridge(county.agency)
    before, as_it_was = row_counts(), Structure.objects.filter(pk=structure.pk).values().get()
    client = county.client("reviewer")
    client.raise_request_exception = False
    answer = client.post(route.address(structure.pk), {"sentence": "x", "reason": "x", "number": "x"})
    assert answer.status_code < 500, f"{route.address(structure.pk)}: {answer.status_code}"
    assert row_counts() == before
    assert Structure.objects.filter(pk=structure.pk).values().get() == as_it_was


@named
def test_rows_of_another_agency_do_not_exist(county, now, route: Route):
    """The asker's own county is empty, so whatever a page with a row's number shows would be the other's."""
    other = make_county("Marrow County", "003")
    theirs = make_stringer_bridge(other.agency, number="LEAK-77", road_name="Leaking Road")
    rated(theirs, other.people["inspector"], now, [decay(theirs)])
    client = county.client("engineer")
    if route.takes_a_row:
        for number in all_numbers():
            answer = client.get(route.address(number))
            assert answer.status_code in REFUSED, f"{route.address(number)}: {answer.status_code}"
    else:
        answer = client.get(route.address())
        body = b"".join(answer.streaming_content) if answer.streaming else answer.content
        assert b"LEAK-77" not in body and b"Leaking Road" not in body


def all_numbers() -> set[int]:
    """The numbers of every row there is, agencies and people aside."""
    models = [model for model in apps.get_models() if model._meta.app_label in APPS]
    return {
        number
        for model in models
        if model._meta.label not in ("inventory.Agency", "inventory.Person", "inventory.Membership")
        for number in model.objects.values_list("pk", flat=True)
        if isinstance(number, int)
    }


LISTS = ["inventory:structures", "inspections:inspections", "inspections:due", "maps:county", "inspections:signs"]
STANDING_LISTS = [name for name in LISTS if name in {route.name for route in ROUTES}]


def test_there_are_lists_to_count():
    assert "inventory:structures" in STANDING_LISTS


@pytest.mark.parametrize("name", STANDING_LISTS)
def test_a_list_asks_as_often_for_thirty_rows_as_for_one(county, name):
    """A law, not a number: the count of queries does not grow with the rows shown."""
    client = county.client("engineer")

    def count() -> int:
        client.get(reverse(name))  # whatever is remembered for the next request is remembered now
        with CaptureQueriesContext(
            connection,
        ) as asked:
            assert client.get(reverse(name)).status_code == 200
        return len(asked)

    fill(county, range(1))
    one = count()
    fill(county, range(1, 31))
    assert count() <= one


def fill(county, numbers) -> None:
    from inspections.models import Inspection

    for number in numbers:
        structure = make_stringer_bridge(county.agency, number=f"Q-{number + 1}")
        fields = {field.name for field in Inspection._meta.get_fields()}
        values = {"structure": structure, "kind": "routine", "state": "draft"}
        values |= {name: county.people["inspector"] for name in ("by", "inspector", "opened_by") if name in fields}
        try:
            Inspection.objects.create(**{key: value for key, value in values.items() if key in fields})
        except Exception as problem:  # the row's own constraints are another suite's business
            pytest.fail(f"an inspection could not be made for the count: {problem}")
