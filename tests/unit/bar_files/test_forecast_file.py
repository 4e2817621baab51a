"""manage.py forecast_force: the form in step with its terms, faults by place, what does not enter, dates that are days.

Laws: what does not enter the fit changes no number; losses only take force away; a row said twice under another name
lends its losses. Force of the example: 57,600 lb = 100 psi x 48 in x 12 in (F = N s t, statics).
"""

from __future__ import annotations

import copy
import json
import os
import subprocess
import sys
from dataclasses import fields
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from inspections.reckoning.forecast_file import BadFile, forecast_rows, read_rows, schema
from inspections.reckoning.forecast_file.form import OF_A_ROW
from inspections.reckoning.forecast_file.limits import LIMITS
from inspections.reckoning.forecast_file.read import SCHEMA
from inspections.reckoning.forecast_file.terms import BarInRow, FileForces, FileReading, FileRow
from inventory.mechanics.bars.loss import LossPolicy
from tests.house.tree import ROOT
from tests.makers.json_places import places_of_numbers, put, words
from tests.unit.bar_files.examples import HOSTILE, rows_to_forecast, run

PUBLISHED = json.loads(SCHEMA.read_text(encoding="utf-8"))
READINGS = ("rows", 0, "readings")


def read(value):
    return read_rows(json.dumps(value).encode())


def answer(value) -> dict:
    return forecast_rows(read(value))


def row_of(value) -> dict:
    return answer(value)["rows"][0]


def faults(value) -> str:
    with pytest.raises(BadFile) as bad:
        read(value)
    return "\n".join(bad.value.sentences)


def without(value: dict, *places: int) -> dict:
    """The example without these readings."""
    kept = [each for at, each in enumerate(value["rows"][0]["readings"]) if at not in places]
    return put(value, READINGS, kept)


def added(value: dict, **reading) -> dict:
    each = {"bar": "4", "force_lb": 44_000, "method": "lift_off"} | reading
    return put(value, READINGS, [*value["rows"][0]["readings"], each])


def test_the_published_form_is_a_form_and_up_to_date():
    """Write it anew: manage.py forecast_force --schema > inspections/reckoning/forecast_file/forecast.schema.json"""
    Draft202012Validator.check_schema(PUBLISHED)
    assert json.loads(json.dumps(schema())) == PUBLISHED
    code, out, _err = run("forecast_force", "--schema")
    assert code == 0 and json.loads(out) == PUBLISHED


def test_every_term_has_its_place_and_every_number_its_limit():
    for cls in (*OF_A_ROW, LossPolicy):
        properties = PUBLISHED["$defs"][cls.__name__]["properties"]
        assert set(properties) == {"note"} | {field.name for field in fields(cls)}
        numbers = {each.name for each in fields(cls) if "float" in str(each.type) or "int" in str(each.type)}
        assert numbers == set(LIMITS.get(cls, {}))


def test_the_example_as_printed_is_forecast():
    told = answer(rows_to_forecast())
    assert told["is_forecast"]
    (row,) = told["rows"]
    made = row["forecast"]
    assert made["from_day"] == made["points"][0]["on_day"] == "2026-05-14"
    days = [date.fromisoformat(point["on_day"]) for point in made["points"]]
    assert days == sorted(days) and (days[-1] - days[0]).days == pytest.approx(20 * 365.25, abs=1)
    for point in made["points"]:
        assert point["least_lower_psi"] <= point["least_middle_psi"] <= point["least_upper_psi"]
        assert point["mean_lower_lb"] <= point["mean_middle_lb"] <= point["mean_upper_lb"] < 57_600
    assert [bar["bar"] for bar in made["bars"]] == [str(n) for n in range(1, 9)]
    assert {bar["bar"] for bar in made["bars"] if bar["is_read"]} == {"2", "4", "7"}
    assert {(each["psi"], each["is_need"]) for each in made["reachings"]} == {(52, True), (45, False)}
    json.dumps(told, allow_nan=False)


def test_a_reading_at_lock_off_is_listed_back_and_enters_nothing():
    """Whatever the gauge showed: not a number of the forecast moves (it is no standing force, `model`)."""
    plain = rows_to_forecast()
    (told,) = row_of(plain)["not_standing"]
    assert told["force_lb"] == 60_500 and "not a standing force" in told["why"]
    for other in (put(plain, (*READINGS, 0, "force_lb"), 10_000), without(plain, 0)):
        assert row_of(other)["forecast"] == row_of(plain)["forecast"]


