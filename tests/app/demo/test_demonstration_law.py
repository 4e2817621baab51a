"""The demonstration's bars lose force by the law the site states: superposed logarithmic loss.

Shares in percent of the target, slope 0.13 a decade: stressed once 88.3 at 7 days, 77.9 at 49 days, 66.7 at one year,
53.7 at ten; at 0 and 7 days 74.5 at one year; at 0, 7 and 49 days 83.2 at one year, 66.9 at ten (`model`, the table of
the owner's stress-lamination notes; 365.25 days to a year).
"""

from datetime import date, timedelta

import pytest

from ops.demo.bars import sampled, share_left

START = date(2000, 3, 1)


@pytest.mark.parametrize(
    ("stressed", "day", "percent"),
    [
        ((0,), 7, 88.3),
        ((0,), 49, 77.9),
        ((0,), 365, 66.7),
        ((0,), 3652, 53.7),
        ((0, 7), 365, 74.5),
        ((0, 7), 3652, 60.0),
        ((0, 7, 49), 365, 83.2),
        ((0, 7, 49), 3652, 66.9),
    ],
)
def test_the_shares_are_those_of_the_published_table(stressed, day, percent):
    days = [START + timedelta(days=each) for each in stressed]
    share = share_left(START + timedelta(days=day), days, 0.13)
    assert 100 * share == pytest.approx(percent, abs=0.06)


def test_a_stressing_brings_the_target_back_and_later_ones_do_not_count_before():
    days = [START, START + timedelta(days=400)]
    assert share_left(days[1], days, 0.13) == pytest.approx(1.0)
    assert share_left(days[1] - timedelta(days=1), days, 0.13) == share_left(
        days[1] - timedelta(days=1), days[:1], 0.13
    )


def test_a_sample_is_every_third_bar_and_the_last():
    class Numbered:
        def __init__(self, number):
            self.number = number

    assert sampled([Numbered(n) for n in range(1, 12)]) == {1, 4, 7, 10, 11}
