"""A field day in words: who leads it, its stops in order with the straight lines between them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from inspections.models import FieldDay, FieldStop
from inspections.queries.field_days import leader_answers
from inspections.rules.clocks import Lateness, lateness
from inspections.rules.field_days import work_words
from inspections.rules.nearness import Place, distance_mi, length_mi
from inspections.vocabulary.findings import InspectionKind
from inventory.models import Event, Structure

SHOWN_EVENTS = 20


@dataclass(frozen=True, kw_only=True)
class StopLine:
    """One stop; `from_before_mi` is the straight line from the last structure with a position, None at the first."""

    stop: FieldStop
    kind_words: str
    work_words: str
    lateness: Lateness | None
    from_before_mi: float | None
    has_place: bool
    is_same_place: bool


@dataclass(frozen=True, kw_only=True)
class DayCard:
    """One day as pages show it. `against` says why its leader may not lead; `word` who said all the same."""

    day: FieldDay
    lines: tuple[StopLine, ...]
    structures: int
    way_mi: float
    against: tuple[str, ...]
    leader_words: tuple[str, ...]
    is_past: bool


def place_of(structure: Structure) -> Place | None:
    """Where a structure stands, None where the register does not know."""
    if structure.lon_deg is None or structure.lat_deg is None:
        return None
    return Place(key=structure.pk, lon_deg=structure.lon_deg, lat_deg=structure.lat_deg)


def day_card(day: FieldDay, today: date) -> DayCard:
    """`day` with its stops prefetched (queries.field_days.with_stops)."""
    stops = list(day.stops.all())
    lines, last = [], None
    for stop in stops:
        place = place_of(stop.structure)
        lines.append(
            StopLine(
                stop=stop,
                kind_words=InspectionKind.label_of(stop.kind),
                work_words=work_words(stop.kind),
                is_same_place=bool(lines) and lines[-1].stop.structure_id == stop.structure_id,
                lateness=_lateness(stop, today),
                from_before_mi=None if last is None or place is None else distance_mi(last, place),
                has_place=place is not None,
            )
        )
        last = place or last
    answers = _answers(day, stops)
    places = [place for place in (place_of(stop.structure) for stop in stops) if place is not None]
    return DayCard(
        day=day,
        lines=tuple(lines),
        structures=len({stop.structure_id for stop in stops}),
        way_mi=length_mi(places),
        against=tuple(dict.fromkeys(each.words for each in answers if not each.may)),
        leader_words=tuple(dict.fromkeys(each.words for each in answers if each.may)),
        is_past=day.on < today,
    )


def day_choices(days: Iterable[FieldDay]) -> list[tuple[str, str]]:
    """Days to come for a list to choose from."""
    return [(str(day.pk), f"{day.on:%a} {day.on.day} {day.on:%b %Y}, {day.leader or 'no leader yet'}") for day in days]


def day_events(day: FieldDay):
    """Who did what with a day, newest first."""
    events = Event.objects.filter(agency=day.agency, detail__field_day=day.pk).select_related("by", "structure")
    return events.order_by("-at", "-pk")[:SHOWN_EVENTS]


def _answers(day: FieldDay, stops: list[FieldStop]):
    if day.leader is None:
        return []
    return leader_answers(day.agency, day.leader, day.on, [stop.kind for stop in stops] or ["routine"])


def _lateness(stop: FieldStop, today: date) -> Lateness | None:
    row = stop.reminder
    if row is None:
        return None
    return lateness(kind=row.kind, due_on=row.due_on, late_after=row.late_after, as_of=today)
