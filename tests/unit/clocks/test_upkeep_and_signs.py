"""Upkeep clocks (Forest Service practice, memory), sign and posting clocks (23 CFR 650.313(l): 30 days, memory)."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.clocks import (
    InspectionFacts,
    Layer,
    Policy,
    PostingFacts,
    ProposalFacts,
    SignFact,
    StructureFacts,
    SurfaceFacts,
    Treated,
    TreatmentFacts,
    all_dues,
    closing,
    deferral_refusal,
    first_late_day,
    lateness,
    posting_dues,
    sign_dues,
    surface_due,
    tolerance_end,
    treatment_due,
)
from inspections.vocabulary.states import ReminderKind

ENTERED = date(2010, 1, 5)


def surface(*materials, laid=date(2020, 6, 1), **more) -> SurfaceFacts:
    layers = tuple(Layer(material=material, laid_on=laid) for material in materials)
    return SurfaceFacts(**({"registered_on": ENTERED, "layers": layers} | more))


@pytest.mark.parametrize(
    ("materials", "policy_years", "due_on"),
    [
        # Lower end of each published life, years: 12 with a membrane, 8 without, 5 chip seal, 5 plank.
        (("membrane", "asphalt"), 12, date(2032, 6, 1)),
        (("asphalt",), 12, date(2028, 6, 1)),
        (("chip_seal",), 12, date(2025, 6, 1)),
        (("plank",), 12, date(2025, 6, 1)),
        # The county's figure stands for asphalt over a membrane and shortens, never stretches, the others.
        (("membrane", "asphalt"), 15, date(2035, 6, 1)),
        (("asphalt",), 15, date(2028, 6, 1)),
        (("asphalt",), 6, date(2026, 6, 1)),
        # The layer on top counts: chip seal over asphalt.
        (("membrane", "asphalt", "chip_seal"), 12, date(2025, 6, 1)),
    ],
)
def test_surface_life_by_the_layer_on_top(materials, policy_years, due_on):
    assert surface_due(surface(*materials), Policy(resurfacing_years=policy_years)).due_on == due_on


@pytest.mark.parametrize("materials", [(), ("gravel",), ("concrete",)])
def test_bare_gravel_and_concrete_have_no_clock_by_age(materials):
    assert surface_due(surface(*materials), Policy()) is None


def test_finding_before_the_age_governs_and_both_are_shown():
    """Next-due rule: the earlier of last action plus interval and the day the watched value reached its limit."""
    due = surface_due(surface("membrane", "asphalt", broken_found_on=(date(2027, 5, 4),)), Policy())
    assert due.due_on == date(2027, 5, 4)
    assert "1 Jun 2032" in due.reason and "4 May 2027" in due.reason and "the finding governs" in due.reason


def test_finding_not_found_again_by_a_later_inspection_is_cleared():
    facts = surface("asphalt", broken_found_on=(date(2024, 5, 4),), inspected_on=date(2026, 5, 2))
    assert surface_due(facts, Policy()).due_on == date(2028, 6, 1)


def test_date_from_before_the_register_is_backlog_within_a_year_of_entry():
    """Laid 1990 + 8 = 1998, before entry on 5 Jan 2010: planned by 5 Jan 2011, and the reason keeps the true date."""
    due = surface_due(surface("asphalt", laid=date(1990, 6, 1)), Policy())
    assert due.due_on == date(2011, 1, 5) and "1 Jun 1998" in due.reason


def treated(*rows, **more) -> TreatmentFacts:
    made = tuple(Treated(part=part, kind=kind, preservative=what, on=on) for part, kind, what, on in rows)
    return TreatmentFacts(**({"registered_on": ENTERED, "treated": made} | more))


@pytest.mark.parametrize(
    ("kind", "preservative", "year"),
    [
        ("field", "copper_naphthenate", 2025),
        ("internal", "borate", 2025),
        ("internal", "fumigant", 2027),
        ("pressure", "creosote", 2025),
    ],
)
def test_treatment_interval_by_kind(kind, preservative, year):
    """5 years field treatment and borate, 7 fumigant (lower end of 7 to 10), from 1 Jun 2020."""
    assert treatment_due(treated(("caps", kind, preservative, date(2020, 6, 1))), Policy()).due_on == date(year, 6, 1)


def test_the_part_longest_untreated_governs_and_is_named():
    rows = [("caps", "field", "copper_naphthenate", date(2019, 6, 1)), ("deck", "field", "cca", date(2021, 6, 1))]
    due = treatment_due(treated(*rows), Policy())
    assert due.due_on == date(2024, 6, 1) and "caps" in due.reason


def test_plant_treatment_counts_no_more_once_any_part_was_treated_in_place():
    """The plant treats once; ends, checks and bores are what is renewed (common practice, no source)."""
    rows = [
        ("all timber", "pressure", "creosote", date(1999, 6, 1)),
        ("stringer ends", "surface", "copper_naphthenate", date(2024, 6, 1)),
    ]
    due = treatment_due(treated(*rows), Policy())
    assert due.due_on == date(2029, 6, 1) and "stringer ends" in due.reason


def test_work_without_particulars_restarts_the_whole_timber():
    rows = [("caps", "field", "copper_naphthenate", date(2019, 6, 1))]
    due = treatment_due(treated(*rows, worked_on=date(2024, 6, 1)), Policy())
    assert due.due_on == date(2029, 6, 1)


@given(first=st.dates(date(2010, 2, 1), date(2050, 1, 1)), later=st.integers(0, 3000))
def test_later_treatment_never_falls_due_earlier(first, later):
    def due(on):
        return treatment_due(treated(("caps", "field", "cca", on)), Policy()).due_on

    then = date.fromordinal(first.toordinal() + later)
    assert first < due(first) <= due(then)


def posting(*signs, **more) -> PostingFacts:
    values = {"words": "12 T", "restriction": "posted", "decided_on": date(2026, 5, 20), "signs": tuple(signs)}
    return PostingFacts(**(values | more))


ORDERED = SignFact(code="R12-1", approach="north", state="ordered")


def test_sign_thirty_days_after_the_decision():
    """20 May + 30 = 19 June."""
    (due,) = sign_dues(posting(ORDERED))
    assert due.due_on == date(2026, 6, 19) and "R12-1 north" in due.reason


def test_the_thirty_days_run_from_the_rating_not_from_the_signature():
    """650.313(l): 30 days after the rating shows the need. Rated 29 Apr: 29 May, only 9 days after the decision."""
    (due,) = sign_dues(posting(ORDERED, need_shown_on=date(2026, 4, 29)))
    assert due.due_on == date(2026, 5, 29)


def test_missing_sign_thirty_days_after_it_was_seen():
    missing = SignFact(code="R12-1", approach="south", state="missing", missing_seen_on=date(2026, 1, 31))
    (due,) = sign_dues(posting(missing))
    assert due.due_on == date(2026, 3, 2)  # 31 Jan + 28 days of February = 28 Feb, + 2 = 2 March


def test_a_sign_never_seen_standing_gains_no_days_by_being_reported_missing():
    """Need shown 29 Apr, + 30 days = 29 May, whether or not somebody says on 25 May that it is not there; one that
    stood on 2 May and is gone on 25 May has 30 days of its own: 24 June."""
    need = {"need_shown_on": date(2026, 4, 29)}
    gone = {"code": "R12-1", "approach": "north", "state": "missing", "missing_seen_on": date(2026, 5, 25)}
    (never,) = sign_dues(posting(SignFact(**gone), **need))
    (stood,) = sign_dues(posting(SignFact(**gone, confirmed_on=date(2026, 5, 2)), **need))
    (taken_over,) = sign_dues(posting(SignFact(**gone), from_record=True, **need))
    assert (never.due_on, stood.due_on, taken_over.due_on) == (date(2026, 5, 29), date(2026, 6, 24), date(2026, 6, 24))
    assert "never seen standing" in never.reason and never.counted_from <= never.due_on


def test_confirmed_and_record_signs_ask_for_nothing_and_no_sign_at_all_asks():
    confirmed = SignFact(code="R12-1", approach="north", state="confirmed", confirmed_on=date(2026, 5, 22))
    assert sign_dues(posting(confirmed)) == [] == sign_dues(posting(from_record=True)) == sign_dues(None)
    assert sign_dues(posting(restriction="open")) == []
    assert len(sign_dues(posting())) == 1


def test_proposal_thirty_days_and_a_closing_at_once():
    """1 May + 30 = 31 May."""
    (due,) = posting_dues(ProposalFacts(made_on=date(2026, 5, 1), words="12 T", restriction="posted"))
    (now,) = posting_dues(ProposalFacts(made_on=date(2026, 5, 1), words="closing", restriction="closed"))
    assert (due.due_on, now.due_on) == (date(2026, 5, 31), date(2026, 5, 1))


def test_a_second_rating_does_not_put_off_the_decision():
    """Need shown 1 May, rated again 20 May: still 1 May + 30 = 31 May."""
    again = ProposalFacts(made_on=date(2026, 5, 20), words="12 T", restriction="posted", need_shown_on=date(2026, 5, 1))
    (due,) = posting_dues(again)
    assert (due.due_on, due.counted_from) == (
        date(2026, 5, 31),
        date(2026, 5, 1),
    ) and "1 May 2026 already" in due.reason


def structure(last_routine_on=date(2024, 5, 3), **more) -> StructureFacts:
    values = {
        "inspection": InspectionFacts(registered_on=ENTERED, last_routine_on=last_routine_on),
        "treatment": TreatmentFacts(registered_on=ENTERED, opened_on=date(2009, 9, 1)),
    }
    return StructureFacts(**(values | more))


def test_removed_structure_owes_nothing():
    assert all_dues(structure(status="removed"), Policy(), date(2026, 6, 15)) == []


def test_one_due_per_kind_and_date():
    signs = [
        SignFact(code="R12-1", approach=end, state="missing", missing_seen_on=date(2026, 6, 1))
        for end in ("north", "south")
    ]
    dues = all_dues(structure(posting=posting(*signs)), Policy(), date(2026, 6, 15))
    (sign,) = [due for due in dues if due.kind == ReminderKind.SIGN]
    assert "north" in sign.reason and "south" in sign.reason


def test_done_by_a_later_fact_and_lapsed_without_one():
    done, words = closing(ReminderKind.INSPECTION, date(2024, 5, 3), structure(date(2026, 5, 10)), [])
    assert done and "10 May 2026" in words
    done, words = closing(ReminderKind.INSPECTION, date(2024, 5, 3), structure(date(2024, 5, 3)), [])
    assert not done and words.startswith("No longer owed")


INSPECTION = {"kind": "inspection", "due_on": date(2026, 5, 3), "late_after": date(2026, 8, 31)}


@pytest.mark.parametrize(
    ("to", "as_of", "refused"),
    [
        (date(2026, 8, 31), date(2026, 6, 15), None),
        (date(2026, 9, 1), date(2026, 6, 15), "The law allows until 31 Aug 2026"),
        (date(2026, 9, 30), date(2026, 9, 2), "The law's date passed on 31 Aug 2026"),
        (date(2026, 6, 15), date(2026, 6, 15), "a day after today"),
        (date(2026, 5, 1), date(2026, 4, 1), "falls due on 3 May 2026 anyway"),
    ],
)
def test_deferral_of_an_inspection_ends_with_the_tolerance(to, as_of, refused):
    """650.311(e): tolerance to the end of the third month; beyond it only the federal agency may allow (memory)."""
    found = deferral_refusal(**INSPECTION, to=to, reason="High water", as_of=as_of)
    assert found is None if refused is None else refused in found


def test_deferral_needs_a_reason_and_upkeep_has_a_policy_limit():
    assert "reason" in deferral_refusal(**INSPECTION, to=date(2026, 8, 1), reason=" ", as_of=date(2026, 6, 15))
    pull = {"kind": "retension", "due_on": date(2026, 6, 1), "late_after": date(2026, 6, 1), "reason": "Jack away"}
    # Policy: 30 days from today. 15 Jun + 30 = 15 Jul.
    assert deferral_refusal(**pull, to=date(2026, 7, 15), as_of=date(2026, 6, 15)) is None
    assert "15 Jul 2026" in deferral_refusal(**pull, to=date(2026, 7, 16), as_of=date(2026, 6, 15))


@given(
    due_on=st.dates(date(2000, 1, 1), date(2090, 1, 1)),
    months=st.sampled_from([12, 24]),
    kind=st.sampled_from(["inspection", "underwater", "in_depth", "special", "sign", "damage"]),
    days=st.integers(-40, 300),
)
def test_first_late_day_is_where_lateness_begins(due_on, months, kind, days):
    """Two routes to one answer: the lists ask the database by the first late day, the rows ask `lateness`."""
    late_after = tolerance_end(due_on, months) if kind not in ("sign", "damage") else due_on
    as_of = date.fromordinal(due_on.toordinal() + days)
    late = lateness(kind=kind, due_on=due_on, late_after=late_after, as_of=as_of).is_late
    assert late == (as_of >= first_late_day(kind, due_on, late_after))
