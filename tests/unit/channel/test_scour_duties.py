"""What 23 CFR 650.313(o) asks for (from memory): an appraisal over water, a plan where critical or not known."""

from datetime import date

import pytest

from inspections.rules.scour import ScourFacts, appraisal_faults, plan_faults, scour_duties

TODAY = date(2026, 6, 15)


def duties(**facts):
    return scour_duties(ScourFacts(as_of=TODAY, **facts))


@pytest.mark.parametrize(
    ("facts", "appraisal", "plan"),
    [
        ({"over_water": True}, True, False),
        ({"over_water": None}, True, False),
        ({"over_water": False}, False, False),
        ({"over_water": True, "result": "stable"}, False, False),
        ({"over_water": True, "result": "critical"}, False, True),
        ({"over_water": True, "result": "unknown"}, False, True),
        ({"over_water": True, "result": "critical", "has_plan": True}, False, False),
    ],
)
def test_appraisal_and_plan(facts, appraisal, plan):
    owed = duties(**facts)
    assert (owed.needs_appraisal, owed.needs_plan) == (appraisal, plan)
    assert bool(owed.sentences) is (appraisal or plan)


def test_a_plan_is_looked_at_again_on_its_day():
    held = {"over_water": True, "result": "critical", "has_plan": True}
    assert duties(**held, plan_review_on=date(2026, 6, 16)).sentences == ()
    assert "looked at again on 15 Jun 2026" in duties(**held, plan_review_on=TODAY).sentences[0]


def test_what_contradicts_the_appraisal_is_said():
    assert "wrong" in duties(over_water=True, result="dry").sentences[0]
    assert "not known" in duties(over_water=True, result="stable", foundations_unknown=True).sentences[0]
    assert "rated 3" in duties(over_water=True, result="stable", scour_rating="3").sentences[0]


def test_an_appraisal_needs_result_day_basis_and_where_grave_reasons():
    faults = appraisal_faults(on=None, result="", basis=" ", reasons="", today=TODAY)
    assert len(faults) == 3
    assert appraisal_faults(on=TODAY, result="stable", basis="soundings", reasons="", today=TODAY) == []
    assert "Say why" in appraisal_faults(on=TODAY, result="unknown", basis="none", reasons="", today=TODAY)[0]
    later = appraisal_faults(on=date(2026, 6, 16), result="stable", basis="x", reasons="", today=TODAY)
    assert "still to come" in later[0]


def test_a_plan_needs_when_how_and_when_to_close():
    empty = plan_faults(result="", watch_when="", watch_how="", close_when="", review_on=None, today=TODAY)
    assert len(empty) == 5
    given = {"result": "critical", "watch_when": "a", "watch_how": "b", "close_when": "c", "today": TODAY}
    assert plan_faults(**given, review_on=date(2027, 6, 15)) == []
    assert plan_faults(**given, review_on=TODAY) and plan_faults(**given, review_on=date(2036, 6, 15))
