"""May this person lead? Held against the numbers of 23 CFR 650.309 and 650.313 [memory] and the calendar."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.vocabulary.findings import InspectionKind
from inventory.rules.qualifications import (
    LEADER_ON_SITE,
    UNDER_WATER,
    Held,
    Refresher,
    best_of,
    holding_on,
    may_lead,
    qualification_faults,
)

TODAY = date(2026, 6, 15)
RULE = Refresher(months=60, hours=18)


def leader(**changed) -> Held:
    values = {
        "kind": "team_leader",
        "held_since": date(2018, 3, 1),
        "refresher_hours": 18,
        "refreshed_on": date(2024, 5, 2),
    }
    return Held(**(values | changed))


def answer(*lines, kind="routine", on=TODAY):
    return may_lead(lines, kind=kind, on=on, name="Tobin Oakes", refresher=RULE)


def test_the_kinds_that_need_a_team_leader_are_those_of_the_rule():
    """23 CFR 650.313: initial, routine, in-depth, (NSTM) and underwater [memory]; NSTM is no kind of this register."""
    assert LEADER_ON_SITE == {"initial", "routine", "in_depth", "underwater"}
    assert LEADER_ON_SITE | {UNDER_WATER} <= {kind.value for kind in InspectionKind}
    for kind in ("damage", "special"):
        assert kind in {each.value for each in InspectionKind} and answer(kind=kind).may


def test_nobody_on_record_may_lead():
    said = answer()
    assert not said.may and "Tobin Oakes" in said.words and "nothing on record as team leader" in said.words


def test_refresher_of_eighteen_hours_holds_sixty_months():
    """18 h in every 60 months, 650.309 [memory]: 2 May 2024 and 60 months is 2 May 2029, that day included."""
    assert answer(leader(), on=date(2029, 5, 2)).may
    late = answer(leader(), on=date(2029, 5, 3))
    assert not late.may and "lapsed on 2 May 2029" in late.words and "18 hours" in late.words


def test_too_few_hours_do_not_start_the_months_anew():
    """17.5 is less than 18: counted from the day it was gained, 1 Mar 2018 and 60 months is 1 Mar 2023."""
    assert not answer(leader(refresher_hours=17.5)).may
    assert answer(leader(refresher_hours=17.5), on=date(2023, 3, 1)).may
    assert not answer(leader(refresher_hours=17.5), on=date(2023, 3, 2)).may


def test_its_own_last_day_counts_where_it_is_earlier():
    line = leader(expires_on=date(2026, 6, 15))
    assert answer(line).may and answer(line).until == date(2026, 6, 15)
    assert not answer(line, on=TODAY + timedelta(days=1)).may


def test_withdrawn_counts_before_that_day_only():
    line = leader(withdrawn_on=TODAY)
    assert not answer(line).may and "withdrawn" in answer(line).words
    assert answer(line, on=TODAY - timedelta(days=1)).may


def test_a_program_manager_is_not_thereby_a_team_leader():
    assert not answer(leader(kind="program_manager")).may


def test_under_water_needs_a_team_leader_and_a_diver():
    diver = Held(kind="diver", held_since=date(2020, 1, 1))
    assert not answer(leader(), kind="underwater").may
    assert not answer(diver, kind="underwater").may
    assert answer(leader(), diver, kind="underwater").may
    short = Held(kind="diver", held_since=date(2020, 1, 1), expires_on=date(2026, 7, 1))
    assert answer(leader(), short, kind="underwater").until == date(2026, 7, 1)


def test_the_warning_begins_sixty_days_before():
    """15 Jun 2026 and 60 days is 14 Aug 2026 (15 left in June, 31 in July, 14 in August)."""
    assert holding_on(leader(expires_on=date(2026, 8, 14)), on=TODAY, refresher=RULE).state == "soon"
    assert holding_on(leader(expires_on=date(2026, 8, 15)), on=TODAY, refresher=RULE).state == "valid"
    assert holding_on(leader(expires_on=date(2026, 8, 14)), on=TODAY, refresher=RULE).days_left == 60


def test_of_two_lines_the_one_that_holds_counts():
    old, new = leader(expires_on=date(2025, 1, 1)), leader(expires_on=date(2028, 1, 1))
    for lines in ((old, new), (new, old)):
        assert best_of(lines, "team_leader", on=TODAY, refresher=RULE).until == date(2028, 1, 1)


DAYS = st.dates(min_value=date(2000, 1, 1), max_value=date(2060, 1, 1))


@given(since=DAYS, on=DAYS, expires=st.none() | DAYS, refreshed=st.none() | DAYS, hours=st.floats(0, 40))
def test_laws(since, on, expires, refreshed, hours):
    """Never before it was gained; never after the last day it names; more hours never take the right away."""
    line = leader(held_since=since, expires_on=expires, refreshed_on=refreshed, refresher_hours=hours)
    held = holding_on(line, on=on, refresher=RULE)
    if held.counts:
        assert since <= on and (held.until is None or on <= held.until)
        assert expires is None or on <= expires
        if refreshed is None or refreshed >= since:
            more = leader(held_since=since, expires_on=expires, refreshed_on=refreshed, refresher_hours=hours + 20)
            assert holding_on(more, on=on, refresher=RULE).counts


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"person": None}, "person"),
        ({"kind": "wizard"}, "kind"),
        ({"basis": " "}, "basis"),
        ({"evidence": ""}, "evidence"),
        ({"held_since": None}, "held_since"),
        ({"held_since": date(2026, 6, 16), "refreshed_on": None, "refresher_hours": None}, "held_since"),
        ({"expires_on": date(2018, 3, 1)}, "expires_on"),
        ({"refreshed_on": date(2027, 1, 1)}, "refreshed_on"),
        ({"refreshed_on": date(2018, 2, 28)}, "refreshed_on"),
        ({"refresher_hours": None}, "refresher_hours"),
        ({"refresher_hours": -1.0}, "refresher_hours"),
        ({"refresher_hours": float("nan")}, "refresher_hours"),
        ({"refreshed_on": None}, "refreshed_on"),
    ],
)
def test_a_line_that_cannot_be(changed, field):
    good = {
        "person": 1, "kind": "team_leader", "basis": "PE and 6 months", "evidence": "drawer 3",
        "held_since": date(2018, 3, 1), "expires_on": None, "refresher_hours": 18.0, "refreshed_on": date(2024, 5, 2),
    }  # fmt: skip
    assert qualification_faults(good, today=TODAY) == {}
    assert list(qualification_faults(good | changed, today=TODAY)) == [field]
