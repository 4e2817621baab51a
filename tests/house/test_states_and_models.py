"""Every state is owned, every row has an agency, no migration is pending."""

import re

import pytest
from django.apps import apps
from django.core.management import call_command

from inspections.rules import lifecycle
from inventory.models import Agency
from inventory.vocabulary.roles import ALLOWED, Permit, Role
from tests.house.states_table import table
from tests.house.tree import APPS, ROOT

# Rows that belong to no agency, each with its reason.
WITHOUT_AGENCY = {
    "inventory.Agency": "is one",
    "inventory.Person": "a person may belong to several; memberships say to which",
    "inventory.RecordImport": "a file as read; no page shows it, and the records it brought have their structure",
}


def reaches_agency(model, seen=frozenset()) -> bool:
    """Whether a chain of foreign keys (none of them a person's) leads to an agency."""
    if model is Agency:
        return True
    for field in model._meta.get_fields():
        forward = (field.many_to_one or field.one_to_one) and not field.auto_created
        if forward and field.related_model not in seen and field.related_model._meta.label != "inventory.Person":
            if reaches_agency(field.related_model, seen | {model}):
                return True
    return False


def own_models() -> list:
    return [model for model in apps.get_models() if model._meta.app_label in APPS]


@pytest.mark.parametrize("model", own_models(), ids=lambda model: model._meta.label)
def test_every_row_has_a_path_to_its_agency(model):
    assert model._meta.label in WITHOUT_AGENCY or reaches_agency(model)


def test_the_path_is_not_found_where_there_is_none():
    assert not reaches_agency(apps.get_model("contenttypes.ContentType"))


@pytest.mark.parametrize("kind", sorted(lifecycle.STATES))
def test_every_state_is_owned_and_reached_and_left(kind):
    owners, moves = lifecycle.OWNERS[kind], lifecycle.MOVES[kind]
    assert set(owners) == set(lifecycle.STATES[kind])
    reached, grows = {lifecycle.FIRST[kind]}, True
    while grows:
        more = {move.to for move in moves if move.start in reached} - reached
        reached, grows = reached | more, bool(more)
    assert reached == set(lifecycle.STATES[kind]), "a state nothing leads to"
    for state, owner in owners.items():
        assert owner.kept or owner.system or owner.roles, f"{state} is nobody's"
        assert owner.kept or any(move.start == state for move in moves), f"{state} has no way out"
    for move in moves:
        assert move.permit or move.by_system, f"{move.start} to {move.to}: nobody may"


@pytest.mark.django_db
def test_no_pending_migration():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_the_readme_says_who_may_do_what():
    """The table in README.md is the table the site enforces."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for permit in Permit:
        cells = ["yes" if role in ALLOWED[permit] else "" for role in Role]
        row = re.search(rf"^\| {re.escape(permit.label)} \|(.*)\|$", text, re.M | re.I)
        assert row, f"README.md lacks: {permit.label}"
        assert [cell.strip() for cell in row.group(1).split("|")] == cells, permit.label


def test_the_developers_page_prints_the_states_as_they_are():
    """Made again with tests.house.states_table.table() when the table changes."""
    assert table() in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