def test_frost_with_wet_wood_is_left_out_of_the_fit_and_said():
    """By the policy: below 32 F and above 20 % (FPL-RP-605, that such readings recover is checked)."""
    plain = rows_to_forecast()
    row = row_of(plain)
    (cold,) = row["left_out"]
    assert cold["on"] == "2024-01-22" and "frost" in cold["why"] and row["forecast"]["readings_left_out"] == 1
    points = row["forecast"]["points"]
    assert row_of(put(plain, (*READINGS, 4, "force_lb"), 26_000))["forecast"]["points"] == points
    dry = put(plain, (*READINGS, 4, "moisture_pct"), 15)
    warm = plain | {"policy": {"frost_below_f": 12}}
    wet_unknown = copy.deepcopy(plain)
    del wet_unknown["rows"][0]["readings"][4]["moisture_pct"]
    assert not row_of(dry)["left_out"] and not row_of(warm)["left_out"]
    assert "moisture not known" in row_of(wet_unknown)["left_out"][0]["why"]


def test_a_loose_bar_in_frost_stays_slack():
    """No force at all is no matter of frost: the forecast must not take the bar for a tight one."""
    loose = added(rows_to_forecast(), on="2026-01-20", force_lb=0, method="hand_loose", wood_temp_f=10, moisture_pct=30)
    row = row_of(loose)
    (bar,) = [each for each in row["forecast"]["bars"] if each["bar"] == "4"]
    assert bar["middle_lb"] == 0 and len(row["left_out"]) == 1


def test_what_is_later_than_the_first_day_does_not_enter_and_is_said():
    plain = rows_to_forecast()
    later = added(plain, on="2031-01-01", force_lb=20_000)
    assert row_of(later)["forecast"]["points"] == row_of(plain)["forecast"]["points"]
    assert any("dated after" in each for each in row_of(later)["forecast"]["sentences"])


def test_rows_of_one_kind_lend_each_other_their_losses():
    plain = rows_to_forecast()
    other = plain["rows"][0] | {"name": "Mill Road", "kind": plain["rows"][0]["kind"]}
    alone = other | {"name": "Quarry Road", "kind": "another kind"}
    told = answer(plain | {"rows": [plain["rows"][0], other, alone]})
    assert [row["forecast"]["pooled_with"] for row in told["rows"]] == [1, 1, 0]
    assert told["rows"][2]["forecast"]["points"] == row_of(plain)["forecast"]["points"]


def test_a_row_without_a_forecast_says_why_and_the_others_have_theirs():
    plain = rows_to_forecast()
    never = plain["rows"][0] | {"name": "Mill Road", "stressed": []}
    told = answer(plain | {"rows": [never, plain["rows"][0]]})
    assert not told["is_forecast"] and told["rows"][1]["is_forecast"]
    assert "stressings on record" in told["rows"][0]["reasons"][0]
    blind = plain["rows"][0] | {"target_lb": None, "readings": []}
    assert "target" in row_of(plain | {"rows": [blind]})["reasons"][0]


def width_psi(row: dict) -> float:
    point = row["forecast"]["points"][0]
    return (point["least_upper_psi"] - point["least_lower_psi"]) / point["least_middle_psi"]


def test_few_readings_give_a_wide_band_and_no_reading_a_wider_one():
    """Law: what was read narrows the band; with none it still is a band and the answer says on what it rests."""
    plain = rows_to_forecast()
    none, one, six = without(plain, *range(8)), without(plain, 0, 1, 3, 4, 5, 6, 7), without(plain, 0, 4)
    rows = [row_of(each) for each in (none, one, six)]
    widths = [width_psi(row) for row in rows]
    assert widths[0] > widths[1] > widths[2] > 0.05
    assert any("No reading enters the fit" in each for each in rows[0]["forecast"]["sentences"])
    assert any("One reading only" in each for each in rows[1]["forecast"]["sentences"])


def test_identical_dates_and_records_twice_are_one_day():
    plain = rows_to_forecast()
    doubled = put(plain, ("rows", 0, "stressed"), plain["rows"][0]["stressed"] * 2)
    row = row_of(doubled)
    assert row["is_forecast"] and any("twice" in each for each in row["forecast"]["sentences"])
    same_day = copy.deepcopy(plain)
    for each in same_day["rows"][0]["readings"]:
        each["on"] = "2025-06-10"
    assert row_of(same_day)["is_forecast"]


