"""The curve of bar force and the checks of the bars are part of a rating, made once and never again."""

from datetime import timedelta

import pytest

from inspections.actions.rate import owe_rating
from inspections.assembly.snapshot import Snapshot
from inspections.models import Rating
from inspections.reckoning import force_curve as reckoned
from inventory.mechanics.rating.force_curve import ForceCurve
from inventory.models import StressingSystem
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import bar_readings, make_stressed_deck, rated, settle_all


@pytest.fixture
def deck(county, now):
    structure = make_stressed_deck(county.agency)
    rated(structure, county.people["inspector"], now, findings=bar_readings(structure, 34560.0))
    return structure


def test_a_stressed_deck_keeps_its_curve(deck):
    """34,560 lb on bars at 48 in, 12 in deep, is 60 psi; one psi is 48 x 12 = 576 lb."""
    (row,) = Rating.objects.get(structure=deck).results["force_curve"]
    curve = ForceCurve.from_dict(row["curve"])
    assert curve.today_psi == pytest.approx(60.0)
    assert curve.force_lb(1.0) == pytest.approx(576.0)
    assert any(step["pressure_psi"] == 20.0 and step["action_below"] == "close" for step in row["thresholds"])


def test_the_checks_of_its_bars_are_kept(deck):
    """34,560/0.85 = 40,659 psi on 105,000."""
    checks = {check["name"]: check for check in Rating.objects.get(structure=deck).results["pressed"]["1"]["checks"]}
    assert checks["Bar stress standing"]["demand"] == pytest.approx(40658.8, abs=0.1)
    assert checks["Least pressure in service"]["holds"] is True


def test_a_bar_above_its_limit_is_flagged(county, now):
    """0.70 x 150,000 x 0.28 = 29,400 lb is all a 5/8 in bar may see; 34,560 lb stand in it."""
    structure = make_stressed_deck(county.agency, number="Q-9")
    StressingSystem.objects.filter(span__structure=structure).update(bar_area_in2=0.28)
    rated(structure, county.people["inspector"], now, findings=bar_readings(structure, 34560.0))
    flags = Rating.objects.get(structure=structure).flags
    assert any("0.70 f_pu" in flag for flag in flags)


def test_the_same_inputs_make_no_second_curve(deck, now, monkeypatch):
    monkeypatch.setattr("inspections.actions.rate.force_curves", lambda snapshot: pytest.fail("made twice"))
    owe_rating(structure=deck, cause="asked again", at=now + timedelta(hours=1))
    settle_all(deck, now + timedelta(hours=2))
    assert Rating.objects.filter(structure=deck).count() == 1


def test_a_curve_that_fails_leaves_the_rating(county, now, monkeypatch):
    def broken(snapshot):
        raise RuntimeError("no curve today")

    monkeypatch.setattr("inspections.actions.rate.force_curves", broken)
    structure = make_stressed_deck(county.agency, number="Q-8")
    rated(structure, county.people["inspector"], now, findings=bar_readings(structure, 34560.0))
    rating = Rating.objects.get(structure=structure)
    assert rating.is_rated and "force_curve" not in rating.results


def test_a_bridge_without_bars_has_none(county, now):
    bridge = make_stringer_bridge(county.agency)
    rated(bridge, county.people["inspector"], now)
    rating = Rating.objects.get(structure=bridge)
    assert "force_curve" not in rating.results and rating.results["pressed"] == {}


def test_a_span_that_cannot_be_rated_says_why(deck):
    """The stored snapshot with its members taken out."""
    snapshot = Rating.objects.get(structure=deck).snapshot
    snapshot["cases"][0]["members"] = []
    (row,) = reckoned.force_curves(Snapshot.from_dict(snapshot))
    assert row["curve"] is None and row["reasons"]


def test_bars_above_the_floor_and_below_the_need_are_slack(county, now):
    """60 psi stand, the design asks for 66: the list must not call that sound."""
    structure = make_stressed_deck(county.agency, number="Q-7")
    StressingSystem.objects.filter(span__structure=structure).update(needed_pressure_psi=66.0)
    rated(structure, county.people["inspector"], now, findings=bar_readings(structure, 34560.0))
    structure.refresh_from_db()
    assert structure.standing.bar_state == "slack"
