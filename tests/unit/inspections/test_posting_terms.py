"""Posting terms: 3 tons or closed, whole tons, never above operating; signs of MUTCD 2003 section 2B.49 (checked)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.posting import PostingTerms, above_operating, faults_of, is_less_restrictive, limit_for, panels
from inspections.rules.proposal import propose

OPEN = PostingTerms(restriction="open")
CLOSED = PostingTerms(restriction="closed")


def posted(**tons):
    return PostingTerms(restriction="posted", **tons)


def vehicle(name, gross, factor, kind="legal"):
    return {
        "vehicle": name,
        "name": name,
        "vehicle_class": kind,
        "gross_tons": gross,
        "operating_factor": factor,
        "operating_tons": factor * gross,
        "posting_factor": factor,
        "limit_state": "bending",
        "member": "inner stringers",
        "span": "1",
    }


# Smallest posting 3 tons, below it closed (23 CFR 650.313, MBE 6A.8.1, memory); legal gross 80,000 lb (23 U.S.C. 127).
@pytest.mark.parametrize(
    ("terms", "fault"),
    [
        (OPEN, ""),
        (CLOSED, ""),
        (posted(single_ton=3.0), ""),
        (posted(single_ton=2.9), "must be closed"),
        (posted(single_ton=40.0), ""),
        (posted(single_ton=41.0), "legal gross"),
        (posted(single_ton=12.5), "whole"),
        (posted(), "needs a weight limit"),
        (posted(single_ton=10.0, combination_ton=12.0), "not both"),
        (posted(single_unit_ton=2.0, combination_ton=12.0, double_ton=14.0), "must be closed"),
        (posted(single_ton=float("nan")), "must be closed"),
        (PostingTerms(restriction="closed", single_ton=5.0), "leave the weight limits empty"),
        (PostingTerms(restriction="unknown"), "cannot be adopted"),
        (PostingTerms(restriction="maybe"), "not a restriction"),
        (posted(emergency_gross_ton=30.0), ""),
        (posted(single_ton=12.0, emergency_single_axle_ton=14.0, emergency_gross_ton=20.0), ""),
        (posted(emergency_gross_ton=2.0), "outside 3 to 43"),
        (posted(emergency_gross_ton=44.0), "outside 3 to 43"),  # 86,000 lb (23 U.S.C. 127(r), checked-2nd)
        (posted(emergency_tandem_ton=32.0), "outside 1 to 31"),  # 62,000 lb
        (posted(emergency_single_axle_ton=17.0), "outside 1 to 16.75"),  # 33,500 lb
        (posted(emergency_gross_ton=12.5), "whole"),
        (posted(emergency_tandem_ton=25.0, emergency_gross_ton=20.0), "more than the gross"),
        (posted(emergency_gross_ton=float("nan")), "outside"),
        (PostingTerms(restriction="open", emergency_gross_ton=20.0), "leave the weight limits empty"),
    ],
)
def test_unfit_terms_are_refused_in_a_sentence(terms, fault):
    faults = faults_of(terms)
    assert bool(faults) == bool(fault)
    assert not fault or any(fault in sentence for sentence in faults)


# Type 3 weighs 25 tons (MBE D6A, memory): at an operating factor of 0.80 it may weigh 20 tons.
def test_never_above_the_operating_rating():
    rows = [vehicle("TYPE3", 25.0, 0.80), vehicle("TYPE3S2", 36.0, 1.2)]
    assert above_operating(OPEN, rows)
    assert above_operating(posted(single_ton=21.0), rows)
    assert not above_operating(posted(single_ton=20.0), rows)
    assert not above_operating(posted(single_unit_ton=20.0), rows)
    assert above_operating(posted(combination_ton=10.0), rows)
    assert not above_operating(CLOSED, rows)
    assert not above_operating(OPEN, [vehicle("TYPE3", 25.0, 1.0)])


# EV3 weighs 43 tons (86,000 lb): at an operating factor of 0.50 it may weigh 21.5 tons.
def test_an_emergency_vehicle_is_never_above_its_operating_rating_either():
    rows = [vehicle("TYPE3", 25.0, 1.1), vehicle("EV3", 43.0, 0.5, "emergency")]
    assert above_operating(OPEN, rows)
    assert above_operating(posted(emergency_gross_ton=22.0), rows)
    assert not above_operating(posted(emergency_gross_ton=21.0), rows)
    assert not above_operating(posted(single_ton=20.0), rows), "one limit for all binds emergency vehicles too"
    assert above_operating(posted(single_ton=20.0, emergency_gross_ton=22.0), rows), "their own sign frees them of it"
    assert above_operating(posted(combination_ton=20.0), rows)
    assert not above_operating(posted(single_unit_ton=20.0), rows)


def test_posting_by_load_and_resistance_factors_stays_under_its_own_rating():
    """A truck of 32 tons at RF 0.75 (legal) may weigh at most 24 tons, whatever allowable stress says."""
    row = vehicle("ST-4", 32.0, 1.2) | {"posting_factor": 0.75, "ceiling_tons": 24.0, "sign_class": "combination"}
    assert above_operating(OPEN, [row])
    assert not above_operating(posted(combination_ton=24.0), [row])
    assert above_operating(posted(combination_ton=25.0), [row])


def test_a_limit_above_the_vehicles_own_weight_does_not_count_against_it():
    """36 tons at RF 0.99 may weigh 35.6: a 40 ton limit lets it cross at its own 36, which is above."""
    assert above_operating(posted(single_ton=40.0), [vehicle("TYPE3S2", 36.0, 0.99)])
    assert not above_operating(posted(single_ton=35.0), [vehicle("TYPE3S2", 36.0, 0.99)])


tons = st.one_of(st.none(), st.integers(3, 40).map(float))
any_terms = st.one_of(
    st.just(OPEN),
    st.just(CLOSED),
    st.integers(3, 40).map(lambda t: posted(single_ton=float(t))),
    st.tuples(tons, tons, tons).map(lambda t: posted(single_unit_ton=t[0], combination_ton=t[1], double_ton=t[2])),
    st.tuples(tons, tons, tons).map(
        lambda t: posted(single_ton=t[0], emergency_tandem_ton=t[1], emergency_gross_ton=t[2] or 20.0)
    ),
)


@given(any_terms, any_terms, any_terms)
def test_less_restrictive_is_an_order(one, two, three):
    """Laws: nothing is less restrictive than itself or than open; closed is never less restrictive than anything."""
    assert not is_less_restrictive(one, one)
    assert not is_less_restrictive(one, OPEN)
    assert not is_less_restrictive(CLOSED, one)
    if not is_less_restrictive(one, two) and not is_less_restrictive(two, three):
        assert not is_less_restrictive(one, three)


def test_signs():
    assert panels(posted(single_ton=15.0)) == (("R12-1", "WEIGHT LIMIT 15 TONS"),)
    three = posted(single_unit_ton=15.0, combination_ton=22.0, double_ton=30.0)
    assert panels(three) == (("R12-5", "WEIGHT LIMIT 15 T / 22 T / 30 T"),)
    assert panels(CLOSED) == (("R11-2", "ROAD CLOSED"),)
    assert panels(OPEN) == ()


def test_emergency_vehicles_have_a_sign_of_their_own():
    """Single axle, tandem and gross values on a separate sign (a State's page on load posting, checked)."""
    engine = {"emergency_single_axle_ton": 14.0, "emergency_tandem_ton": 25.0, "emergency_gross_ton": 35.0}
    legend = "EMERGENCY VEHICLE WEIGHT LIMIT SINGLE AXLE 14 T, TANDEM 25 T, GROSS 35 T"
    assert panels(posted(**engine)) == (("R12-7", legend),)
    assert [code for code, _ in panels(posted(single_ton=15.0, **engine))] == ["R12-1", "R12-7"]
    assert len(legend) <= 120, "the legend's column"
    assert posted(**engine).words == "posted for emergency vehicles: single axle 14, tandem 25, gross 35 tons"


def test_which_class_limits_which_truck():
    three = posted(single_unit_ton=15.0, combination_ton=22.0, double_ton=30.0)
    assert [limit_for(three, v) for v in ("TYPE3", "SU7", "TYPE3S2", "TYPE3-3")] == [15.0, 15.0, 22.0, 30.0]
    assert [limit_for(three, "ST-4", c) for c in ("single_unit", "combination", "two_trailers")] == [15.0, 22.0, 30.0]


def suggestion(action="post", single=None, unit=None, combination=None, double=None, emergency=None):
    return {
        "posting": {
            "action": action,
            "single_tons": single,
            "single_unit_tons": unit,
            "combination_tons": combination,
            "two_trailer_tons": double,
            "emergency": emergency,
            "sentences": ["why"],
        },
        "governing": [vehicle("TYPE3", 25.0, 0.8)],
    }


@pytest.mark.parametrize(
    ("given_", "terms"),
    [
        (suggestion("open"), OPEN),
        (suggestion("close", single=2.0), CLOSED),
        (suggestion(single=15.0, unit=15.0), posted(single_ton=15.0)),
        (suggestion(single=15.0, unit=15.0, combination=15.0, double=15.0), posted(single_ton=15.0)),
        (
            suggestion(single=15.0, unit=15.0, combination=22.0, double=30.0),
            posted(single_unit_ton=15.0, combination_ton=22.0, double_ton=30.0),
        ),
        (suggestion("post"), OPEN),
        (
            suggestion(emergency={"single_axle_tons": 14.0, "tandem_tons": None, "gross_tons": 25.0}),
            posted(emergency_single_axle_ton=14.0, emergency_gross_ton=25.0),
        ),
        (
            suggestion(single=15.0, unit=15.0, emergency={"tandem_tons": 20.0, "gross_tons": 28.0}),
            posted(single_ton=15.0, emergency_tandem_ton=20.0, emergency_gross_ton=28.0),
        ),
        (
            suggestion(emergency={"single_axle_tons": 15.0, "tandem_tons": 12.0, "gross_tons": 13.0}),
            posted(emergency_single_axle_ton=13.0, emergency_tandem_ton=12.0, emergency_gross_ton=13.0),
        ),
        (
            suggestion(single=3.0, unit=3.0, emergency={"tandem_tons": 1.0, "gross_tons": 2.0}),
            posted(single_ton=3.0),
        ),
    ],
)
def test_from_rating_to_proposal(given_, terms):
    """One sign shows the least of the classes; R12-5 where all three need different limits (practice, memory)."""
    proposed, reasons = propose(is_rated=True, results=given_, reasons=[], flags=["grave"])
    assert proposed == terms
    assert reasons[0] == "grave" and any("engineer" in reason for reason in reasons)


def test_no_reason_is_said_twice():
    """A flag of the whole structure and the same sentence of its only span are one reason. Practice, no source."""
    _terms, reasons = propose(is_rated=True, results=suggestion("close"), reasons=[], flags=["why", "grave"])
    assert reasons.count("why") == 1 and reasons[:2] == ["why", "grave"]


def test_without_a_rating_only_what_is_known_speaks():
    unrated = {"is_rated": False, "reasons": ["no grade"]}
    assert propose(results={"close_recommended": True}, flags=[], **unrated)[0] == CLOSED
    assert propose(results={}, flags=["broken"], **unrated)[0].restriction == "unknown"
    assert propose(results={}, flags=[], **unrated)[0] is None
