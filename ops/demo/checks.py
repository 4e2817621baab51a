"""Bar checks of the demonstration county: those of the past as rows, the last ones through the office's own actions."""

from datetime import date, timedelta

from dateutil.relativedelta import relativedelta

from inspections.actions import receive, review
from inspections.actions.rate import settle_owed_rating
from inspections.models import OwedRating
from inventory.models import Jack

from .bars import BarRow, keep_check, lift_off, sampled

# (system, year built) of the bridges whose bars tell something of their own.
FROZEN = (("stress_laminated", 1991), ("stress_laminated_t", 2007))
SAMPLED = ("stress_laminated_box", 2013)
LOCK_OFF = ("stress_laminated_box", 2002)


def jack_of(day: date, jacks: list[Jack], today: date, *, expired: bool = False) -> Jack | None:
    """The jack in calibration on a day; none where nobody knows any more which it was. `expired`: the second, late."""
    first, second = jacks
    if expired:
        return second
    if day >= first.calibrated_on:
        return first
    return second if day >= second.calibrated_on and day <= today - relativedelta(months=7) else None


def past_checks(row: BarRow, plan, last: date, people, jacks: list[Jack], today: date) -> None:
    """Every three years since the first year, and once in frost where the story has it."""
    inspector = people["m.sorrel"]
    day = max(row.stressed[0] + relativedelta(years=1), date(today.year - 25, 6, 1))
    while day < today - relativedelta(months=20):
        jack = jack_of(day, jacks, today)
        keep_check(row, day, lift_off(row, row.forces(day), jack=jack, wood_temp_f=55.0), inspector, air_temp_f=58)
        day += relativedelta(years=3)
    if (plan.system, plan.year) in FROZEN:
        cold = date(last.year, 1, 20)
        cold = cold if cold < last - timedelta(days=20) else date(last.year - 1, 1, 20)
        readings = lift_off(
            row, row.forces(cold, frost=True), jack=jack_of(cold, jacks, today), moisture_pct=24.0, wood_temp_f=17.0
        )
        keep_check(
            row, cold, readings, inspector, air_temp_f=12, notes="Wood frozen and wet; to be read again in spring."
        )


def last_checks(made, day, jacks: list[Jack]) -> None:
    """A sampled check, rated and accepted; and one where two bars were read only at lock-off, which rates nothing."""
    by_kind = {(item.plan.system, item.plan.year): item for item in made}
    row, on = by_kind[SAMPLED].row, day.today - timedelta(days=30)
    numbers = sampled(row.bars)
    chosen = {bar: force for bar, force in row.forces(on).items() if bar.number in numbers}
    readings = lift_off(row, chosen, jack=jacks[0], repeats=3, moisture_pct=18.0, wood_temp_f=44.0)
    _let_check_run(row.span.structure, readings, on, day)
    row, on = by_kind[LOCK_OFF].row, day.today - timedelta(days=26)
    chosen = dict(list(row.forces(on).items())[:2])
    readings = lift_off(row, chosen, jack=jacks[0], method="lock_off", moisture_pct=18.0, wood_temp_f=44.0)
    words = "Gauge seen at lock-off only, no lift-off: the pump failed."
    keep_check(row, on, readings, day.people["m.sorrel"], air_temp_f=41, notes=words)


def _let_check_run(structure, readings: list[dict], on: date, day) -> None:
    inspector = day.people["m.sorrel"]
    check = receive.open_inspection(structure=structure, kind="bar_check", by=inspector, at=day.at(on, 9))
    check = receive.save_draft(
        inspection=check,
        revision=check.revision,
        fields={"field_completed_on": on, "team": "Sorrel", "weather": "overcast", "air_temp_f": 41.0},
        findings=readings,
        elements=[],
        by=inspector,
        at=day.at(on, 14),
    )
    receive.submit_inspection(inspection=check, revision=check.revision, by=inspector, at=day.at(on, 15))
    for owed in OwedRating.objects.filter(structure=structure, state="owed"):
        settle_owed_rating(owed_id=owed.pk, at=day.at(on, 16))
    check.refresh_from_db()
    review.accept_inspection(inspection=check, by=day.people["engineer"], at=day.at(on + timedelta(days=1)))
