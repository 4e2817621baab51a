"""Structures are put on a field day, moved up and down, to another day, off it, and into an order of nearness."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from django.db import transaction

from inspections.models import FieldDay, FieldStop, Reminder
from inspections.queries.field_days import stop_kinds
from inspections.queries.reminders import ACTIVE
from inspections.rules.clocks.terms import day as day_words
from inspections.rules.field_days import moved, stops_fault, work_words
from inspections.rules.nearness import Place, visiting_order
from inspections.rules.refusals import Refused
from inventory.actions.tell import tell_event
from inventory.models import Agency, Person
from inventory.vocabulary.roles import Permit

from .field_days import DayWanted, lock_open_day, make_field_day, set_word, tell_word
from .lock import day_of, lock_structure, require_agency_permit


@transaction.atomic
def put_on_day(
    *, day: FieldDay, revision: int, reminders: Sequence[Reminder], by: Person, at: datetime, override_reason: str = ""
) -> FieldDay:
    """Put what is owed on a day, after what stands on it already; all or nothing."""
    require_agency_permit(by, day.agency, Permit.PLAN_FIELD)
    _lock_structures(reminders)
    day = lock_open_day(day, revision, at)
    kinds = stop_kinds(reminders)
    _renew_word(day, kinds.values(), override_reason, by, at)
    _add_stops(day, reminders, kinds, by=by, at=at)
    _touch(day)
    return day


@transaction.atomic
def plan_new_day(
    *, agency: Agency, wanted: DayWanted, reminders: Sequence[Reminder], by: Person, at: datetime
) -> FieldDay:
    """A new day with what is put on it; all or nothing."""
    require_agency_permit(by, agency, Permit.PLAN_FIELD)
    _lock_structures(reminders)
    kinds = stop_kinds(reminders)
    day = make_field_day(agency=agency, wanted=wanted, by=by, at=at, kinds=kinds.values())
    _add_stops(day, reminders, kinds, by=by, at=at)
    return day


@transaction.atomic
def move_stop(*, stop: FieldStop, revision: int, step: int, by: Person, at: datetime) -> FieldDay:
    """One place up (-1) or down (1)."""
    require_agency_permit(by, stop.day.agency, Permit.PLAN_FIELD)
    day = lock_open_day(stop.day, revision, at)
    stops = _stops_of(day)
    if stop.pk not in stops:
        raise Refused("This stop is not on the day any more: look at the day again.")
    _renumber([stops[pk] for pk in moved(list(stops), stop.pk, step)])
    _touch(day)
    return day


@transaction.atomic
def move_stop_to(
    *, stop: FieldStop, revision: int, to: FieldDay, by: Person, at: datetime, override_reason: str = ""
) -> FieldDay:
    """To the end of another day of the same agency."""
    require_agency_permit(by, stop.day.agency, Permit.PLAN_FIELD)
    if to.agency_id != stop.day.agency_id or to.pk == stop.day_id:
        raise Refused("Choose another day of the same agency.")
    lock_structure(stop.structure_id)
    # Held in the order of their numbers, so that two people moving between the same two days do not wait in a ring.
    revisions = {stop.day_id: revision, to.pk: None}
    held = {pk: lock_open_day(FieldDay(pk=pk), revisions[pk], at) for pk in sorted(revisions)}
    source, target = held[stop.day_id], held[to.pk]
    stops = _stops_of(source)
    if stop.pk not in stops:
        raise Refused("This stop is not on the day any more: look at the day again.")
    row = stops.pop(stop.pk)
    if target.stops.filter(structure=row.structure_id, kind=row.kind).exists():
        raise Refused(
            f"{row.structure.number} stands on {day_words(target.on)} for the same already: take it off here."
        )
    if fault := stops_fault(target.stops.count() + 1):
        raise Refused(fault)
    _renew_word(target, [row.kind], override_reason, by, at)
    row.day, row.order = target, target.stops.count() + 1
    row.save(update_fields=["day", "order"])
    _renumber(list(stops.values()))
    for day in (source, target):
        _touch(day)
    sentence = f"{work_words(row.kind)} moved from {day_words(source.on)} to {_day_with_leader(target)}."
    _tell(row, "move_field_stop", sentence, by, at)
    return target


@transaction.atomic
def take_off(*, stop: FieldStop, revision: int, by: Person, at: datetime) -> FieldDay:
    """Off the plan; what is owed stays owed."""
    require_agency_permit(by, stop.day.agency, Permit.PLAN_FIELD)
    lock_structure(stop.structure_id)
    day = lock_open_day(stop.day, revision, at)
    stops = _stops_of(day)
    if stop.pk not in stops:
        raise Refused("This stop is not on the day any more: look at the day again.")
    row = stops.pop(stop.pk)
    sentence = f"{work_words(row.kind)} taken off the plan of {day_words(day.on)}."
    _tell(row, "remove_field_stop", sentence, by, at)
    row.delete()
    _renumber(list(stops.values()))
    _touch(day)
    return day


@transaction.atomic
def order_by_nearness(*, day: FieldDay, revision: int, by: Person, at: datetime) -> FieldDay:
    """From the first stop on, with little driving between; structures without a position come last, as they stood."""
    require_agency_permit(by, day.agency, Permit.PLAN_FIELD)
    day = lock_open_day(day, revision, at)
    stops = list(_stops_of(day).values())
    of_structure: dict[int, list[FieldStop]] = {}
    for stop in stops:
        of_structure.setdefault(stop.structure_id, []).append(stop)
    places = [
        Place(key=pk, lon_deg=rows[0].structure.lon_deg, lat_deg=rows[0].structure.lat_deg)
        for pk, rows in of_structure.items()
        if rows[0].structure.lon_deg is not None and rows[0].structure.lat_deg is not None
    ]
    order = visiting_order(places)
    order += [pk for pk in of_structure if pk not in set(order)]
    _renumber([stop for pk in order for stop in of_structure[pk]])
    _touch(day)
    return day


def _add_stops(
    day: FieldDay, reminders: Sequence[Reminder], kinds: Mapping[int, str], *, by: Person, at: datetime
) -> None:
    """Refused with a sentence for each that cannot be."""
    faults = [fault] if (fault := stops_fault(day.stops.count() + len(reminders))) else []
    elsewhere = {
        (stop.structure_id, stop.kind): stop.day
        for stop in FieldStop.objects.filter(
            day__agency=day.agency_id, day__on__gte=day_of(at), structure__in=[row.structure_id for row in reminders]
        ).select_related("day")
    }
    for row in reminders:
        name = f"{row.structure.number}, {row.get_kind_display().lower()}"
        if row.structure.agency_id != day.agency_id:
            faults.append("A chosen structure belongs to another agency: choose again.")
        elif row.state not in ACTIVE:
            faults.append(f"{name}: it is owed no more. Look at the list again.")
        elif other := elsewhere.get((row.structure_id, kinds[row.pk])):
            faults.append(f"{name}: it is planned for {day_words(other.on)} already. Move it there, or take it off.")
    if faults:
        raise Refused(*faults)
    place = day.stops.count()
    for order, row in enumerate(reminders, start=place + 1):
        stop = FieldStop.objects.create(day=day, structure=row.structure, kind=kinds[row.pk], reminder=row, order=order)
        sentence = f"{work_words(stop.kind)} planned for {_day_with_leader(day)}."
        _tell(stop, "plan_field_stop", sentence, by, at)


def _lock_structures(reminders: Iterable[Reminder]) -> None:
    for pk in sorted({row.structure_id for row in reminders}):
        lock_structure(pk)


def _renew_word(day: FieldDay, kinds: Iterable[str], reason: str, by: Person, at: datetime) -> None:
    """The leader must be good for what is there and what comes; a word newly given is told."""
    before = (day.override_by_id, day.override_reason)
    wanted = [*day.stops.values_list("kind", flat=True), *kinds]
    set_word(day, wanted, reason, by=by)
    if day.override_by_id and (day.override_by_id, day.override_reason) != before:
        tell_word(day, wanted, by, at)


def _stops_of(day: FieldDay) -> dict[int, FieldStop]:
    rows = FieldStop.objects.filter(day=day).select_related("structure", "structure__agency").order_by("order", "pk")
    return {row.pk: row for row in rows}


def _renumber(stops: Sequence[FieldStop]) -> None:
    for order, stop in enumerate(stops, start=1):
        stop.order = order
    FieldStop.objects.bulk_update(stops, ["order"])


def _touch(day: FieldDay) -> None:
    day.revision += 1
    day.save()


def _day_with_leader(day: FieldDay) -> str:
    return day_words(day.on) + (f" with {day.leader}" if day.leader else "")


def _tell(stop: FieldStop, verb: str, sentence: str, by: Person, at: datetime) -> None:
    detail = {"field_day": stop.day_id, "reminder": stop.reminder_id, "kind": stop.kind}
    tell_event(verb=verb, sentence=sentence, at=at, by=by, structure=stop.structure, detail=detail)
