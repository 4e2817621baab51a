"""Forecasts of bar force that stand, and which rows of bars have none for today."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from inspections.models import BarForecast, BarPool, Reminder
from inspections.rules.bar_profile import Estimate
from inspections.rules.forecast_band import read_off
from inspections.vocabulary.states import ReminderKind
from inventory.models import Agency, BarPolicy, Event, Person, StressingSystem, Structure
from inventory.queries.people import agencies_of
from inventory.vocabulary.structures import Status

from .reminders import ACTIVE


def forecasts_of(structure: Structure) -> QuerySet[BarForecast]:
    """The forecasts of one structure, span by span."""
    rows = BarForecast.objects.filter(structure=structure).select_related("system__span")
    return rows.order_by("system__span__index", "level")


def forecasts_for(person: Person) -> QuerySet[BarForecast]:
    """Forecasts of the structures in service of the person's agencies, without their long JSON."""
    return (
        BarForecast.objects.filter(structure__agency__in=agencies_of(person), structure__status=Status.IN_SERVICE.value)
        .select_related("structure", "structure__agency", "structure__standing", "system__span")
        .defer("inputs", "results")
    )


def due_first(forecasts: QuerySet[BarForecast]) -> QuerySet[BarForecast]:
    """The earliest recommended date first, so what is overdue leads; rows without a date last."""
    return forecasts.order_by(F("recommended_on").asc(nulls_last=True), "structure__number", "pk")


def next_readings(structure_ids: Iterable[int]) -> dict[int, date]:
    """The day the bars of each structure are next to be read, by its open reminder."""
    rows = Reminder.objects.filter(
        structure__in=list(structure_ids), kind=ReminderKind.BAR_CHECK.value, state__in=ACTIVE
    )
    return dict(rows.order_by("-due_on").values_list("structure_id", "due_on"))


def lower_edges(structure: Structure, as_of: date) -> dict[int, float]:
    """Lower edge of the least local pressure, psi, on a day, by stressing system: the weaker level's.

    A forecast made after that day says nothing of it. Points another version kept otherwise: the edge as last read off.
    """
    found: dict[int, float] = {}
    rows = BarForecast.objects.filter(structure=structure, made_on__lte=as_of, problem="")
    for system_id, points, last in rows.values_list("system_id", "results__forecast__points", "lower_psi_today"):
        try:
            lower = read_off(points or (), as_of, "least_lower_psi")
        except (KeyError, TypeError):
            lower = last
        if lower is not None:
            found[system_id] = min(lower, found.get(system_id, lower))
    return found


def bar_estimates(forecast: BarForecast) -> dict[int, Estimate]:
    """By bar id, of the day the forecast was made; nothing where another version kept it otherwise."""
    ids = forecast.inputs.get("bar_ids") or []
    try:
        told = [
            (one["bar_index"], Estimate(middle_lb=one["middle_lb"], sd_lb=one["sd_lb"], is_read=one["is_read"]))
            for one in (forecast.results.get("forecast") or {}).get("bars") or ()
        ]
    except (KeyError, TypeError):
        return {}
    return {ids[index]: estimate for index, estimate in told if index < len(ids)}


def pools_of(agency_ids: Iterable[int]) -> dict[tuple[int, str], BarPool]:
    """The kept pools by agency and kind."""
    return {(pool.agency_id, pool.kind): pool for pool in BarPool.objects.filter(agency__in=list(agency_ids))}


def structures_with_bars(agency: Agency | None = None) -> QuerySet[Structure]:
    """Structures in service with bars on record."""
    systems = StressingSystem.objects.filter(bars__isnull=False).values("span__structure")
    rows = Structure.objects.filter(status=Status.IN_SERVICE.value, pk__in=systems)
    return (rows if agency is None else rows.filter(agency=agency)).order_by("pk")


def agencies_with_bars() -> QuerySet[Agency]:
    return Agency.objects.filter(pk__in=structures_with_bars().values("agency")).order_by("pk")


def agencies_to_pool(as_of: date) -> list[Agency]:
    """Agencies with bars whose pools were not made today, or were made under an older policy."""
    found = []
    for agency in agencies_with_bars():
        revision = policy_revision(agency)
        pools = BarPool.objects.filter(agency=agency)
        if not pools.filter(made_on__gte=as_of, pool__policy_revision=revision).exists():
            found.append(agency)
    return found


def policy_revision(agency: Agency) -> int:
    return BarPolicy.objects.filter(agency=agency).values_list("revision", flat=True).first() or 0


def structures_to_forecast(agency: Agency, as_of: date) -> list[int]:
    """Ids of structures with a row of bars not forecast today, forecast under an older policy of the agency, or on
    whose record a person has worked since (a stressing, a bar, a reading)."""
    touched = Event.objects.filter(structure=OuterRef("structure"), by__isnull=False, at__gt=OuterRef("made_at"))
    rows = BarForecast.objects.filter(structure__agency=agency)
    current = Q(made_on__gte=as_of, inputs__policy_revision=policy_revision(agency)) & ~Exists(touched)
    fresh = set(rows.filter(current).values_list("structure_id", flat=True))
    stale = set(rows.exclude(current).values_list("structure_id", flat=True))
    ids = structures_with_bars(agency).values_list("pk", flat=True)
    return [pk for pk in ids if pk in stale or pk not in fresh]
