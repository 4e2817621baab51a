"""Calibration on a day: counted on the calendar by hand."""

from datetime import date

import pytest

from inventory.rules.calibration import calibration_among, calibration_on
from inventory.rules.equipment import efficiency_words, jack_faults

MADE = date(2026, 1, 31)


@pytest.mark.parametrize(
    ("as_of", "state"),
    [
        (date(2026, 1, 30), "not_yet"),
        (MADE, "valid"),
        (date(2026, 12, 31), "valid"),  # 31 days before the end
        (date(2027, 1, 1), "soon"),  # 30 days
        (date(2027, 1, 31), "soon"),  # the last day
        (date(2027, 2, 1), "expired"),
    ],
)
def test_twelve_months_to_the_day(as_of, state):
    told = calibration_on(as_of=as_of, calibrated_on=MADE, months=12)
    assert told.state == state
    assert told.warns is (state in ("expired", "not_yet"))


def test_a_shorter_month_ends_on_its_last_day():
    assert calibration_on(as_of=MADE, calibrated_on=MADE, months=1).until == date(2026, 2, 28)


def test_never_calibrated_warns():
    told = calibration_on(as_of=MADE, calibrated_on=None, months=12)
    assert told.warns and "no calibration" in told.words


def test_a_reading_of_the_past_is_held_against_the_calibration_of_then():
    made = [(date(2026, 3, 1), 12), (date(2024, 3, 1), 12)]
    assert calibration_among(made, as_of=date(2024, 9, 1)).state == "valid"
    assert calibration_among(made, as_of=date(2025, 9, 1)).state == "expired"
    assert calibration_among(made, as_of=date(2026, 9, 1)).state == "valid"
    assert calibration_among(made, as_of=date(2023, 9, 1)).state == "not_yet"
    assert calibration_among([], as_of=date(2023, 9, 1)).state == "never"


GOOD = {
    "name": "Jack 1",
    "serial": "J-1",
    "ram_area_in2": 12.8,
    "efficiency": 0.97,
    "capacity_lb": 120_000.0,
    "gauge_division_psi": 100.0,
    "gauge_most_psi": 10_000.0,
    "calibrated_on": date(2026, 1, 31),
    "calibration_months": 12,
}


def faults(**changed):
    return jack_faults(GOOD | changed, today=date(2026, 6, 1), serials=frozenset({"j-9"}))


def test_a_good_jack_passes():
    assert faults() == {} and faults(capacity_lb=None, gauge_most_psi=None, calibrated_on=None) == {}


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"name": " "}, "name"),
        ({"serial": ""}, "serial"),
        ({"serial": "J-9"}, "serial"),
        ({"ram_area_in2": 0.0}, "ram_area_in2"),
        ({"ram_area_in2": None}, "ram_area_in2"),
        ({"ram_area_in2": float("nan")}, "ram_area_in2"),
        ({"efficiency": 0.899}, "efficiency"),
        ({"efficiency": 1.001}, "efficiency"),
        ({"efficiency": 97.0}, "efficiency"),
        ({"gauge_division_psi": 0.0}, "gauge_division_psi"),
        ({"gauge_division_psi": 1_000.0, "gauge_most_psi": 5_000.0}, "gauge_division_psi"),
        ({"calibrated_on": date(2026, 6, 2)}, "calibrated_on"),
        ({"calibration_months": 0}, "calibration_months"),
        ({"calibration_months": 60}, "calibration_months"),
        ({"capacity_lb": -1.0}, "capacity_lb"),
    ],
)
def test_what_cannot_be_a_jack_is_refused_beside_its_entry(changed, where):
    assert list(faults(**changed)) == [where]


def test_an_unusual_efficiency_is_told():
    """0.95 to 1.0 usual from calibration (memory)."""
    assert efficiency_words(0.93) and not efficiency_words(0.95) and not efficiency_words(1.0)
