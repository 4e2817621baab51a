"""Forecasts written: twice is once, lost is made up for, two at once make one, time alone moves no date."""

from datetime import date, timedelta

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections import tasks
from inspections.actions import forecast as action
from inspections.actions.forecast import forecast_bars, pool_bars
from inspections.models import BarForecast, BarPool, OwedRating
from inspections.queries.forecasts import structures_to_forecast
from inspections.reckoning.forecast_batch import made_forecasts
from inventory.actions.record_history import record_work
from inventory.models import Bar, BarPolicy, Event, Work
from tests.makers.bar_history import days_after, left_ratio, make_decks, read_all

pytestmark = pytest.mark.database
ERECTED = date(2023, 5, 1)
READ_ON = days_after(ERECTED, 60, 400, 800)


@pytest.fixture
def decks(county):
    return make_decks(county.agency, 3, stressed_on=ERECTED, read_on=READ_ON, bars=5)


def ids(decks):
    return [one.pk for one in decks]


def state():
    rows = list(BarForecast.objects.order_by("pk").values())
    for row in rows:
        row.pop("made_at")
    return rows, Event.objects.count(), OwedRating.objects.count()


def test_a_row_for_every_row_of_bars_with_its_dates_in_order(decks, now):
    """Law: the lower edge reaches a pressure no later than the middle does, and lies below it today."""
    done = forecast_bars(structure_ids=ids(decks), at=now)
    assert (done.looked_at, done.written) == (3, 3)
    for row in BarForecast.objects.all():
        assert row.problem == "" and row.made_on == date(2026, 6, 15)
        assert 0.0 < row.lower_psi_today < row.middle_psi_today < 100.0
        assert row.needed_psi == 40.0 and 0.0 <= row.chance_below_need_ratio <= 1.0
        assert row.need_reached_middle_on is None or row.need_reached_early_on <= row.need_reached_middle_on


def test_near_the_law_it_was_made_by(decks, now):
    """Simulated by R = 1 - 0.13 log10(1 + t): the mean force today, t = 1,141 days, within a tenth of 57,600 R."""
    forecast_bars(structure_ids=ids(decks), at=now)
    expected = 57_600 * left_ratio((date(2026, 6, 15) - ERECTED).days)
    means = [row.results["forecast"]["points"][0]["mean_middle_lb"] for row in BarForecast.objects.all()]
    assert sum(means) / 3 == pytest.approx(expected, rel=0.10)


def test_twice_is_once(decks, now):
    forecast_bars(structure_ids=ids(decks), at=now)
    before = state()
    again = forecast_bars(structure_ids=ids(decks), at=now + timedelta(minutes=5))
    assert state() == before and (again.written, again.told) == (0, 0)


def test_a_whole_night_twice_is_once(decks, now):
    """Both stages again: the pool from what was kept is the pool as fitted, so no forecast is made anew."""
    before = None
    for minutes in (0, 5):
        pool_bars(agency=decks[0].agency, at=now + timedelta(minutes=minutes))
        done = forecast_bars(structure_ids=ids(decks), at=now + timedelta(minutes=minutes))
        before = before if minutes else state()
    assert (done.written, done.told) == (0, 0) and state() == before


def test_two_at_once_write_one_row_and_tell_once(decks, now, monkeypatch):
    """Both compute before either writes: the second finds what the first wrote and adds nothing."""
    computed = made_forecasts(ids(decks), date(2026, 6, 15))
    forecast_bars(structure_ids=ids(decks), at=now)
    before = state()
    monkeypatch.setattr(action, "made_forecasts", lambda *_: computed)
    forecast_bars(structure_ids=ids(decks), at=now)
    assert state() == before


def test_an_earlier_look_never_replaces_a_later_one(decks, now, monkeypatch):
    stale = made_forecasts(ids(decks), date(2026, 6, 15))
    for deck in decks:
        read_all(deck, date(2026, 6, 10), 20_000.0)
    forecast_bars(structure_ids=ids(decks), at=now)
    before = state()
    monkeypatch.setattr(action, "made_forecasts", lambda *_: stale)
    forecast_bars(structure_ids=ids(decks), at=now - timedelta(seconds=1))
    assert state() == before


def test_killed_in_the_middle_leaves_whole_rows_and_the_next_run_the_rest(decks, now, monkeypatch):
    def die(*_args, **_more):
        raise RuntimeError("the worker was killed")

    with monkeypatch.context() as broken:
        broken.setattr(action, "_owe_ratings", die)
        with pytest.raises(RuntimeError):
            forecast_bars(structure_ids=ids(decks), at=now)
    assert state() == ([], 0, 0)
    assert forecast_bars(structure_ids=ids(decks), at=now).written == 3


