"""What counts as a fall, and what is only loss in time or scatter."""

from __future__ import annotations

import numpy as np
import pytest

from inventory.mechanics.bars.loss.falls import Fall, _middles_without_each, falls_of


def found(table, days=(100.0, 400.0, 900.0)):
    """Falls of a table of forces over expectation: a row of bars per day."""
    values = [(day, bar, value) for day, row in zip(days, table, strict=True) for bar, value in enumerate(row)]
    on, bars, ratio = (np.array(each) for each in zip(*values, strict=True))
    return falls_of(bars=bars, days=on, elapsed_days=on, stressing=np.zeros(len(on), dtype=int), against=np.log(ratio))


def test_scatter_of_a_tenth_and_a_steeper_loss_are_no_falls():
    """Readings within 10 %; and all bars together at 1, 0.9 and 0.8 of what the policy expects."""
    assert found([(1.0, 1.1, 0.9, 1.0), (1.1, 0.95, 0.92, 0.9), (0.9, 1.0, 1.1, 1.05)]) == ()
    assert found([(1.0,) * 4, (0.9,) * 4, (0.8,) * 4]) == ()


@pytest.mark.parametrize("since", [1, 2])
def test_a_bar_falls_from_the_day_that_shows_it(since):
    table = np.ones((3, 4))
    table[since:, 2] = 0.6
    assert found(table) == (Fall(2, 0, (100.0, 400.0, 900.0)[since]),)


def test_a_bar_low_from_the_first_reading_stands_apart_from_it_on():
    table = np.ones((3, 4))
    table[:, 1] = 0.5
    assert found(table) == (Fall(1, 0, 100.0),)


def test_a_low_reading_that_came_back_is_no_fall():
    """A wrong gauge once: the next reading is as before."""
    table = np.ones((3, 4))
    table[1, 2] = 0.6
    assert found(table) == ()


def test_a_day_on_which_all_fall_is_a_fall_of_the_row_and_of_no_bar():
    """Half of the force gone on the last day, in all bars: no bar fell against the others."""
    assert found([(1.0,) * 4, (1.0,) * 4, (0.5,) * 4]) == (Fall(None, 0, 900.0),)


def test_middles_without_each_by_leaving_each_out():
    """Second method: numpy's median of the rest."""
    chance = np.random.default_rng(2)
    for count in (3, 4, 7, 10):
        values = np.round(chance.normal(size=count), 1)
        expected = [np.median(np.delete(values, at)) for at in range(count)]
        assert _middles_without_each(values) == pytest.approx(expected)


def test_unlike_bars_each_get_a_level_of_their_own():
    """Four of six near a sixth of their force, two as before: no common level describes them."""
    table = np.ones((3, 6))
    table[2, 1:5] = (0.18, 0.16, 0.17, 0.19)
    falls = found(table)
    assert {fall.bar for fall in falls} == {None, 0, 1, 2, 3, 4, 5}
    assert {fall.since_day for fall in falls} == {900.0}
