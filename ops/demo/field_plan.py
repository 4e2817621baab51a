"""The field plan of the demonstration county: who may lead, two days of this month, a quality sample. All invented."""

from calendar import monthrange
from collections.abc import Callable
from datetime import date, datetime, timedelta

from dateutil.relativedelta import relativedelta
from django.db import transaction

from inspections.actions.field_days import DayWanted
from inspections.actions.field_stops import plan_new_day
from inspections.actions.quality import draw_sample
from inspections.pages.month_plan import due_lines, grouped
from inventory.actions.qualifications import add_qualification
from inventory.models import Agency

STOPS_A_DAY, NEAR_MI, SEED = 4, 12.0, 20261124
LOOK_AHEAD_DAYS = 150  # where little is due this month, what is due next is done while near


def enter_and_plan(*, agency: Agency, people: dict, today: date, moment: Callable[[date], datetime]) -> None:
    """Everything of this page, in one transaction."""
    with transaction.atomic():
        enter_qualifications(agency=agency, people=people, at=moment(today), today=today)
        plan_field_days(agency=agency, people=people, at=moment(today), today=today)
        draw_quality_sample(agency=agency, people=people, today=today, moment=moment)


def enter_qualifications(*, agency: Agency, people: dict, at: datetime, today: date) -> None:
    """One leader in order, one whose refresher months ran out, an engineer whose own last day is near."""

    def ago(**span) -> date:
        return today - relativedelta(**span)

    held = (
        ("t.oakes", "team_leader", "Associate degree and 6 years; comprehensive course passed", ago(years=9),
         {"refresher_hours": 18.0, "refreshed_on": ago(months=14)}),
        ("t.oakes", "diver", "Underwater inspection course passed", ago(years=4), {}),
        ("m.sorrel", "team_leader", "5 years; comprehensive course passed", ago(years=7),
         {"refresher_hours": 18.0, "refreshed_on": ago(months=63)}),
        ("e.vantage", "program_manager", "PE and 12 years; comprehensive course passed", ago(years=12),
         {"refresher_hours": 20.0, "refreshed_on": ago(months=31)}),
        ("e.vantage", "team_leader", "PE and 12 years; comprehensive course passed", ago(years=12),
         {"refresher_hours": 20.0, "refreshed_on": ago(months=31), "expires_on": today + timedelta(days=45)}),
        ("e.vantage", "rater", "Registered engineer", ago(years=12), {}),
    )  # fmt: skip
    for username, kind, basis, since, more in held:
        values = {"person": people[username], "kind": kind, "basis": basis, "held_since": since}
        values |= {"evidence": "Personnel file (demonstration)"}
        add_qualification(agency=agency, values=values | more, by=people["supervisor"], at=at)


def plan_field_days(*, agency: Agency, people: dict, at: datetime, today: date) -> None:
    """Two near groups on two days of this month, the second led by one who needed a word."""
    month_end = today.replace(day=monthrange(today.year, today.month)[1])
    lines = [line for line in due_lines(agency, max(month_end, today + timedelta(days=LOOK_AHEAD_DAYS)), today)]
    groups, _apart = grouped(lines, per_day=STOPS_A_DAY, near_mi=NEAR_MI)
    wanted = (
        DayWanted(on=_workday(today, month_end, 1), leader=people["t.oakes"], team="Jory Brandt"),
        DayWanted(
            on=_workday(today, month_end, 3), leader=people["m.sorrel"], team="Jory Brandt",
            note="Meet at the yard at 7",
            override_reason="Refresher course booked for next month; the engineer goes along.",
        ),
    )  # fmt: skip
    for day, group in zip(wanted, groups, strict=False):
        by = people["engineer"] if day.override_reason else people["supervisor"]
        plan_new_day(agency=agency, wanted=day, reminders=[line.reminder for line in group.lines], by=by, at=at)


def draw_quality_sample(*, agency: Agency, people: dict, today: date, moment: Callable[[date], datetime]) -> None:
    """The last two years, the county's share of them."""
    draw_sample(
        agency=agency, period_from=today - relativedelta(years=2), period_to=today, by=people["supervisor"],
        at=moment(today), seed=SEED,
    )  # fmt: skip


def _workday(today: date, month_end: date, ahead: int) -> date:
    """So many days on, not on a weekend and not past the month's end; today where nothing else is left."""
    day = min(today + timedelta(days=ahead), month_end)
    while day.weekday() >= 5 and day > today:
        day -= timedelta(days=1)
    return day