def test_time_alone_moves_no_date_and_never_raises_the_pressure(decks, now):
    """Law: force only falls; with nothing new on record every date stays the night after, and weeks after."""
    forecast_bars(structure_ids=ids(decks), at=now)
    dates = ("need_reached_early_on", "posting_horizon_on", "recommended_on", "digest")
    before = {row.pk: row for row in BarForecast.objects.all()}
    for days in (1, 20):
        forecast_bars(structure_ids=ids(decks), at=now + timedelta(days=days))
        for row in BarForecast.objects.all():
            assert row.made_on == date(2026, 6, 15) + timedelta(days=days)
            assert [getattr(row, name) for name in dates] == [getattr(before[row.pk], name) for name in dates]
            assert row.lower_psi_today <= before[row.pk].lower_psi_today
            assert row.chance_below_need_ratio >= before[row.pk].chance_below_need_ratio
    assert Event.objects.filter(verb="forecast_bars").count() <= 3


def test_made_wholly_anew_after_four_weeks_a_few_days_move_nothing(decks, now):
    forecast_bars(structure_ids=ids(decks), at=now)
    before = {row.pk: row.recommended_on for row in BarForecast.objects.all()}
    forecast_bars(structure_ids=ids(decks), at=now + timedelta(days=29))
    for row in BarForecast.objects.all():
        assert row.results["made_anew_on"] == "2026-07-14" and row.recommended_on == before[row.pk]


def test_a_reading_far_lower_brings_the_date_forward_and_is_told_once(county, now):
    """Stressed to 139 psi, so nothing is owed; then 24,000 / 576 = 41.7 psi is read, below 1.25 x 40."""
    deck = make_decks(county.agency, 1, stressed_on=ERECTED, read_on=READ_ON, bars=5, force_lb=80_000.0)[0]
    forecast_bars(structure_ids=[deck.pk], at=now)
    before = BarForecast.objects.get(structure=deck)
    events = Event.objects.filter(structure=deck, verb="forecast_bars").count()
    read_all(deck, date(2026, 6, 20), 24_000.0)
    forecast_bars(structure_ids=[deck.pk], at=now + timedelta(days=6))
    after = BarForecast.objects.get(structure=deck)
    assert after.digest != before.digest and after.lower_psi_today < before.lower_psi_today
    assert before.recommended_on is None or after.recommended_on <= before.recommended_on
    assert after.recommended_on == date(2026, 6, 20) and "read on 20 Jun 2026" in after.recommended_why
    assert Event.objects.filter(structure=deck, verb="forecast_bars").count() == events + 1


def test_a_pull_sets_every_date_anew(decks, now):
    deck = decks[0]
    read_all(deck, date(2026, 6, 10), 24_000.0)
    forecast_bars(structure_ids=[deck.pk], at=now)
    assert BarForecast.objects.get().recommended_on <= date(2026, 6, 15)
    Work.objects.create(structure=deck, kind="retension", done_on=date(2026, 6, 16), summary="x")
    forecast_bars(structure_ids=[deck.pk], at=now + timedelta(days=2))
    row = BarForecast.objects.get()
    assert row.middle_psi_today > 80.0 and (row.recommended_on is None or row.recommended_on > date(2026, 12, 1))


def test_what_cannot_be_forecast_says_why_and_keeps_the_rest_going(county, now):
    """No stressing on record: a sentence, no number; the other structure of the batch gets its forecast."""
    mute = make_decks(county.agency, 1, stressed_on=ERECTED, bars=4, prefix="MU")[0]
    mute.works.all().delete()
    good = make_decks(county.agency, 1, stressed_on=ERECTED, bars=4)[0]
    forecast_bars(structure_ids=[mute.pk, good.pk], at=now)
    row = BarForecast.objects.get(structure=mute)
    assert "stressings on record" in row.problem and row.lower_psi_today is None
    assert BarForecast.objects.get(structure=good).problem == ""


def test_a_row_that_breaks_the_computation_stops_no_other(decks, now, monkeypatch):
    from inspections.reckoning import forecast as reckoning

    real = reckoning.forecast

    def sometimes(row, **given):
        if decks[1].number in row.label:
            raise ValueError("array must not contain infs or NaNs")
        return real(row, **given)

    monkeypatch.setattr(reckoning, "forecast", sometimes)
    assert forecast_bars(structure_ids=ids(decks), at=now).written == 3
    assert "could not be computed" in BarForecast.objects.get(structure=decks[1]).problem
    assert BarForecast.objects.filter(problem="").count() == 2


def test_a_pool_kept_by_an_older_edition_lends_nothing(decks, now):
    """Its numbers stand for other nodes: forecast without it until the next night pools again."""
    pool_bars(agency=decks[0].agency, at=now)
    kept = BarPool.objects.get()
    kept.pool = kept.pool | {"grid_key": "older", "total": {"slopes": [0.0], "pairs": [0.0], "rows": 3}}
    kept.save()
    forecast_bars(structure_ids=ids(decks), at=now)
    for row in BarForecast.objects.all():
        assert row.problem == "" and row.results["forecast"]["pooled_with"] == 0


