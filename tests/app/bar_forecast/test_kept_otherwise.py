"""A forecast or a pool kept by another version: told on its page, never broken, and made anew by the next run."""

from copy import deepcopy
from datetime import date

import pytest

from inspections.actions.forecast import forecast_bars, pool_bars
from inspections.models import BarForecast, BarPool
from inspections.queries.forecasts import bar_estimates, lower_edges
from inspections.reckoning.forecast_kept import is_readable
from tests.makers.bar_history import days_after, make_decks

pytestmark = pytest.mark.database
ERECTED = date(2023, 5, 1)
SAID = "made by another version of this software and cannot be shown"


@pytest.fixture
def deck(county, now):
    found = make_decks(county.agency, 2, stressed_on=ERECTED, read_on=days_after(ERECTED, 60, 400), bars=5)
    pool_bars(agency=county.agency, at=now)
    forecast_bars(structure_ids=[one.pk for one in found], at=now)
    return found[0]


def lacks_a_result(inputs, results):
    del results["own"]


def lacks_a_fit(inputs, results):
    del results["forecast"]["fits"]


def has_renamed_points(inputs, results):
    for point in results["forecast"]["points"]:
        point["lowest_psi"] = point.pop("least_lower_psi")


def has_renamed_bars(inputs, results):
    for bar in results["forecast"]["bars"]:
        bar["mid_lb"] = bar.pop("middle_lb")


def has_an_unknown_field(inputs, results):
    results["forecast"]["colour"] = "green"


def lacks_an_input(inputs, results):
    del inputs["row"]["stressed"]


def lacks_what_the_rating_said(inputs, results):
    del inputs["known"]["needed_psi"]


CHANGES = [lacks_a_result, lacks_a_fit, has_renamed_points, has_renamed_bars, has_an_unknown_field, lacks_an_input,
           lacks_what_the_rating_said]  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_a_forecast_kept_otherwise(county, deck, now, change):
    row = BarForecast.objects.get(structure=deck)
    assert is_readable(row.inputs, row.results) and len(bar_estimates(row)) == 5
    inputs, results = deepcopy(row.inputs), deepcopy(row.results)
    change(inputs, results)
    assert not is_readable(inputs, results)
    BarForecast.objects.filter(pk=row.pk).update(inputs=inputs, results=results)
    client = county.client("supervisor")
    assert SAID in client.get(f"/structures/{deck.pk}/bars/").content.decode()
    for address in ("/bars/", f"/structures/{deck.pk}/", f"/structures/{deck.pk}/stressing/plan/", "/due/"):
        assert client.get(address).status_code == 200, address
    assert lower_edges(deck, now.date())[row.system_id] == pytest.approx(row.lower_psi_today, abs=0.02)
    forecast_bars(structure_ids=[deck.pk], at=now)
    row.refresh_from_db()
    assert is_readable(row.inputs, row.results)
    page = client.get(f"/structures/{deck.pk}/bars/").content.decode()
    assert SAID not in page and "Need reached" in page


@pytest.mark.parametrize("kept", [{}, {"total": {"slopes": []}}, {"total": None}, {"sum": {}}])
def test_a_pool_kept_otherwise_lends_nothing_until_it_is_made_again(county, deck, now, kept):
    BarPool.objects.update(pool=kept)
    forecast_bars(structure_ids=[deck.pk], at=now)
    row = BarForecast.objects.get(structure=deck)
    assert row.problem == "" and row.results["forecast"]["pooled_with"] == 0
    pool_bars(agency=county.agency, at=now)
    forecast_bars(structure_ids=[deck.pk], at=now)
    row.refresh_from_db()
    assert row.results["forecast"]["pooled_with"] == 1