@pytest.mark.parametrize("hostile", HOSTILE, ids=lambda each: repr(each)[:12])
def test_a_hostile_value_is_told_by_its_place(hostile):
    whole = rows_to_forecast() | {"policy": {f.name: getattr(LossPolicy(), f.name) for f in fields(LossPolicy)}}
    whole["rows"][0]["stressed"][0]["left"] = [{"bar": "1", "force_lb": 57_000}]
    whole["rows"][0] |= {"ram_area_in2": 20.6}
    whole["rows"][0]["readings"][1]["repeats"] = 2
    paths = list(places_of_numbers(whole))
    assert len(paths) > 50
    for path in paths:
        assert f"{words(path)} is " in faults(put(whole, path, hostile)), path


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        ((*READINGS, 1, "force_lb"), -1, "rows[0].readings[1].force_lb is -1; give a number at least 0"),
        ((*READINGS, 1, "force_lb"), 130_000, "127,500 lb would break the bar"),
        ((*READINGS, 1, "force_lb"), 81, "as a pressure of 81 psi between laminations it would be 46,656 lb"),
        ((*READINGS, 1, "bar"), "9", "rows[0].readings[1].bar is '9'; give the name of one of the row's bars."),
        ((*READINGS, 1, "on"), "2026-02-30", "readings[1].on is '2026-02-30', which is no day of the calendar."),
        ((*READINGS, 1, "on"), "14 May", "write the date as year-month-day"),
        ((*READINGS, 1, "on"), "0000-00-00", "no day of the calendar"),
        ((*READINGS, 1, "method"), "guess", "choose one of 'lift_off', 'load_cell', 'hand_loose', 'lock_off'."),
        ((*READINGS, 1, "method"), "hand_loose", "a bar loose to the hand has 0"),
        ((*READINGS, 1, "repeats"), 0, "rows[0].readings[1].repeats is 0; give a number at least 1"),
        (("rows", 0, "bars", 1, "name"), "1", "rows[0].bars[1].name is '1', as bars[0]; give each its own."),
        (("rows", 0, "bars"), [], "rows[0].bars has 0 entries; give 1 to 400."),
        (("rows", 0, "thickness_in"), 0, "rows[0].thickness_in is 0; give a number above 0 and at most 60 in."),
        (("rows", 0, "target_lb"), 100, "rows[0].target_lb is 100; give a number at least 1000"),
        (("rows", 0, "needed_psi"), 0, "rows[0].needed_psi is 0; give a number above 0"),
        (("rows",), [], "rows has 0 entries"),
        (("as_of",), "2026-13-01", "as_of is '2026-13-01', which is no day of the calendar."),
        (("policy",), {"log_slope_ratio": 5}, "policy.log_slope_ratio is 5; give a number at least 0.02"),
        (("years_ahead",), 0, "years_ahead is 0; give a number at least 0.1"),
        (("rows", 0, "reading"), [], "rows[0] has no field reading; did you mean readings?"),
    ],
)
def test_faults_say_where_what_and_what_would_do(path, value, told):
    assert told in faults(put(rows_to_forecast(), path, value))


def test_more_forces_than_the_fit_can_hold_are_refused():
    plain = rows_to_forecast()
    left = [{"bar": str(n), "force_lb": 57_000} for n in range(1, 9)]
    stressed = [{"on": f"2021-06-{day:02d}", "left": left * 5} for day in range(1, 26)]
    told = faults(put(plain, ("rows", 0, "stressed"), stressed))
    # 25 stressings of 40 forces and 8 readings.
    assert "rows[0] has 1008 forces" in told and "at most 1000" in told


def test_two_rows_of_one_name_are_refused():
    plain = rows_to_forecast()
    assert "rows[1].name is" in faults(plain | {"rows": plain["rows"] * 2})


def test_a_confirmed_force_is_taken_as_it_is():
    """A bar that holds 81 lb is as good as loose, and the least local pressure falls."""
    plain = put(rows_to_forecast(), (*READINGS, 6, "force_lb"), 81)
    plain["rows"][0]["readings"][6]["confirmed"] = True
    low, usual = (row_of(each)["forecast"]["points"][0]["least_middle_psi"] for each in (plain, rows_to_forecast()))
    assert low < 0.75 * usual


def test_a_standing_force_above_the_limit_is_a_warning():
    """0.70 x 150,000 x 0.85 = 89,250 lb (ASTM A722, memory)."""
    row = row_of(put(rows_to_forecast(), (*READINGS, 6, "force_lb"), 95_000))
    assert len(row["warnings"]) == 1 and "89,250 lb" in row["warnings"][0] and "engineer" in row["warnings"][0]


@pytest.mark.parametrize("force_lb", [0, 1e-300, 1e-6, 0.9])
def test_a_bar_left_with_next_to_nothing_is_slack_and_no_crash(force_lb):
    """A force no gauge shows is none."""
    whole = put(rows_to_forecast(), ("rows", 0, "stressed", 2, "left"), [{"bar": "1", "force_lb": force_lb}])
    whole["rows"][0]["stressed"][2]["left"].append({"bar": "2", "force_lb": 57_000})
    row = row_of(whole)
    assert row["is_forecast"] and row["forecast"]["bars"][0]["middle_lb"] < 10
    json.dumps(row, allow_nan=False)


