"""The night's forecasts through the database: twice the structures must not cost more than about twice the time.

Each has ten bars read on four days. There is no outside tool to hold it against; the law is that the work grows
linearly, since rows of a kind meet only in a sum. Processor time is measured, so that a busy machine changes little.
"""

import time
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from inspections.actions.forecast import forecast_bars, pool_bars
from inspections.models import BarForecast
from tests.makers.bar_history import days_after, make_decks
from tests.makers.county import make_county

pytestmark = [pytest.mark.bench, pytest.mark.django_db]

SMALL, LARGE = 40, 80
COUNTY = 5000
AIM = 2.6
"""Time of LARGE over time of SMALL: 2 is linear, the rest is left to the machine."""
AT = datetime(2026, 6, 15, 2, 0, tzinfo=ZoneInfo("America/Chicago"))
ERECTED = date(2021, 5, 3)


def night(agency, structures) -> float:
    start = time.process_time()
    pool_bars(agency=agency, at=AT)
    forecast_bars(structure_ids=[one.pk for one in structures], at=AT)
    return time.process_time() - start


def test_twice_the_structures_cost_twice_the_time(capsys):
    took = {}
    for place, count in enumerate((4, SMALL, LARGE)):
        agency = make_county(f"County {count}", f"00{place}").agency
        made = make_decks(
            agency, count, stressed_on=ERECTED, read_on=days_after(ERECTED, 60, 400, 800, 1600), prefix=f"B{place}"
        )
        took[count] = night(agency, made)
    assert BarForecast.objects.filter(problem="").count() == 4 + SMALL + LARGE
    each = took[LARGE] / LARGE
    with capsys.disabled():
        print(
            f"\nnightly forecast, 40 readings each: {SMALL} in {took[SMALL]:.1f} s, {LARGE} in {took[LARGE]:.1f} s of "
            f"processor time, {1000 * each:.0f} ms each; {COUNTY} on two processes about {COUNTY * each / 2:.0f} s"
        )
    assert took[LARGE] / took[SMALL] < AIM
