"""Every kind of inspection against 23 CFR 650.311 and 650.313 (rule of 2022), dates worked by hand.

The text was not at hand in an official copy: 24, 12 and 60 months checked-2nd (24 and 60 also in a State's manual),
scour as a reason to reduce checked-2nd; tolerances, the 24 months of a reduced underwater inspection's other reasons, 3
months for an initial one, 12 for the first underwater one and the localized-deficiency rule from memory.
"""

from datetime import date

import pytest

from inspections.rules.clocks import (
    INSPECTION_KINDS,
    InspectionFacts,
    NeedFact,
    Policy,
    VisitFact,
    inspection_clocks,
    lateness,
    rating_due,
    record_entry_due,
    standing_in,
    visit_due_on,
    visit_dues,
    words,
)
from inspections.rules.clocks.inspection_facts import COMPONENTS, SCOUR, WATER_PARTS
from inspections.rules.clocks.structure import DONE_WORDS
from inspections.vocabulary.states import ReminderKind

ENTERED = date(2020, 1, 6)
STANDARD = Policy()


def facts(**given_facts) -> InspectionFacts:
    values = {"registered_on": ENTERED, "built_on": date(2015, 6, 1), "last_routine_on": date(2025, 5, 20)}
    return InspectionFacts(**(values | given_facts))


def clock(kind: str, policy: Policy = STANDARD, **given_facts):
    clocks = inspection_clocks(facts(**given_facts), policy)
    return next(found for found in clocks if found.kind == kind)


def need(kind: str, months: int, reason="Settled pile", set_on=date(2025, 6, 1), first_due_on=None) -> NeedFact:
    return NeedFact(kind=kind, interval_months=months, reason=reason, set_on=set_on, first_due_on=first_due_on)


def dates(found) -> tuple[date, date]:
    return found.due.due_on, found.due.late_after


@pytest.mark.parametrize(
    ("part", "code", "due_on", "late_after"),
    [
        # 20 May 2025 + 24 months = 20 May 2027; third month after May: August, 31 days.
        ("deck", 4, date(2027, 5, 20), date(2027, 8, 31)),
        (SCOUR, 4, date(2027, 5, 20), date(2027, 8, 31)),
        # At 3 or less 12 months: 20 May 2026; second month after May: July, 31 days.
        *[(part, 3, date(2026, 5, 20), date(2026, 7, 31)) for part in (*COMPONENTS, SCOUR)],
        ("culvert", 0, date(2026, 5, 20), date(2026, 7, 31)),
        # Channel and underwater parts bear on the underwater interval, not on the routine one.
        ("channel", 2, date(2027, 5, 20), date(2027, 8, 31)),
        ("underwater", 2, date(2027, 5, 20), date(2027, 8, 31)),
    ],
)
def test_which_ratings_reduce_the_routine_interval(part, code, due_on, late_after):
    found = clock("routine", ratings=(("deck", 6), (part, code)) if part != "deck" else ((part, code),))
    assert dates(found) == (due_on, late_after)


@pytest.mark.parametrize(
    ("part", "code", "due_on", "late_after"),
    [
        # 29 Feb 2024 + 60 months: 2029 is no leap year, 28 Feb 2029; third month after: May, 31 days.
        ("underwater", 4, date(2029, 2, 28), date(2029, 5, 31)),
        ("deck", 2, date(2029, 2, 28), date(2029, 5, 31)),
        # + 24 months: 28 Feb 2026; 24 is not under 24, so three months: 31 May 2026.
        *[(part, 3, date(2026, 2, 28), date(2026, 5, 31)) for part in WATER_PARTS],
    ],
)
def test_which_ratings_reduce_the_underwater_interval(part, code, due_on, late_after):
    found = clock("underwater", last_underwater_on=date(2024, 2, 29), ratings=((part, code),))
    assert dates(found) == (due_on, late_after)


def test_underwater_only_where_there_was_one_or_somebody_asked():
    assert clock("underwater").due is None
    # Asked for on 1 Jun 2025 at an old bridge, none on record: 12 months, 1 Jun 2026.
    assert clock("underwater", needs=(need("underwater", 60),)).due.due_on == date(2026, 6, 1)
    # Opened 10 Apr 2025: within 12 months of opening, 10 Apr 2026.
    opened = clock("underwater", opened_on=date(2025, 4, 10), needs=(need("underwater", 60),))
    assert opened.due.due_on == date(2026, 4, 10)
    named = clock("underwater", needs=(need("underwater", 60, first_due_on=date(2025, 9, 30)),))
    assert named.due.due_on == date(2025, 9, 30)


