"""Replace the lines of one kind on an agency's map."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from inventory.actions.tell import tell_event
from inventory.models import Agency, Person
from maps.geometry import DrawnLine, NotOnTheMap
from maps.models import Line

VERB = "draw_lines"


def draw_lines(*, agency: Agency, kind: str, lines: Sequence[DrawnLine], by: Person | None, at: datetime) -> int:
    """Put `lines` in the place of all lines of `kind` the agency had; returns how many stand now.

    All or nothing. Raises `NotOnTheMap` (a sentence) for an unknown kind or an empty list: an empty file must not
    wipe the county's roads.
    """
    labels = dict(Line.KINDS)
    if kind not in labels:
        raise NotOnTheMap(f'"{kind}" is not a kind of line. Choose one of: {", ".join(labels)}.')
    if not lines:
        raise NotOnTheMap(f"No lines of the kind {labels[kind].lower()} were given; those already drawn stay.")
    with transaction.atomic():
        # Two replacements at once must not leave both sets behind.
        Agency.objects.select_for_update().get(pk=agency.pk)
        before, _ = Line.objects.filter(agency=agency, kind=kind).delete()
        Line.objects.bulk_create([_row(agency, kind, line) for line in lines], batch_size=500)
        tell_event(
            verb=VERB,
            sentence=f"{labels[kind]}: {len(lines)} lines drawn on the map in place of {before}.",
            detail={"kind": kind, "lines": len(lines), "before": before},
            agency=agency,
            by=by,
            at=at,
        )
    return len(lines)


def _row(agency: Agency, kind: str, line: DrawnLine) -> Line:
    return Line(
        agency=agency,
        kind=kind,
        name=line.name[:80],
        road_class=line.road_class[:20],
        surface=line.surface[:20],
        wkb=line.wkb,
        min_lon=line.bounds.west,
        min_lat=line.bounds.south,
        max_lon=line.bounds.east,
        max_lat=line.bounds.north,
    )
