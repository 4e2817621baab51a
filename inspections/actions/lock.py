"""Locks and permits every action begins with: the structure first, always, so that no two actions wait in a ring."""

from datetime import date, datetime

from django.db import models
from django.utils import timezone

from inspections.rules.lifecycle import may_move
from inspections.rules.refusals import Refused, stale
from inventory.models import Agency, Person, Structure
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import ALLOWED, Permit


def lock_structure(pk: int) -> Structure:
    """The structure, held until the transaction ends (PostgreSQL; on SQLite the transaction itself holds the file)."""
    return Structure.objects.select_for_update().select_related(None).get(pk=pk)


def lock_row(row: models.Model, revision: int | None, what: str) -> models.Model:
    """A fresh copy of the row, held; refused as stale where its revision is not the one the person read."""
    fresh = type(row).objects.select_for_update().get(pk=row.pk)
    if revision is not None and fresh.revision != revision:
        raise stale(what)
    return fresh


def require_permit(by: Person, structure: Structure, permit: Permit) -> frozenset[Permit]:
    """The person's permits in the structure's agency; refused with a sentence where `permit` is not among them."""
    return require_agency_permit(by, structure.agency, permit)


def require_agency_permit(by: Person, agency: Agency, permit: Permit) -> frozenset[Permit]:
    """The same for what belongs to an agency and to no one structure."""
    permits = permits_of(by, agency)
    if permit not in permits:
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[permit]))
        raise Refused(f"You may not {permit.label} here: that needs the role {roles}.")
    return permits


def require_move(
    table: str, start: str, to: str, permits: frozenset[Permit] = frozenset(), by_system: bool = False
) -> None:
    """Refuse with a sentence where the table of states does not allow the move."""
    if sentence := may_move(table, start, to, permits=permits, by_system=by_system):
        raise Refused(sentence)


def day_of(at: datetime) -> date:
    """The calendar day of a moment where the county is."""
    return timezone.localtime(at).date()