def test_in_depth_from_an_age_or_from_entry_in_the_register():
    """Timber practice, every 4 to 6 years after age 20 (policy). Built 1 Jun 2015: 20 years on 1 Jun 2035, the first by
    1 Jun 2040. Older than that when entered on 6 Jan 2020: by 6 Jan 2025. Age not known: as if old."""
    assert clock("in_depth").due.due_on == date(2040, 6, 1)
    assert clock("in_depth", built_on=date(1980, 1, 1)).due.due_on == date(2025, 1, 6)
    assert clock("in_depth", built_on=None).due.due_on == date(2025, 1, 6)
    # One done at 31 Aug 2024: five years on, 31 Aug 2029, and to the end of November 2029.
    done = clock("in_depth", built_on=date(1980, 1, 1), last_in_depth_on=date(2024, 8, 31))
    assert dates(done) == (date(2029, 8, 31), date(2029, 11, 30))
    assert clock("in_depth", Policy(in_depth_months=0)).due is None


def test_in_depth_set_for_the_structure():
    """Every 12 months, set 1 Jun 2025, none on record: 1 Jun 2026, two months of tolerance: 31 Aug 2026."""
    found = clock("in_depth", needs=(need("in_depth", 12),))
    assert dates(found) == (date(2026, 6, 1), date(2026, 8, 31))
    assert "Settled pile" in found.due.reason


@pytest.mark.parametrize(
    ("months", "last", "due_on", "late_after"),
    [
        # 31 Aug 2025 + 6 months: 28 Feb 2026; second month after February: April, 30 days.
        (6, date(2025, 8, 31), date(2026, 2, 28), date(2026, 4, 30)),
        # 30 Nov 2027 + 3 months: 29 Feb 2028, a leap year; 3 - 1 = 2 months: April.
        (3, date(2027, 11, 30), date(2028, 2, 29), date(2028, 4, 30)),
        # Every 2 months: one month of tolerance only. 15 Jun + 2 = 15 Aug; to 30 Sep.
        (2, date(2026, 6, 15), date(2026, 8, 15), date(2026, 9, 30)),
        # Every month: none.
        (1, date(2026, 6, 30), date(2026, 7, 30), date(2026, 7, 30)),
    ],
)
def test_special_inspection_counts_from_the_last_one(months, last, due_on, late_after):
    assert dates(clock("special", needs=(need("special", months),), last_special_on=last)) == (due_on, late_after)


def test_first_special_inspection():
    """Set on 1 Jun 2025: six months, 1 Dec 2025; or the day a person named. One made before it was set counts only as
    far as it does not put the first into the past."""
    assert clock("special", needs=(need("special", 6),)).due.due_on == date(2025, 12, 1)
    named = need("special", 6, first_due_on=date(2025, 7, 4))
    assert clock("special", needs=(named,)).due.due_on == date(2025, 7, 4)
    before = clock("special", needs=(need("special", 6),), last_special_on=date(2020, 3, 1))
    assert before.due.due_on == date(2025, 6, 1)
    assert clock("special").due is None


DEFECT = "Local crushing of the superstructure at bearing 3"


def test_special_inspection_serves_instead_of_the_reduced_routine_one():
    """650.311(a)(1) [memory]: a rating of 3 from a local defect; the special inspection takes the 12 months, a full
    routine one stays due at the regular 24. Last routine 20 May 2025: special by 20 May 2026, routine 20 May 2027."""
    given_facts = {
        "ratings": (("superstructure", 3), ("deck", 6)),
        "needs": (need("special", 12, DEFECT, set_on=date(2025, 8, 1)),),
    }
    assert clock("routine", **given_facts).due.due_on == date(2027, 5, 20)
    assert "serves instead" in clock("routine", **given_facts).due.reason
    special = clock("special", **given_facts)
    assert special.due.due_on == date(2026, 5, 20) and "instead of a routine" in special.due.reason


@pytest.mark.parametrize(
    ("ratings", "months", "reason"),
    [
        ((("superstructure", 3),), 12, "Local crushing at bearing 3"),  # the component is not named
        ((("superstructure", 3), ("deck", 2)), 12, DEFECT),  # another component is serious too
        ((("superstructure", 3), (SCOUR, 3)), 12, DEFECT + ", and scour"),  # scour is no local defect of a component
        ((("superstructure", 3),), 13, DEFECT),  # seen less often than the routine inspection it stands for
    ],
)
def test_special_inspection_does_not_serve(ratings, months, reason):
    given_facts = {"ratings": ratings, "needs": (need("special", months, reason),)}
    assert standing_in(facts(**given_facts), STANDARD) is None
    assert clock("routine", **given_facts).due.due_on == date(2026, 5, 20)


def test_need_named_by_a_person_takes_the_place_of_record_and_county():
    shorter = clock("routine", needs=(need("routine", 6, set_on=date(2025, 5, 20)),), interval_on_record_months=12)
    assert shorter.due.due_on == date(2025, 11, 20)
    # Longer than timber may have: 24 all the same.
    longer = clock("routine", needs=(need("routine", 48),))
    assert longer.due.due_on == date(2027, 5, 20)
    # A short structure follows its county: 36 months asked, 36 given, and no tolerance.
    short = clock("routine", is_federal=False, needs=(need("routine", 36),))
    assert dates(short) == (date(2028, 5, 20), date(2028, 5, 20))


