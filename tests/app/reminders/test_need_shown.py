"""The days of a sign run from the rating that showed the need (23 CFR 650.313(l) [memory]), not from the last one."""

from datetime import date

import pytest

from inspections.models import Recommendation
from inspections.queries.clock_facts import clock_facts
from tests.makers.county import make_stringer_bridge

pytestmark = pytest.mark.django_db
FIRST, SECOND = date(2026, 5, 1), date(2026, 5, 20)


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


def recommended(bridge, on, ton, state="proposed", **more):
    return Recommendation.objects.create(
        structure=bridge, restriction="posted", single_ton=ton, reasons=[], made_on=on, state=state, **more
    )


def since(bridge):
    facts, _policy = clock_facts([bridge.pk])[bridge.pk]
    return facts.proposal.need_shown_on


@pytest.mark.parametrize(
    ("first_ton", "counts_from"),
    # As much or more was asked for before: the need was shown then. Less was asked for: the need of 12 T is new.
    [(12.0, FIRST), (8.0, FIRST), (15.0, SECOND)],
)
def test_a_newer_rating_takes_the_place_and_not_the_days(bridge, first_ton, counts_from):
    recommended(bridge, FIRST, first_ton, state="withdrawn")
    recommended(bridge, SECOND, 12.0)
    assert since(bridge) == counts_from


def test_what_the_engineer_put_aside_is_decided(county, bridge):
    recommended(bridge, FIRST, 12.0, state="withdrawn", decided_by=county.people["engineer"])
    recommended(bridge, SECOND, 12.0)
    assert since(bridge) == SECOND
