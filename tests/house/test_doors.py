"""Every page refuses a stranger, the wrong role and the other agency; found by walking the resolver, not by a list."""

import pytest
from django.apps import apps
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.models import Structure
from inventory.vocabulary.roles import ALLOWED, Role
from tests.house.doors import OPEN, OWN, routes
from tests.house.tree import APPS
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import decay, rated

ROUTES = routes()
GUARDED = [route for route in ROUTES if route.name not in OPEN]
REFUSED = {401, 403, 404, 405}


def test_the_walk_finds_every_room():
    assert {route.name.split(":")[0] for route in ROUTES} == set(APPS)
    assert len(ROUTES) > 20
    assert set(OPEN) | set(OWN) <= {route.name for route in ROUTES}


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_stranger_is_refused(client, db, method):
    let_in = []
    for route in GUARDED:
        answer = getattr(client, method)(route.address())
        sent_to_sign_in = answer.status_code == 302 and answer.url.startswith("/sign-in/")
        if not sent_to_sign_in and answer.status_code not in REFUSED:
            let_in.append(f"{method} {route.address()}: {answer.status_code}")
    assert not let_in, "\n".join(let_in)


def test_a_person_of_no_agency_sees_nothing(county, client):
    person = county.people["engineer"]
    person.memberships.all().delete()
    make_stringer_bridge(county.agency)
    client.force_login(person)
    let_in = []
    for route in GUARDED:
        status = client.get(route.address()).status_code
        if status not in REFUSED:
            let_in.append(f"{route.address()}: {status}")
    assert not let_in, "\n".join(let_in)


@pytest.mark.parametrize("role", list(Role))
def test_the_wrong_role_is_refused(county, role):
    structure = make_stringer_bridge(county.agency)
    client = county.client(role.value)
    let_in = []
    for route in GUARDED:
        if route.permit and role not in ALLOWED[route.permit]:
            for method in ("get", "post"):
                status = getattr(client, method)(route.address(structure.pk), {}).status_code
                if status not in REFUSED:
                    let_in.append(f"{method} {route.address(structure.pk)}: {status}")
    assert not let_in, "\n".join(let_in)


def test_most_pages_say_what_they_need():
    """The walk over roles is worth something only if pages declare their permit."""
    assert len([route for route in GUARDED if route.permit]) > len(GUARDED) / 3


def row_counts() -> dict[str, int]:
    return {model._meta.label: model.objects.count() for model in apps.get_models() if model._meta.app_label in APPS}


def test_one_who_only_reads_changes_no_row(county, now):
    structure = make_stringer_bridge(county.agency)
    rated(structure, county.people["inspector"], now, [decay(structure)])
    client = county.client("reviewer")
    client.raise_request_exception = False
    wrong = []
    before, as_it_was = row_counts(), Structure.objects.filter(pk=structure.pk).values().get()
    for route in GUARDED:
        if route.name in OWN:
            continue
        answer = client.post(route.address(structure.pk), {"sentence": "x", "reason": "x", "number": "x"})
        if answer.status_code >= 500:
            wrong.append(f"{route.address(structure.pk)}: {answer.status_code}")
        after = row_counts()
        if after != before or Structure.objects.filter(pk=structure.pk).values().get() != as_it_was:
            wrong.append(f"{route.address(structure.pk)} changed {set(after.items()) ^ set(before.items())}")
            before = after
    assert not wrong, "\n".join(wrong)


def test_rows_of_another_agency_do_not_exist(county, now):
    """The asker's own county is empty, so whatever a page with a row's number shows would be the other's."""
    other = make_county("Marrow County", "003")
    theirs = make_stringer_bridge(other.agency, number="LEAK-77", road_name="Leaking Road")
    rated(theirs, other.people["inspector"], now, [decay(theirs)])
    client = county.client("engineer")
    shown, numbers = [], all_numbers()
    assert len(numbers) >= 2
    for route in GUARDED:
        if route.takes_a_row:
            found = {number: client.get(route.address(number)).status_code for number in numbers}
            shown += [f"{route.address(each)}: {code}" for each, code in found.items() if code not in REFUSED]
        else:
            answer = client.get(route.address())
            body = b"".join(answer.streaming_content) if answer.streaming else answer.content
            if b"LEAK-77" in body or b"Leaking Road" in body:
                shown.append(route.address())
    assert not shown, "\n".join(shown)


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
