"""The state tables are whole: every state owned, reachable, and left only by those who may.

The order of states is the project's plan (inspection: draft, submitted, rated, accepted or sent back; recommendation:
proposed, adopted, in force, superseded or withdrawn); no outside source.
"""

import pytest

from inspections.rules.lifecycle import (
    FIRST,
    INSPECTION,
    MOVES,
    OWNERS,
    RECOMMENDATION,
    STATES,
    find_move,
    may_move,
    may_review,
    printed_table,
)
from inventory.vocabulary.roles import ALLOWED, Permit, Role

TABLES = (INSPECTION, RECOMMENDATION)
ALL_PERMITS = frozenset(Permit)


@pytest.mark.parametrize("table", TABLES)
def test_every_state_has_exactly_one_kind_of_owner(table):
    assert set(OWNERS[table]) == set(STATES[table])
    for owner in OWNERS[table].values():
        assert [bool(owner.roles), owner.system, owner.kept].count(True) == 1


@pytest.mark.parametrize("table", TABLES)
def test_every_state_can_be_reached_and_only_kept_ones_are_dead_ends(table):
    reached, grown = {FIRST[table]}, True
    while grown:
        more = {move.to for move in MOVES[table] if move.start in reached} - reached
        reached, grown = reached | more, bool(more)
    assert reached == set(STATES[table])
    for state in STATES[table]:
        leaves = [move for move in MOVES[table] if move.start == state]
        assert leaves or OWNERS[table][state].kept


@pytest.mark.parametrize("table", TABLES)
def test_the_owner_of_a_state_can_make_a_move_out_of_it(table):
    """Work never lies with somebody who can do nothing about it."""
    for state, owner in OWNERS[table].items():
        if owner.kept:
            continue
        out = [move for move in MOVES[table] if move.start == state]
        if owner.system:
            assert any(move.by_system for move in out)
        for role in owner.roles:
            assert any(move.permit and role in ALLOWED[move.permit] for move in out), (state, role)


@pytest.mark.parametrize("table", TABLES)
def test_every_pair_of_states_is_either_a_move_or_refused_in_a_sentence(table):
    for start in STATES[table]:
        for to in STATES[table]:
            answer = may_move(table, start, to, permits=ALL_PERMITS, by_system=True)
            assert (answer == "") == (find_move(table, start, to) is not None)
            assert answer == "" or answer.endswith(".")


def test_the_system_may_not_accept_and_nobody_may_rate_by_hand():
    assert may_move(INSPECTION, "rated", "accepted", by_system=True)
    assert may_move(INSPECTION, "submitted", "rated", permits=ALL_PERMITS)
    assert not may_move(INSPECTION, "submitted", "rated", by_system=True)


@pytest.mark.parametrize("role", [role for role in Role if role != Role.ENGINEER])
def test_only_the_engineer_reviews_and_adopts(role):
    """A licensed engineer answers for load rating and posting (23 CFR 650.309, memory)."""
    permits = frozenset(permit for permit, roles in ALLOWED.items() if role in roles)
    assert may_move(INSPECTION, "rated", "accepted", permits=permits)
    assert may_move(RECOMMENDATION, "proposed", "in_force", permits=permits)
    assert may_move(RECOMMENDATION, "proposed", "adopted", permits=permits)


def test_reviewer_is_not_the_inspector_unless_the_agency_gives_its_reason():
    asked = {"reviewer": 7, "authors": frozenset({7, 9})}
    assert may_review(**asked, override=False, override_reason="one engineer")
    assert may_review(**asked, override=True, override_reason="  ")
    assert not may_review(**asked, override=True, override_reason="one engineer in the county")
    assert not may_review(reviewer=8, authors=frozenset({7, 9}), override=False, override_reason="")


@pytest.mark.parametrize("table", TABLES)
def test_printed_table_names_every_state_and_every_move(table):
    printed = printed_table(table)
    assert printed.count("-->") == len(MOVES[table])
    assert all(state.name in printed for state in STATES[table])
