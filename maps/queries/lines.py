"""The drawn lines that a window of the map shows."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import F, Max, Min, Q, QuerySet

from inventory.models import Agency, Event, Person
from inventory.queries.people import agencies_of
from maps.geometry import Bounds
from maps.models import Line

LINES_IN_VIEW = 6000  # more than this no one can tell apart on a screen, and a phone cannot draw them


@dataclass(frozen=True)
class LineRow:
    id: int
    kind: str
    name: str
    road_class: str
    surface: str
    wkb: bytes


@dataclass(frozen=True)
class LinesInView:
    rows: list[LineRow]
    omitted: int


def lines_within(queryset: QuerySet[Line], bounds: Bounds | None) -> QuerySet[Line]:
    """The lines whose own bounds touch the window; a window may cross the 180th meridian."""
    if bounds is None:
        return queryset
    queryset = queryset.filter(min_lat__lte=bounds.north, max_lat__gte=bounds.south)
    if bounds.crosses_180:
        return queryset.filter(Q(max_lon__gte=bounds.west) | Q(min_lon__lte=bounds.east))
    return queryset.filter(min_lon__lte=bounds.east, max_lon__gte=bounds.west)


def lines_in_view(person: Person, bounds: Bounds | None, limit: int = LINES_IN_VIEW) -> LinesInView:
    """The lines of the person's agencies in the window; where there are more than `limit`, the longest of them."""
    lines = lines_within(Line.objects.filter(agency__in=agencies_of(person)), bounds)
    count = lines.count()
    extent = F("max_lon") - F("min_lon") + F("max_lat") - F("min_lat")
    return LinesInView(_rows(lines.order_by(extent.desc(), "id")[:limit]), max(0, count - limit))


def lines_about(agency: Agency, bounds: Bounds, limit: int = 400) -> list[LineRow]:
    """An agency's lines in a small window, for a drawing made on the server."""
    return _rows(lines_within(Line.objects.filter(agency=agency), bounds).order_by("kind", "id")[:limit])


def _rows(lines: QuerySet[Line]) -> list[LineRow]:
    return [LineRow(*row) for row in lines.values_list("id", "kind", "name", "road_class", "surface", "wkb")]


def lines_last_drawn(person: Person) -> datetime | None:
    """When a line of the person's agencies was last drawn; None where none ever was."""
    events = Event.objects.filter(agency__in=agencies_of(person), verb="draw_lines")
    return events.order_by("-at", "-id").values_list("at", flat=True).first()


def lines_extent(person: Person) -> Bounds | None:
    """The window that holds all lines of the person's agencies; None where there are none."""
    edges = Line.objects.filter(agency__in=agencies_of(person)).aggregate(
        west=Min("min_lon"), south=Min("min_lat"), east=Max("max_lon"), north=Max("max_lat")
    )
    return None if None in edges.values() else Bounds(**edges)
