"""Laws that hold for every inspection, policy and need: what is worse never puts a date off, nor does being early."""

from dataclasses import replace
from datetime import date

from dateutil.relativedelta import relativedelta
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspections.rules.clocks import (
    InspectionFacts,
    NeedFact,
    Policy,
    inspection_clocks,
)
from inspections.rules.clocks.inspection_facts import COMPONENTS, WATER_PARTS
from inspections.vocabulary.states import ReminderKind

# Facts of many parts take a while to draw on a busy machine; that is no fault.
law = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
DAYS = st.dates(date(2000, 1, 1), date(2080, 12, 31))
PAST = st.none() | st.dates(date(1990, 1, 1), date(2026, 12, 31))
CODES = st.integers(0, 9)
NEEDS = st.lists(
    st.builds(
        NeedFact,
        kind=st.sampled_from(["routine", "underwater", "in_depth", "special"]),
        interval_months=st.integers(1, 96),
        reason=st.sampled_from(["Split cap", "Decay of the deck", "deck and superstructure", "culvert substructure"]),
        set_on=st.dates(date(2015, 1, 1), date(2026, 12, 31)),
        first_due_on=st.none() | st.dates(date(2015, 1, 1), date(2030, 12, 31)),
    ),
    max_size=4,
    unique_by=lambda row: row.kind,
).map(tuple)
FACTS = st.builds(
    InspectionFacts,
    registered_on=st.dates(date(2015, 1, 1), date(2026, 12, 31)),
    is_federal=st.booleans(),
    opened_on=PAST,
    built_on=PAST,
    last_routine_on=PAST,
    last_underwater_on=PAST,
    last_in_depth_on=PAST,
    last_special_on=PAST,
    ratings=st.dictionaries(st.sampled_from([*COMPONENTS, *WATER_PARTS]), CODES).map(lambda d: tuple(d.items())),
    interval_on_record_months=st.none() | st.integers(1, 72),
    needs=NEEDS,
)
POLICIES = st.builds(
    Policy,
    routine_months=st.integers(1, 48),
    routine_most_months=st.integers(12, 48),
    routine_reduced_months=st.integers(1, 24),
    serious_rating=st.integers(3, 6),
    short_months=st.integers(1, 72),
    underwater_months=st.integers(6, 72),
    underwater_reduced_months=st.integers(6, 60),
    in_depth_months=st.integers(0, 240),
    in_depth_from_years=st.integers(0, 150),
    tolerance_short_months=st.integers(0, 6),
    tolerance_long_months=st.integers(0, 6),
)


def due_days(found: InspectionFacts, policy: Policy) -> dict:
    return {each.due.kind: each.due for each in inspection_clocks(found, policy) if each.due is not None}


@law
@given(found=FACTS, policy=POLICIES, part=st.sampled_from([*COMPONENTS, *WATER_PARTS]), codes=st.tuples(CODES, CODES))
def test_a_lower_rating_never_puts_a_date_off(found, policy, part, codes):
    """Law, for every kind and policy: whatever falls due with the better rating is due no later with the worse."""
    rest = tuple(row for row in found.ratings if row[0] != part)
    better, worse = (
        due_days(replace(found, ratings=(*rest, (part, code))), policy) for code in (max(codes), min(codes))
    )
    # A special inspection of the defect may serve instead of the reduced routine one, which then keeps its interval.
    assert set(better) == set(worse)
    assert all(worse[kind].due_on <= better[kind].due_on for kind in better)


LAST_OF = {
    "last_routine_on": ReminderKind.INSPECTION,
    "last_underwater_on": ReminderKind.UNDERWATER,
    "last_in_depth_on": ReminderKind.IN_DEPTH,
    "last_special_on": ReminderKind.SPECIAL,
}


@law
@given(found=FACTS, policy=POLICIES, field=st.sampled_from(sorted(LAST_OF)), days=st.tuples(DAYS, DAYS))
def test_an_early_inspection_never_gives_a_later_date_than_a_late_one(found, policy, field, days):
    found = replace(found, needs=tuple(row for row in found.needs if row.first_due_on is None))
    early, late = (due_days(replace(found, **{field: day}), policy) for day in (min(days), max(days)))
    kind = LAST_OF[field]
    if kind in early and kind in late:
        assert early[kind].due_on <= late[kind].due_on


@law
@given(found=FACTS, policy=POLICIES)
def test_the_tolerance_never_moves_the_due_date(found, policy):
    without = replace(policy, tolerance_short_months=0, tolerance_long_months=0)
    strict, lenient = due_days(found, without), due_days(found, policy)
    assert {kind: due.due_on for kind, due in strict.items()} == {kind: due.due_on for kind, due in lenient.items()}
    assert all(due.due_on == due.late_after for due in strict.values())
    assert all(due.due_on <= due.late_after for due in lenient.values())
    if not found.is_federal:
        assert all(due.due_on == due.late_after for due in lenient.values())


@law
@given(found=FACTS, policy=POLICIES)
def test_without_needs_a_date_is_the_last_day_and_the_interval(found, policy):
    """Second method: python-dateutil's relativedelta on the last of the kind and the interval shown."""
    found = replace(found, needs=())
    for each in inspection_clocks(found, policy):
        if each.due is None or each.last_on is None:
            continue
        counted = each.last_on + relativedelta(months=each.asked.months)
        if each.kind == "in_depth" and found.built_on:
            counted = max(counted, found.built_on + relativedelta(years=policy.in_depth_from_years))
        assert each.due.due_on == counted


@law
@given(
    found=FACTS, policy=POLICIES, months=st.integers(1, 96), kind=st.sampled_from(["routine", "underwater", "in_depth"])
)
def test_a_shorter_interval_of_its_own_never_puts_a_date_off(found, policy, months, kind):
    found = replace(found, needs=tuple(row for row in found.needs if row.kind not in (kind, "special")))
    plain = {each.kind: each for each in inspection_clocks(found, policy)}.get(kind)
    if plain is None or plain.due is None or plain.asked.months < months:
        return
    own = NeedFact(kind=kind, interval_months=months, reason="Settled pile", set_on=date(2026, 6, 1))
    mine = {each.kind: each for each in inspection_clocks(replace(found, needs=(*found.needs, own)), policy)}[kind]
    assert mine.due.due_on <= plain.due.due_on
