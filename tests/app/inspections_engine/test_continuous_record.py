"""Spans recorded as running through over a pier: entered, shown, joined in the snapshot, rated together."""

from datetime import date

import pytest

from inspections.assembly.snapshot import assemble_snapshot
from inspections.reckoning.rating import rate_snapshot
from inventory.models import MemberGroup, Span
from tests.app.structures.test_entry import page_values, words
from tests.makers.county import make_stringer_bridge

pytestmark = [pytest.mark.django_db, pytest.mark.database]
TODAY = date(2026, 5, 4)


@pytest.fixture
def bridge(county):
    """Two like spans of 18 ft, each running on to the next where a test says so."""
    bridge = make_stringer_bridge(county.agency)
    add_span(bridge, 2)
    return bridge


def add_span(bridge, index):
    first = bridge.spans.order_by("index").first()
    group = first.members.get()
    first.pk, first.index, first._state.adding = None, index, True
    first.save()
    group.pk, group.span, group._state.adding = None, first, True
    group.save()


def run_on(bridge, *indexes):
    bridge.spans.update(continuous_with_next=False)
    bridge.spans.filter(index__in=indexes).update(continuous_with_next=True)
    return assemble_snapshot(structure=bridge, as_of=TODAY)


def test_rows_of_spans_become_units(bridge):
    for index in (3, 4, 5):
        add_span(bridge, index)
    assert [case.continuous_unit for case in run_on(bridge).cases] == [""] * 5
    units = [case.continuous_unit for case in run_on(bridge, 1, 2, 4).cases]
    assert units == ["1 to 3"] * 3 + ["4 to 5"] * 2


def test_a_unit_is_rated_together_and_its_record_bears_on_the_digest(bridge):
    """A pier with stringers running over it is bent upwards; two simple spans are not (statics)."""
    apart, joined = run_on(bridge), run_on(bridge, 1)
    assert apart.digest != joined.digest
    simple, continuous = rate_snapshot(apart), rate_snapshot(joined)
    assert simple.is_rated and continuous.is_rated
    states = [
        {row["limit_state"] for span in outcome.results["spans"] for row in span["results"]}
        for outcome in (simple, continuous)
    ]
    assert "hogging" in states[1] - states[0]


def test_hold_downs_count_only_where_they_are_on_record(bridge):
    """Law: a stringer that is tied down never rates lower than one that may lift; not known counts as not tied."""
    loose = run_on(bridge, 1)
    bridge.spans.update(held_down=True)
    tied = run_on(bridge, 1)
    assert [case.held_down for case in loose.cases + tied.cases] == [None, None, True, True]
    factors = [
        {row["vehicle"]: row["posting_factor"] for row in rate_snapshot(each).results["governing"]}
        for each in (loose, tied)
    ]
    assert all(factors[1][vehicle] >= factor - 1e-9 for vehicle, factor in factors[0].items())
    assert run_on(bridge).cases[0].held_down is None


def test_what_cannot_run_through_is_told(bridge):
    lost = run_on(bridge, 1, 2)
    assert "no span 3 is on record" in " ".join(lost.missing) and not lost.cases
    MemberGroup.objects.filter(span__index=2).update(spacing_ft=1.8)
    told = " ".join(rate_snapshot(run_on(bridge, 1)).reasons)
    assert "2 ft of spacing and 1.8 ft in span 2" in told
    Span.objects.filter(index=2).update(system="nail_laminated")
    MemberGroup.objects.filter(span__index=2).update(role="lamination", size_class="dimension, 2 to 4 in thick")
    told = " ".join(rate_snapshot(run_on(bridge, 1)).reasons)
    assert "only stringers are rated as running through" in told


def test_the_office_enters_it_and_the_page_shows_it(county, bridge):
    office = county.client("office")
    span = bridge.spans.get(index=1)
    address = f"/structures/{bridge.pk}/spans/{span.pk}/"
    values = page_values(office, address) | {"skew_deg": "0"}
    assert "continuous_with_next" not in values
    entered = office.post(address, values | {"continuous_with_next": "on"})
    assert entered.status_code == 302, entered.context["form"].errors
    span.refresh_from_db()
    assert span.continuous_with_next
    assert "run through over the pier to the next span" in words(office.get(f"/structures/{bridge.pk}/"))
    refused = office.post(address, page_values(office, address) | {"skew_deg": "0", "system": "nail_laminated"})
    assert refused.status_code == 422 and "Only stringers are rated as running through" in words(refused)
