"""Stressing days of a person's agencies, and what is known of the force standing in each bar before one is planned."""

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from inspections.models import BarForecast, Finding, StressingDay
from inspections.vocabulary.findings import Change, FindingKind, ForceMethod
from inspections.vocabulary.states import StressingState
from inventory.models import Bar, Person, StressingSystem, Structure
from inventory.queries.people import agencies_of
from inventory.vocabulary.structures import WorkKind

from .findings import STANDING_FORCE
from .inspections import RECEIVED

OPEN_STATES = (StressingState.HELD, StressingState.UNDER_WAY, StressingState.RELEASED, StressingState.DRAFTED)
PULLED = (WorkKind.STRESSING, WorkKind.RETENSION)


@dataclass(frozen=True, kw_only=True)
class ForceRead:
    """The last standing force of a bar, lb, and the day it was read."""

    force_lb: float
    on: date
    method: str
    finding: int


def stressing_days_for(person: Person) -> QuerySet[StressingDay]:
    """All stressing days of the person's agencies."""
    return StressingDay.objects.filter(structure__agency__in=agencies_of(person)).select_related(
        "structure__agency", "system__span", "made_by", "released_by", "work"
    )


def without_plans(days: QuerySet[StressingDay]) -> QuerySet[StressingDay]:
    """For lists: the plans of sixty bars are long and not shown there."""
    return days.defer("plan", "given", "released_plan", "sources", "learned", "final")


def open_stressing_days(structure: Structure) -> QuerySet[StressingDay]:
    """Days of a structure that somebody must still act on, the planned day first."""
    states = [state.value for state in OPEN_STATES]
    return StressingDay.objects.filter(structure=structure, state__in=states).order_by("planned_for", "pk")


def row_levels(system: StressingSystem) -> list[str]:
    """Levels in which a system has bars, each a row of its own."""
    return sorted(set(Bar.objects.filter(system=system).values_list("level", flat=True)))


def bars_of_row(system: StressingSystem, level: str) -> list[Bar]:
    """The bars of one row in the order of their stations."""
    return list(Bar.objects.filter(system=system, level=level).order_by("station_ft", "number", "pk"))


def last_pulled_on(system: StressingSystem, level: str, as_of: date) -> date | None:
    """The last day the row was pulled: a finished stressing day's work counts for its own row, any other for all."""
    works = system.span.structure.works.filter(kind__in=PULLED, done_on__lte=as_of)
    of_days = dict(
        StressingDay.objects.filter(structure=system.span.structure, work__isnull=False).values_list(
            "work_id", "system_id"
        )
    )
    levels = dict(StressingDay.objects.filter(work__isnull=False, system=system).values_list("work_id", "level"))
    days = [
        on
        for pk, on in works.values_list("pk", "done_on")
        if pk not in of_days or (of_days[pk] == system.pk and levels.get(pk) == level)
    ]
    return max(days, default=None)


def standing_reads(bars: list[Bar], *, since: date | None, as_of: date) -> dict[int, ForceRead]:
    """Bar id to its last standing force read from `since` to `as_of`; of two on one day the lower counts.

    A gauge at lock-off is no standing force. Loose to the hand, broken or missing is 0.
    """
    rows = Finding.objects.filter(
        bar__in=bars,
        inspection__state__in=RECEIVED,
        inspection__field_completed_on__lte=as_of,
        kind__in=(FindingKind.BAR_FORCE, FindingKind.BROKEN),
    ).exclude(kind=FindingKind.BROKEN, change=Change.GONE)
    rows = rows.select_related("inspection")
    if since is not None:
        rows = rows.filter(inspection__field_completed_on__gte=since)
    found: dict[int, ForceRead] = {}
    for row in rows.order_by("inspection__field_completed_on", "pk"):
        force = _force(row)
        if force is None:
            continue
        on, held = row.inspection.field_completed_on, found.get(row.bar_id)
        if held is None or on > held.on or force < held.force_lb:
            found[row.bar_id] = ForceRead(force_lb=force, on=on, method=row.force_method or row.kind, finding=row.pk)
    return found


def _force(row: Finding) -> float | None:
    if row.kind == FindingKind.BROKEN or row.force_method == ForceMethod.HAND_LOOSE:
        return 0.0
    return row.force_lb if row.force_method in STANDING_FORCE else None


def forecast_of_row(system: StressingSystem, level: str) -> BarForecast | None:
    """The last forecast of the row; None where there is none or it could not be made."""
    return BarForecast.objects.filter(system=system, level=level, problem="").first()


def last_finished_day(system: StressingSystem, level: str) -> StressingDay | None:
    """The last finished stressing day of the row: what it taught of the wood, and what it left in the bars."""
    rows = StressingDay.objects.filter(system=system, level=level, state=StressingState.FINISHED.value)
    return rows.order_by("-finished_at", "-pk").first()
