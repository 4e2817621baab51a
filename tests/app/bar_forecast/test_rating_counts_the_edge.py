"""The rating counts the lower of readings and forecast, in whole psi; the fall of the edge owes one rating only."""

from datetime import date, timedelta
from math import floor

import pytest

from inspections import tasks
from inspections.actions import remind
from inspections.actions.forecast import forecast_bars
from inspections.actions.owe import owe_rating
from inspections.actions.rate import settle_owed_rating
from inspections.assembly.bars import bar_pressures
from inspections.assembly.snapshot import assemble_snapshot
from inspections.models import BarForecast, OwedRating, Rating, Reminder
from inventory.models import Event, Work
from tests.makers.bar_history import read_all
from tests.makers.inspected import make_stressed_deck, settle_all

pytestmark = pytest.mark.database
ERECTED = date(2024, 5, 6)
READ_ON = date(2026, 6, 10)


@pytest.fixture
def deck(county):
    """Stressed once to 100 psi in 2024; read 66 psi in June 2026."""
    structure = make_stressed_deck(county.agency)
    system = structure.spans.get().stressing
    system.design_force_lb = 57_600.0
    system.save()
    Work.objects.create(structure=structure, kind="stressing", done_on=ERECTED, summary="x")
    read_all(structure, READ_ON, 38_000.0)
    return structure


def rate(structure, at, cause="test"):
    owe_rating(structure=structure, cause=cause, at=at)
    return settle_all(structure, at)


def lower_edge(structure):
    return BarForecast.objects.get(structure=structure).lower_psi_today


def test_the_lower_of_both_counts_everywhere_alike(deck, now):
    """Readings give 38,000 / 576 = 65.97 psi; the lower edge is below that the day after. Snapshot, rating, standing
    and what the page shows are one number, whole."""
    rating = rate(deck, now)
    edge = lower_edge(deck)
    assert edge < 38_000 / 576
    counted = float(floor(edge))
    assert rating.snapshot["pressures"] == [[1, counted]]
    assert rating.snapshot["cases"][0]["bars"]["least_local_pressure_psi"] == counted
    deck.standing.refresh_from_db()
    assert deck.standing.least_pressure_psi == counted
    pressure = bar_pressures(structure=deck, as_of=date(2026, 6, 15)).by_span[1]
    assert (pressure.counted_psi, pressure.least_psi) == (counted, pytest.approx(38_000 / 576))
    assert any(f"lower edge is {floor(edge)} psi" in line for line in rating.results["notes"])


def test_the_same_whole_psi_is_the_same_rating_whatever_the_day(deck, now):
    """Law: time alone, without a whole psi lost, makes no new rating."""
    first = rate(deck, now)
    again = rate(deck, now + timedelta(days=1))
    assert floor(lower_edge(deck)) == first.snapshot["pressures"][0][1]
    assert again.pk == first.pk and Rating.objects.filter(structure=deck).count() == 1


def test_readings_govern_where_they_are_lower(deck, now):
    """Bars 2 to 5 read at 17,280 lb = 30 psi after the forecast's own day: counts as read, not rounded."""
    read_all(deck, date(2026, 6, 15), 17_280.0)
    rating = rate(deck, now)
    assert rating.snapshot["pressures"][0][1] <= 30.0


def test_an_old_forecast_says_nothing_of_days_before_it(deck, now):
    rate(deck, now)
    assert assemble_snapshot(structure=deck, as_of=READ_ON).pressures == ((1, 38_000 / 576),)


def test_without_readings_in_date_no_forecast_makes_a_pressure(deck, now):
    later = now + timedelta(days=800)
    rating = rate(deck, later)
    assert rating.snapshot["pressures"] == [[1, None]] and lower_edge(deck) > 20.0


def test_a_failing_forecast_never_stands_in_the_way_of_a_rating(deck, now, monkeypatch):
    from inspections.actions import forecast

    monkeypatch.setattr(forecast, "forecast_bars", lambda **_: 1 / 0)
    assert rate(deck, now).snapshot["pressures"] == [[1, 38_000 / 576]]


def fall(structure, by_psi):
    """The kept forecast with every edge lowered, as a worse county-wide loss would."""
    row = BarForecast.objects.get(structure=structure)
    for point in row.results["forecast"]["points"]:
        point["least_lower_psi"] -= by_psi
    row.save()


def test_the_fall_of_the_edge_owes_one_rating_with_its_cause(deck, now):
    rating = rate(deck, now)
    rated = rating.snapshot["pressures"][0][1]
    fall(deck, 1.0)
    forecast_bars(structure_ids=[deck.pk], at=now + timedelta(days=1))
    crossings = [
        psi for psi, _words in BarForecast.objects.get().inputs["known"]["changes"] if rated - 1 < psi <= rated
    ]
    assert OwedRating.objects.filter(state="owed").count() == len(crossings[:1])
    fall(deck, 4.0)
    for minute in range(3):
        forecast_bars(structure_ids=[deck.pk], at=now + timedelta(days=2, minutes=minute))
    (owed,) = OwedRating.objects.filter(state="owed")
    assert f"{rated:.0f} psi when last rated" in owed.cause or "the posting changes" in owed.cause
    settled = settle_owed_rating(owed_id=owed.pk, at=now + timedelta(days=2, hours=1))
    assert settled.state == "done"
    assert not OwedRating.objects.filter(state="owed").exists()


