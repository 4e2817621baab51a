"""What the registry's page shows: each person with what they hold, in words with the days left."""

from datetime import date

from inventory.models import Agency, Event, Qualification
from inventory.queries.qualifications import held_by, leaders_on, refresher_of
from inventory.rules.qualifications import REFRESHED, SOON_DAYS, Refresher, holding_on

SHOWN_CHANGES = 12


def qualification_line(row: Qualification, as_of: date, refresher: Refresher) -> dict:
    """One line with how it stands today."""
    return {
        "row": row,
        "holding": holding_on(held_by(row), on=as_of, refresher=refresher),
        "needs_refresher": row.kind in REFRESHED,
    }


def registry_context(agency: Agency, as_of: date) -> dict:
    """The page "Qualifications" of one agency: people with their lines, then what was withdrawn."""
    refresher = refresher_of(agency)
    rows = Qualification.objects.filter(agency=agency).select_related("person")
    rows = rows.order_by("person__last_name", "person__first_name", "person__username", "kind", "-held_since")
    lines = [qualification_line(row, as_of, refresher) for row in rows]
    standing = [line for line in lines if line["row"].withdrawn_on is None]
    people: dict[int, dict] = {}
    for line in standing:
        person = line["row"].person
        people.setdefault(person.pk, {"person": person, "lines": []})["lines"].append(line)
    without = [(person, answer) for person, answer in leaders_on(agency, as_of) if not answer.may]
    return {
        "agency": agency,
        "people": list(people.values()),
        "withdrawn": [line for line in lines if line["row"].withdrawn_on is not None],
        "warned": [line for line in standing if line["holding"].warns],
        "may_not_lead": without,
        "refresher": refresher,
        "soon_days": SOON_DAYS,
    }


def qualification_events(row: Qualification):
    """What was said of one line, newest first."""
    events = Event.objects.filter(agency=row.agency, structure=None, detail__qualification=row.pk)
    return events.select_related("by")[:SHOWN_CHANGES]