def test_bars_taken_off_the_record_take_their_forecast_with_them(decks, now):
    forecast_bars(structure_ids=ids(decks), at=now)
    Bar.objects.filter(system__span__structure=decks[0]).delete()
    forecast_bars(structure_ids=ids(decks), at=now + timedelta(minutes=1))
    assert not BarForecast.objects.filter(structure=decks[0]).exists() and BarForecast.objects.count() == 2


def test_the_others_lend_their_losses_and_a_row_never_its_own(decks, now):
    """Pool of three: each row leans on the two others. A pool in pieces is the same pool."""
    assert pool_bars(agency=decks[0].agency, at=now) == 3
    forecast_bars(structure_ids=ids(decks), at=now)
    assert {row.results["forecast"]["pooled_with"] for row in BarForecast.objects.all()} == {2}
    whole = BarPool.objects.get().pool["total"]
    pieces = action.joined_pools(action.partial_pools([pk], date(2026, 6, 15)) for pk in ids(decks))
    (piece,) = pieces.values()
    assert piece.total.rows == 3
    assert list(piece.total.slopes) == pytest.approx(whole["slopes"], abs=0.01)
    assert list(piece.total.pairs) == pytest.approx(whole["pairs"], abs=0.01)


def test_a_pool_of_an_older_policy_lends_nothing_until_it_is_made_again(decks, now):
    pool_bars(agency=decks[0].agency, at=now)
    BarPolicy.objects.create(agency=decks[0].agency, log_slope_ratio=0.11, revision=1)
    forecast_bars(structure_ids=ids(decks), at=now)
    assert {row.results["forecast"]["pooled_with"] for row in BarForecast.objects.all()} == {0}
    pool_bars(agency=decks[0].agency, at=now + timedelta(minutes=1))
    forecast_bars(structure_ids=ids(decks), at=now + timedelta(minutes=1))
    assert {row.results["forecast"]["pooled_with"] for row in BarForecast.objects.all()} == {2}


def test_the_sweep_finds_whatever_was_lost(decks, county, now, monkeypatch):
    """Never made; made yesterday; a changed policy; a pull recorded by a person since. Otherwise it finds nothing."""
    today, agency = date(2026, 6, 15), county.agency
    assert structures_to_forecast(agency, today) == ids(decks)
    forecast_bars(structure_ids=ids(decks), at=now)
    assert structures_to_forecast(agency, today) == []
    assert structures_to_forecast(agency, today + timedelta(days=1)) == ids(decks)
    fields = {"kind": "retension", "done_on": today, "summary": "All bars.", "crew": ""}
    record_work(structure=decks[1], fields=fields, by=county.people["crew"], at=now + timedelta(minutes=3))
    assert structures_to_forecast(agency, today) == [decks[1].pk]
    forecast_bars(structure_ids=[decks[1].pk], at=now + timedelta(minutes=5))
    assert structures_to_forecast(agency, today) == []
    BarPolicy.objects.create(agency=agency, revision=1)
    assert structures_to_forecast(agency, today) == ids(decks)


def test_the_sweep_pools_first_and_hands_out_batches(decks, monkeypatch):
    sent = []
    monkeypatch.setattr(tasks, "_tell_worker", lambda task, key: sent.append((task.name, key)))
    assert tasks.sweep_forecasts() == 3
    assert sent == [("inspections.forecast_bars", ids(decks))] and BarPool.objects.count() == 1
    tasks.forecast_bars_of(ids(decks))
    assert tasks.sweep_forecasts() == 0 and BarForecast.objects.count() == 3


def test_as_many_queries_for_many_as_for_two(county, now):
    decks = make_decks(county.agency, 6, stressed_on=ERECTED, read_on=READ_ON[:1], bars=4)
    forecast_bars(structure_ids=ids(decks), at=now)
    counts = []
    for some in (decks[:2], decks):
        with CaptureQueriesContext(connection) as queries:
            made_forecasts(ids(some), date(2026, 6, 16))
        counts.append(len(queries))
    assert counts[0] == counts[1] <= 35


def test_the_command_does_the_same_and_tells_how_far_it_is(decks, capsys):
    call_command("forecast_bars", agency=decks[0].agency.name)
    told = capsys.readouterr().out
    assert "3 of 3 forecast" in told and "3 rows of bars in 1 pools" in told and BarForecast.objects.count() == 3
    with pytest.raises(CommandError, match="No agency Nowhere; known are Quill County"):
        call_command("forecast_bars", agency="Nowhere")
    with pytest.raises(CommandError, match="1 to 64 workers"):
        call_command("forecast_bars", workers=0)
