"""A released stressing day on the six-bar deck of worked example D3's sizes. Everything is invented."""

import pytest

from tests.makers.stressing import drafted, make_deck_to_stress, make_jack, released


@pytest.fixture
def deck(county, now):
    return make_deck_to_stress(county, now)


@pytest.fixture
def jack(county):
    return make_jack(county.agency)


@pytest.fixture
def make_day(county, deck, jack, now):
    """`make_day(method="equal_passes", ...)`: a released day."""

    def make(**changed):
        return released(county, drafted(county, deck, [jack], now, **changed), now)

    return make


@pytest.fixture
def day(make_day):
    """One pass planned for an even end, with a repair pass where bars are short."""
    return make_day()


@pytest.fixture
def crew(county):
    return county.people["crew"]
