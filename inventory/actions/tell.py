"""The event every action writes inside its own transaction."""

from datetime import datetime

from inventory.models import Agency, Event, Person, Structure


def tell_event(
    *,
    verb: str,
    sentence: str,
    at: datetime,
    by: Person | None,
    structure: Structure | None = None,
    agency: Agency | None = None,
    detail: dict | None = None,
) -> Event:
    """Write one event; call it inside the transaction it tells of. The agency is the structure's where one is given."""
    return Event.objects.create(
        agency=structure.agency if structure is not None else agency,
        structure=structure,
        verb=verb,
        sentence=sentence[:500],
        detail=detail or {},
        by=by,
        at=at,
    )
