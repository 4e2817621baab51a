"""The registry of inspectors of a person's agencies, and who may lead on a day."""

from collections.abc import Iterable
from datetime import date

from django.db.models import QuerySet

from inventory.models import Agency, Person, Qualification
from inventory.rules.qualifications import Answer, Held, Refresher, may_lead
from inventory.vocabulary.roles import Role

from .inspection_policy import policy_of
from .people import agencies_of, people_with

LEADING_ROLES = (Role.INSPECTOR, Role.ENGINEER)


def qualifications_for(person: Person) -> QuerySet[Qualification]:
    """Every line of the registries of the person's agencies, withdrawn ones too."""
    return Qualification.objects.filter(agency__in=agencies_of(person)).select_related("agency", "person")


def refresher_of(agency: Agency) -> Refresher:
    """What the agency asks of refresher training; the rule's defaults where it set nothing."""
    policy = policy_of(agency)
    return Refresher(months=policy.refresher_months, hours=float(policy.refresher_hours))


def held_by(row: Qualification) -> Held:
    """One line as the rule reads it."""
    return Held(
        kind=row.kind,
        held_since=row.held_since,
        expires_on=row.expires_on,
        refresher_hours=row.refresher_hours,
        refreshed_on=row.refreshed_on,
        withdrawn_on=row.withdrawn_on,
    )


def lines_by_person(agency: Agency, people: Iterable[int] | None = None) -> dict[int, list[Held]]:
    """Person id to the lines the agency holds on them."""
    rows = Qualification.objects.filter(agency=agency)
    if people is not None:
        rows = rows.filter(person__in=list(people))
    found: dict[int, list[Held]] = {}
    for row in rows:
        found.setdefault(row.person_id, []).append(held_by(row))
    return found


def leader_answer(person: Person, agency: Agency, kind: str, on: date) -> Answer:
    """May this person lead an inspection of `kind` for the agency on a day? With the sentence to show."""
    lines = lines_by_person(agency, [person.pk]).get(person.pk, [])
    return may_lead(lines, kind=kind, on=on, name=str(person), refresher=refresher_of(agency))


def possible_leaders(agency: Agency) -> QuerySet[Person]:
    """Active members who enter inspections: whoever leads a team is one of them."""
    return people_with(agency, *LEADING_ROLES).order_by("last_name", "first_name", "username")


def leaders_on(agency: Agency, on: date, kind: str = "routine") -> list[tuple[Person, Answer]]:
    """Every possible leader with the answer for a day."""
    people = list(possible_leaders(agency))
    lines, refresher = lines_by_person(agency, [each.pk for each in people]), refresher_of(agency)
    return [
        (each, may_lead(lines.get(each.pk, []), kind=kind, on=on, name=str(each), refresher=refresher))
        for each in people
    ]


def members_of(agency: Agency) -> QuerySet[Person]:
    """Active members of an agency, by name."""
    people = Person.objects.filter(is_active=True, memberships__agency=agency).distinct()
    return people.order_by("last_name", "first_name", "username")
