"""Rows of the register to the row of bars a forecast takes: nothing invented, nothing lost, in fixed queries."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections.assembly.bar_policy import loss_policy_of
from inspections.assembly.bars import bar_pressures
from inspections.assembly.loss_history import loss_histories
from inspections.models import Finding, Inspection
from inspections.queries.clock_facts import clock_facts
from inspections.reckoning.force_history import read_days
from inspections.rules.clocks.bars import standing_forces
from inspections.rules.frost import FROST, FROST_UNKNOWN, SAME_DAY
from inventory.mechanics.bars.loss import forecast
from inventory.models import Agency, Bar, BarPolicy, Span, StressingSystem, Work
from inventory.queries.bars import bar_policy_of
from tests.makers.bar_history import days_after, make_decks, read_all

from .made import finished_day

pytestmark = pytest.mark.database
ERECTED = date(2020, 5, 4)
AS_OF = date(2026, 6, 15)


@pytest.fixture
def deck(county):
    return make_decks(county.agency, 1, stressed_on=ERECTED, bars=4)[0]


def row_of(structure, as_of=AS_OF):
    policy = loss_policy_of(bar_policy_of(structure.agency))
    (history,) = loss_histories([structure], {structure.agency_id: policy}, as_of)[structure.pk]
    return history


def check(structure, on, **fields):
    inspection = Inspection.objects.create(
        structure=structure, kind="bar_check", state=fields.pop("state", "accepted"), field_completed_on=on
    )
    bar = Bar.objects.get(system__span__structure=structure, number=fields.pop("number", 1))
    return Finding.objects.create(
        inspection=inspection, bar=bar, **({"kind": "bar_force", "force_method": "lift_off"} | fields)
    )


def test_policy_row_goes_to_the_kernel_name_by_name(county):
    policy = BarPolicy(agency=county.agency, log_slope_ratio=0.11, wet_above_pct=23.0, band_ratio=0.9)
    loss = loss_policy_of(policy)
    assert (loss.log_slope_ratio, loss.wet_above_pct, loss.band_ratio) == (0.11, 23.0, 0.9)


def test_bars_stand_in_the_order_of_their_stations_with_the_target(deck):
    Bar.objects.filter(system__span__structure=deck, number=1).update(station_ft=15.5)
    history = row_of(deck)
    assert history.row.stations_ft == (6.0, 10.0, 14.0, 15.5) and history.numbers == (2, 3, 4, 1)
    assert (history.row.target_lb, history.row.thickness_in, history.row.length_ft) == (57_600.0, 12.0, 16.0)
    assert history.row.kind == "stress_laminated mid" and deck.number in history.row.label


def test_readings_of_one_bar_and_day_are_their_mean_with_repeats(deck):
    """Two readings, one itself a mean of three: (3 x 40,000 + 44,000) / 4 = 41,000 lb, four readings in it."""
    on = date(2021, 6, 1)
    check(deck, on, force_lb=40_000.0, repeats_lb=[39_000, 40_000, 41_000])
    check(deck, on, force_lb=44_000.0)
    (read,) = row_of(deck).row.readings
    assert (read.force_lb, read.repeats, read.left_out) == (41_000.0, 4, "")
    (facts,) = clock_facts([deck.pk])[deck.pk][0].bars
    assert min(force for _on, force in standing_forces(facts).values()) == 40_000.0
    assert bar_pressures(structure=deck, as_of=on).by_span[1].counted[0].force_lb == 40_000.0


def test_what_is_no_standing_force_or_not_handed_over_stays_out(deck):
    on = date(2021, 6, 1)
    check(deck, on, force_lb=60_000.0, force_method="lock_off")
    check(deck, on, force_lb=40_000.0, state="draft")
    check(deck, AS_OF + timedelta(days=1), force_lb=40_000.0)
    assert row_of(deck).row.readings == ()


def test_loose_and_broken_bars_carry_nothing(deck):
    on = date(2021, 6, 1)
    check(deck, on, force_method="hand_loose", force_lb=None)
    check(deck, on, number=2, kind="broken", force_method="")
    assert [(read.bar_index, read.force_lb) for read in row_of(deck).row.readings] == [(0, 0.0), (1, 0.0)]


@pytest.mark.parametrize(
    ("temp_f", "moisture", "reason"),
    [(20.0, 25.0, FROST), (20.0, None, FROST_UNKNOWN), (20.0, 15.0, ""), (50.0, 25.0, "")],
)
def test_frost_with_wet_wood_leaves_the_fit_and_never_the_rating(deck, temp_f, moisture, reason):
    on = date(2026, 1, 12)
    read_all(deck, on, 20_000.0, wood_temp_f=temp_f, moisture_pct=moisture)
    assert {read.left_out for read in row_of(deck).row.readings} == {reason}
    assert bar_pressures(structure=deck, as_of=AS_OF).by_span[1].least_psi == pytest.approx(20_000 / 576)


def test_a_finished_stressing_day_gives_the_forces_it_left(deck, now):
    """Read after the last pull or computed: both are what was left; only those read count as readings."""
    on = date(2024, 5, 6)
    left = {1: (55_000.0, True), 2: (54_000.0, False), 3: (53_000.0, True), 4: (52_000.0, False)}
    finished_day(deck, on, now, left)
    first, second = row_of(deck).row.stressed
    assert first.forces_lb == () and second.forces_lb == (55_000.0, 54_000.0, 53_000.0, 52_000.0)
    assert second.on_day == on.toordinal()


def test_read_before_the_pull_of_the_day_is_told_apart_from_read_after_it(deck, now):
    """Bar 1 read 30,000 lb as found and 55,000 after: 55,000 stands everywhere. Bar 2 only as found: not in the fit."""
    on = date(2026, 5, 6)
    read_all(deck, on, 30_000.0)
    finished_day(deck, on, now, {1: (55_000.0, True)})
    history = row_of(deck)
    assert [(read.bar_index, read.left_out) for read in history.row.readings] == [(n, SAME_DAY) for n in (1, 2, 3)]
    (facts,) = clock_facts([deck.pk])[deck.pk][0].bars
    assert {bar.number: force for bar, (_on, force) in standing_forces(facts).items()} == {1: 55_000.0}
    counted = bar_pressures(structure=deck, as_of=AS_OF).by_span[1].counted
    assert [one.force_lb for one in counted] == [55_000.0, 30_000.0, 30_000.0, 30_000.0]


def test_forces_read_at_the_first_stressing_are_what_it_left(deck):
    """A bar that held nothing before cannot have been read before the pull."""
    read_all(deck, ERECTED, 56_000.0)
    history = row_of(deck)
    assert history.row.readings == () and history.row.stressed[0].forces_lb == (56_000.0,) * 4


def test_only_the_present_erection_counts(deck):
    """Taken down and stressed again in 2025: pulls and readings from before are of another deck."""
    read_all(deck, date(2022, 6, 1), 30_000.0)
    Work.objects.create(structure=deck, kind="retension", done_on=date(2023, 5, 1), summary="x")
    Work.objects.create(structure=deck, kind="stressing", done_on=date(2025, 5, 1), summary="x")
    read_all(deck, date(2025, 9, 1), 50_000.0)
    history = row_of(deck)
    assert [stressed.on_day for stressed in history.row.stressed] == [date(2025, 5, 1).toordinal()]
    assert {read.on_day for read in history.row.readings} == {date(2025, 9, 1).toordinal()}


def test_a_day_on_one_span_pulls_no_bar_of_another(deck, now):
    """The second span was last pulled at erection, whatever was done on the first."""
    span = Span.objects.create(structure=deck, index=2, length_ft=16.0, system="stress_laminated", deck_kind="none")
    system = StressingSystem.objects.create(
        span=span, bar_diameter_in=1.0, bar_area_in2=0.85, spacing_in=48.0, stressed_depth_in=12.0
    )
    Bar.objects.bulk_create(Bar(system=system, number=n + 1, station_ft=4.0 * n + 2.0) for n in range(4))
    on = date(2026, 4, 7)
    day = finished_day(deck, on, now, {})
    assert day.system_id != system.pk
    first, second = clock_facts([deck.pk])[deck.pk][0].bars
    assert (first.last_stressed_on, second.last_stressed_on) == (on, ERECTED)
    policy = loss_policy_of(bar_policy_of(deck.agency))
    rows = loss_histories([deck], {deck.agency_id: policy}, AS_OF)[deck.pk]
    assert [len(history.row.stressed) for history in rows] == [2, 1]


def test_a_work_without_readings_does_not_mend_a_broken_bar(deck):
    """The office enters "all bars to target" after bar 2 was found broken: slack in the forecast and nothing in the
    rating until it is read; the bars beside it are taken at the target."""
    read_all(deck, date(2025, 4, 1), 45_000.0)
    check(deck, date(2025, 5, 1), number=2, kind="broken", force_method="")
    Work.objects.create(structure=deck, kind="retension", done_on=date(2025, 6, 1), summary="All bars to target.")
    row = row_of(deck).row
    assert row.stressed[-1].forces_lb == (None, 0.0, None, None)
    told = forecast(
        row,
        policy=loss_policy_of(bar_policy_of(deck.agency)),
        from_day=float(AS_OF.toordinal()),
        days_ahead=365.0,
    )
    assert told.bars[1].middle_lb == 0.0 and told.bars[0].middle_lb > 30_000.0
    assert bar_pressures(structure=deck, as_of=AS_OF).by_span[1].bars.forces_lb[1] == 0.0
    check(deck, date(2026, 5, 1), number=2, force_lb=50_000.0)
    assert row_of(deck).row.readings[-1].force_lb == 50_000.0
    assert read_days(row_of(deck))[-1].mean_lb == 50_000.0


def test_many_structures_in_as_many_queries_as_two(county):
    read_on = days_after(ERECTED, 40, 400)
    decks = make_decks(county.agency, 9, stressed_on=ERECTED, read_on=read_on, bars=4)
    policies = {county.agency.pk: loss_policy_of(bar_policy_of(county.agency))}
    counts = []
    for some in (decks[:2], decks):
        with CaptureQueriesContext(connection) as queries:
            found = loss_histories(some, policies, AS_OF)
        counts.append(len(queries))
        assert all(len(found[one.pk][0].row.readings) == 8 for one in some)
    assert counts[0] == counts[1] <= 6 and Agency.objects.exists()


def test_a_reading_sent_back_lowers_and_lifts_nothing(deck):
    """30,000 lb stands firm; sent back, 50,000 is not believed before it is put right, 20,000 is."""
    check(deck, date(2021, 6, 1), force_lb=30_000.0)
    check(deck, date(2022, 6, 1), force_lb=50_000.0, state="sent_back")
    assert [read.force_lb for read in row_of(deck).row.readings] == [30_000.0]
    check(deck, date(2023, 6, 1), force_lb=20_000.0, state="sent_back")
    assert [read.force_lb for read in row_of(deck).row.readings] == [30_000.0, 20_000.0]
    facts, _ = clock_facts([deck.pk])[deck.pk]
    (bar,) = [bar for bar in facts.bars[0].bars if bar.number == 1]
    assert [force for _, force in bar.readings] == [30_000.0, 20_000.0]


def test_a_reading_sent_back_counts_where_nothing_else_was_read(deck):
    check(deck, date(2021, 6, 1), force_lb=30_000.0, state="sent_back", number=2)
    assert [read.force_lb for read in row_of(deck).row.readings] == [30_000.0]