def test_a_rating_already_owed_is_enough(deck, now):
    rate(deck, now)
    owe_rating(structure=deck, cause="Surfacing changed", at=now)
    fall(deck, 10.0)
    forecast_bars(structure_ids=[deck.pk], at=now + timedelta(days=1))
    assert [row.cause for row in OwedRating.objects.filter(state="owed")] == ["Surfacing changed"]


def test_the_standing_follows_a_whole_psi_at_once(deck, now):
    rate(deck, now)
    before = BarForecast.objects.get().lower_psi_today
    fall(deck, 1.0)
    forecast_bars(structure_ids=[deck.pk], at=now + timedelta(days=1))
    deck.standing.refresh_from_db()
    assert deck.standing.least_pressure_psi == float(floor(lower_edge(deck))) < before


def test_the_posting_horizon_comes_from_the_curve_at_the_lower_edge(deck, now):
    """The next pressure of the kept curve at or below what counts; the middle never reaches it before the edge."""
    rating = rate(deck, now)
    (curve,) = rating.results["force_curve"]
    row = BarForecast.objects.get(structure=deck)
    counted = rating.snapshot["pressures"][0][1]
    assert row.inputs["known"]["rating_id"] == rating.pk and row.inputs["known"]["has_curve"]
    signed = [
        step["pressure_psi"] for step in curve["thresholds"]
        if (step["action_below"], step["below_tons"]) != (step["action_above"], step["above_tons"])
    ]  # fmt: skip
    assert row.posting_psi >= max(psi for psi in signed if psi <= counted)
    assert row.posting_psi <= counted
    if row.posting_horizon_on is not None:
        assert row.recommended_on <= max(row.posting_horizon_on - timedelta(days=60), date(2026, 6, 15))


def test_the_need_of_the_rating_comes_first(deck, now):
    rating = rate(deck, now)
    need = next(c["demand"] for c in rating.results["pressed"]["1"]["checks"] if c["name"] == "Pressure needed")
    assert BarForecast.objects.get(structure=deck).needed_psi == pytest.approx(need)


def test_reminder_and_list_say_the_same_date_and_why(county, deck, now):
    at = now + timedelta(days=1)
    read_all(deck, date(2026, 6, 14), 32_000.0)
    rate(deck, at)
    remind.refresh_reminders(structure_ids=[deck.pk], as_of=date(2026, 6, 16), at=at)
    row = BarForecast.objects.get(structure=deck)
    reminder = Reminder.objects.get(structure=deck, kind="retension", state="open")
    assert row.recommended_on is not None and reminder.due_on == row.recommended_on
    assert row.recommended_why in reminder.reason or reminder.reason in row.recommended_why
    page = county.client("supervisor").get("/bars/").content.decode()
    due = county.client("supervisor").get("/due/?kind=retension").content.decode()
    shown = f"{row.recommended_on.day} {row.recommended_on:%b %Y}"
    assert shown in page and shown in due


def test_by_readings_alone_both_say_the_same_too(deck, now):
    """Bars read below 40 psi: the record's rule is the earlier, word for word on both."""
    read_all(deck, date(2026, 6, 14), 20_000.0)
    rate(deck, now)
    remind.refresh_reminders(structure_ids=[deck.pk], as_of=date(2026, 6, 15), at=now)
    row = BarForecast.objects.get(structure=deck)
    reminder = Reminder.objects.get(structure=deck, kind="retension", state="open")
    assert reminder.due_on == row.recommended_on and reminder.reason == row.recommended_why


def test_the_schedule_after_erection_leads_a_new_bridge_on_both(county, now):
    """First stressing 8 Jun 2026: the second one week on, 15 Jun; list and reminder say so. After it, four weeks on."""
    deck = make_stressed_deck(county.agency, number="Q-9")
    deck.spans.get().stressing.__class__.objects.update(design_force_lb=57_600.0)
    Work.objects.create(structure=deck, kind="stressing", done_on=date(2026, 6, 8), summary="x")
    for moment, expected in ((now, date(2026, 6, 15)), (now + timedelta(days=2), date(2026, 7, 13))):
        forecast_bars(structure_ids=[deck.pk], at=moment)
        remind.refresh_reminders(structure_ids=[deck.pk], as_of=moment.date(), at=moment)
        row = BarForecast.objects.get(structure=deck)
        reminder = Reminder.objects.get(structure=deck, kind="retension", state="open")
        assert (row.recommended_on, reminder.due_on) == (expected, expected)
        Work.objects.create(structure=deck, kind="stressing", done_on=date(2026, 6, 15), summary="x")


def test_a_settled_rating_brings_forecast_and_dates_with_it(deck, now):
    owed = owe_rating(structure=deck, cause="test", at=now)
    tasks.settle_rating(owed.pk)
    assert BarForecast.objects.filter(structure=deck).exists()
    assert Reminder.objects.filter(structure=deck).exists() and Event.objects.filter(verb="rate").exists()
