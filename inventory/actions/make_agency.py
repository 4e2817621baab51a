"""An agency and the first person who may administer it."""

from datetime import datetime

from django.db import transaction

from inventory.models import Agency, Membership, Person
from inventory.vocabulary.roles import Role

from .tell import tell_event


class AlreadyThere(Exception):
    """The sentence that says what stands already."""


@transaction.atomic
def make_agency(
    *, name: str, administrator: str, password: str, at: datetime, state_code: str = "", county_code: str = ""
) -> Agency:
    """Write the agency, its administrator and the event. Raises AlreadyThere, or ValidationError for a bad value."""
    if Agency.objects.filter(name=name).exists():
        raise AlreadyThere(f"An agency named {name} stands already: choose another name.")
    if Person.objects.filter(username=administrator).exists():
        raise AlreadyThere(f"The sign-in name {administrator} is taken: choose another.")
    agency = Agency(name=name, state_code=state_code, county_code=county_code)
    agency.full_clean()
    person = Person(username=administrator, is_staff=True)
    person.set_password(password)
    person.full_clean()
    agency.save()
    person.save()
    Membership.objects.create(person=person, agency=agency, role=Role.ADMINISTRATOR.value)
    tell_event(
        verb="make_agency",
        sentence=f"{name} made, with {administrator} as administrator.",
        at=at,
        by=None,
        agency=agency,
    )
    return agency
