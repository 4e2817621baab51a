"""Inspections of one structure, newest first."""

from django.db.models import F
from django.http import HttpRequest

from inventory.models import Structure
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

SHOWN = 12


def load(request: HttpRequest, structure: Structure) -> dict:
    rows = structure.inspections.select_related("inspector")
    return {
        "inspections": rows.order_by(F("field_completed_on").desc(nulls_first=True), "-id")[:SHOWN],
        "inspection_count": rows.count(),
        "may_enter": Permit.ENTER_INSPECTION in permits_of(request.user, structure.agency),
    }