@pytest.mark.parametrize("force_lb", [1_000, 10_000])
def test_a_bar_left_with_less_than_it_held_gains_nothing(force_lb):
    """Law: no force comes back by itself; the room above is what is uncertain of the reading (5 percent, `model`)."""
    left = [{"bar": "1", "force_lb": force_lb}, {"bar": "2", "force_lb": 57_000}]
    whole = put(rows_to_forecast(), ("rows", 0, "stressed", 2, "left"), left)
    whole["rows"][0]["stressed"][2]["left"][0]["note"] = "relaxed by its neighbours"
    assert row_of(whole)["forecast"]["bars"][0]["middle_lb"] < 1.2 * force_lb


@pytest.mark.parametrize("force_lb", [25_000, 8_000, 1_000])
def test_a_bar_that_fell_stands_as_last_read(force_lb):
    """Read alike in 2022, then far down: within a fifth of the last reading, not of the one before."""
    fallen = put(rows_to_forecast(), (*READINGS, 6, "force_lb"), force_lb)
    fallen["rows"][0]["readings"][6]["confirmed"] = True
    assert row_of(fallen)["forecast"]["bars"][3]["middle_lb"] == pytest.approx(force_lb, rel=0.2)


@pytest.mark.parametrize("as_of", ["0001-01-01", "9999-12-31", "2021-06-01", "2021-05-31"])
def test_any_day_of_the_calendar_gives_a_forecast_or_a_reason(as_of):
    row = row_of(rows_to_forecast() | {"as_of": as_of, "years_ahead": 100})
    assert row["is_forecast"] or row["reasons"]
    json.dumps(row, allow_nan=False)


def numbers(limit):
    least = limit.least + (1e-6 * (limit.most - limit.least) if limit.above else 0.0)
    return st.sampled_from([least, limit.most]) | st.floats(least, limit.most)


CLASSES = {"bars": BarInRow, "readings": FileReading, "left": FileForces, "policy": LossPolicy}
WHOLE = {"repeats"}


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_any_value_within_its_limits_gives_a_forecast_or_a_reason(data):
    """One to four numbers anywhere within their limits: never a traceback, never NaN, never a band upside down."""
    whole = rows_to_forecast() | {"policy": {f.name: getattr(LossPolicy(), f.name) for f in fields(LossPolicy)}}
    whole["rows"][0]["stressed"][2]["left"] = [{"bar": "1", "force_lb": 57_000}, {"bar": "5", "force_lb": 58_000}]
    for _ in range(data.draw(st.integers(1, 4))):
        path = data.draw(st.sampled_from([p for p in places_of_numbers(whole) if p[-1] not in ("form", "years_ahead")]))
        cls = next((CLASSES[step] for step in reversed(path) if step in CLASSES), FileRow)
        name = "levels_psi" if "levels_psi" in path else path[-1]
        whole = put(whole, path, data.draw(numbers(LIMITS[cls][name])))
    try:
        row = row_of(whole)
    except BadFile as bad:
        assert bad.sentences
        return
    assert row["is_forecast"] or row["reasons"]
    json.dumps(row, allow_nan=False)
    for point in (row["forecast"] or {"points": []})["points"]:
        assert 0 <= point["least_lower_psi"] <= point["least_middle_psi"] <= point["least_upper_psi"]


def test_codes_and_words_of_the_command(tmp_path):
    good, never, bad = (tmp_path / f"{name}.json" for name in ("good", "never", "bad"))
    good.write_text(json.dumps(rows_to_forecast()))
    never.write_text(json.dumps(put(rows_to_forecast(), ("rows", 0, "stressed"), [])))
    bad.write_text("[]")
    code, out, err = run("forecast_force", str(good), "--json")
    assert (code, err) == (0, "") and json.loads(out)["rows"][0]["forecast"]
    code, out, err = run("forecast_force", str(good), str(never))
    assert (code, err) == (1, "") and len(json.loads(out)["files"]) == 2
    code, out, _err = run("forecast_force", str(never), "--brief")
    assert code == 1 and "NO FORECAST" in out
    code, out, _err = run("forecast_force", str(good), "--brief")
    assert code == 0 and "2026-05-14" in out and "52 psi (needed)" in out and "not a standing force" in out
    code, out, err = run("forecast_force", str(bad))
    assert code == 2 and out == "" and "Traceback" not in err
    assert run("forecast_force")[0] == 2


def test_no_database_is_touched_and_none_is_made(tmp_path):
    """A database that answers nobody, and a state folder that stays without a database file; input by a pipe."""
    environment = os.environ | {
        "SPANLEDGER_STATE": str(tmp_path / "state"),
        "DATABASE_URL": "postgresql://nobody@127.0.0.1:1/none",
    }
    command = [sys.executable, "manage.py", "forecast_force", "-"]
    data = json.dumps(rows_to_forecast()).encode()
    done = subprocess.run(command, cwd=ROOT, env=environment, input=data, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout)["is_forecast"]
    assert not list((tmp_path / "state").glob("*.sqlite3*"))