def test_need_set_late_is_due_at_once_and_not_in_the_past():
    """Every 6 months set on 1 Jun 2026, last routine 20 May 2025: by the count 20 Nov 2025, so due on 1 Jun 2026."""
    found = clock("routine", needs=(need("routine", 6, set_on=date(2026, 6, 1)),))
    assert found.due.due_on == date(2026, 6, 1)


def test_visits_are_owed_until_one_of_their_kind_is_made():
    """High water on 3 May 2026, 7 days by policy (model): 10 May. A hit the same day, 2 days: 5 May."""
    flood = VisitFact(kind="scour", cause="High water", happened_on=date(2026, 5, 3), due_on=date(2026, 5, 10))
    hit = VisitFact(
        kind="damage", cause="Hit", happened_on=date(2026, 5, 3), due_on=date(2026, 5, 5), words="rail gone"
    )
    owed = visit_dues(facts(visits=(flood, hit)))
    assert [(due.kind, due.due_on, due.late_after) for due in owed] == [
        (ReminderKind.SCOUR, date(2026, 5, 10), date(2026, 5, 10)),
        (ReminderKind.DAMAGE, date(2026, 5, 5), date(2026, 5, 5)),
    ]
    assert "rail gone" in owed[1].reason
    before = facts(visits=(flood,), last_scour_on=date(2026, 5, 2))
    same_day = facts(visits=(flood,), last_scour_on=date(2026, 5, 3), last_damage_on=date(2026, 5, 4))
    assert len(visit_dues(before)) == 1 and visit_dues(same_day) == []


def test_days_after_an_event_over_a_month_end():
    """28 Feb 2028 + 7 days: February has 29 that year, so 6 March. 30 Dec + 2 = 1 Jan."""
    assert visit_due_on("scour", date(2028, 2, 28), STANDARD) == date(2028, 3, 6)
    assert visit_due_on("damage", date(2026, 12, 30), STANDARD) == date(2027, 1, 1)


def test_entry_in_the_inventory_and_a_new_rating():
    """650.315 (checked): within 3 months after the month of completion. Done 2 or 30 Nov 2027: the end of February
    2028, the 29th. Rating, 650.313(k) [memory]: 3 months, 30 Nov + 3 = 29 Feb."""
    assert record_entry_due(date(2027, 11, 2), STANDARD) == date(2028, 2, 29)
    assert record_entry_due(date(2027, 11, 30), STANDARD) == date(2028, 2, 29)
    assert record_entry_due(date(2026, 8, 31), STANDARD) == date(2026, 11, 30)
    assert rating_due(date(2027, 11, 30), STANDARD) == date(2028, 2, 29)


@pytest.mark.parametrize("kind", sorted(INSPECTION_KINDS))
def test_words_of_every_kind_of_the_calendar(kind):
    """Due 3 May 2026, tolerance to 31 Aug: due in its month, then within tolerance, then out of compliance."""
    through = {date(2026, 5, 3): "due today", date(2026, 5, 31): "due this month"}
    through |= {
        date(2026, 8, 31): "late 120 days, within tolerance",
        date(2026, 9, 1): "out of compliance, late 121 days",
    }
    for as_of, expected in through.items():
        found = lateness(kind=kind, due_on=date(2026, 5, 3), late_after=date(2026, 8, 31), as_of=as_of)
        assert found.words == expected


def test_every_kind_of_reminder_can_be_put_off_and_closed_one_way():
    """A law of the tables: each kind has the law's date or a longest deferral, and one way to be done."""
    by_law, by_policy = set(words.LAW_KINDS), set(words.DEFER_MOST_DAYS)
    assert by_law | by_policy == set(ReminderKind) and not by_law & by_policy
    by_hand = {ReminderKind.RETENSION, ReminderKind.RESURFACING, ReminderKind.TREATMENT}
    assert set(words.CLOSED_BY_RECORD) == set(ReminderKind) - by_hand
    assert set(DONE_WORDS) == set(ReminderKind)


def test_a_day_somebody_named_stays_where_a_special_inspection_serves_instead():
    """Routine asked for by 1 Sep 2025, every 18 months; then the deck is rated 3 and its special inspection serves."""
    asked = need("routine", 18, first_due_on=date(2025, 9, 1))
    special = need("special", 6, reason="Deck: split panel 3")
    assert clock("routine", needs=(asked,)).due.due_on == date(2025, 9, 1)
    assert clock("routine", needs=(asked, special), ratings=(("deck", 3),)).due.due_on == date(2025, 9, 1)
