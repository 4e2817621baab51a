"""Who may see and do what, read from memberships."""

from django.db.models import QuerySet

from inventory.models import Agency, Membership, Person
from inventory.vocabulary.roles import ALLOWED, Permit, Role


def agencies_of(person: Person) -> QuerySet[Agency]:
    """The agencies a person belongs to; nobody sees another's rows, a superuser included."""
    return Agency.objects.filter(memberships__person=person).distinct()


def agencies_permitting(person: Person, permit: Permit) -> QuerySet[Agency]:
    """The agencies in which a person may do `permit`."""
    roles = [role.value for role in ALLOWED[permit]]
    return Agency.objects.filter(memberships__person=person, memberships__role__in=roles).distinct()


def permits_of(person: Person, agency: Agency | None = None) -> frozenset[Permit]:
    """Everything a person may do in one agency, or in any of theirs."""
    memberships = Membership.objects.filter(person=person)
    if agency is not None:
        memberships = memberships.filter(agency=agency)
    held = {Role(role) for role in memberships.values_list("role", flat=True)}
    return frozenset(permit for permit, roles in ALLOWED.items() if roles & held)


def people_with(agency: Agency, *roles: Role) -> QuerySet[Person]:
    """The active people who hold one of the roles in an agency."""
    wanted = [role.value for role in roles]
    return Person.objects.filter(is_active=True, memberships__agency=agency, memberships__role__in=wanted).distinct()
