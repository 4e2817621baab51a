"""Which bars are read: counted by hand on small rows."""

import pytest

from inspections.rules.sample import bars_to_read


def chosen(stations, **more):
    return sorted(bars_to_read(stations, **({"span_ft": 60.0, "every": 3, "near_ft": 0.0} | more)).indexes)


def test_every_third_and_both_ends():
    """Stations 2, 6, ... 58 ft: bars 0, 3, 6, 9, 12 by the step, and the last, 14."""
    assert chosen([2 + 4 * n for n in range(15)]) == [0, 3, 6, 9, 12, 14]


def test_all_near_midspan_and_bearings():
    """Within 6 ft of 0, 30 and 60 ft: 2 and 6; 26, 30, 34; 54 and 58."""
    near = {0, 1, 6, 7, 8, 13, 14}
    assert set(chosen([2 + 4 * n for n in range(15)], near_ft=6.0)) == near | {3, 9, 12}


@pytest.mark.parametrize("every", [0, 1])
def test_every_bar(every):
    assert chosen([1, 2, 3], every=every) == [0, 1, 2]


def test_no_bars_and_one_bar():
    assert chosen([]) == [] and chosen([30.0], every=6) == [0]


def test_the_words_say_how_many_and_that_the_rest_is_less_certain():
    words = bars_to_read([2 + 4 * n for n in range(15)], span_ft=60, every=3, near_ft=6).words
    assert "10 of 15" in words and "every third" in words and "6 ft" in words and "less certainty" in words
    assert bars_to_read([1.0, 2.0], span_ft=10, every=1, near_ft=0).words == "All 2 bars are to be read."


@pytest.mark.parametrize("near", [0, 5, 10, 20])
def test_a_wider_reach_never_leaves_a_bar_out(near):
    """Law: monotony in the reach."""
    stations = [1.5 + 3 * n for n in range(20)]
    assert set(chosen(stations, near_ft=near)) <= set(chosen(stations, near_ft=near + 3))
