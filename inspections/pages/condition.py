"""Condition: class in word and number, component ratings, what changed since last time."""

from django.http import HttpRequest

from inspections.forms.meanings import code_in_words
from inspections.models import Inspection
from inspections.queries.findings import rated_inspections
from inspections.vocabulary.findings import RATED_PARTS
from inventory.models import Standing, Structure
from inventory.vocabulary.structures import ConditionClass

# Looking back further than this says nothing about what changed lately.
LOOK_BACK = 20


def component_lines(inspections: list[Inspection]) -> list[dict]:
    """For every part rated so far its newest rating, when it was given, and the one before it."""
    lines = []
    for part, label in RATED_PARTS.items():
        name = f"{part}_rating"
        given = [row for row in inspections if getattr(row, name)]
        if not given:
            continue
        now, before = given[0], given[1] if len(given) > 1 else None
        lines.append(
            {
                "label": label,
                "code": getattr(now, name),
                "words": code_in_words(getattr(now, name)),
                "on": now.field_completed_on,
                "change": _change(getattr(now, name), getattr(before, name) if before else "", before),
            }
        )
    return lines


def _change(now: str, before: str, inspection: Inspection | None) -> str:
    if inspection is None:
        return "first rating"
    if now == before:
        return f"same as {inspection.field_completed_on:%Y}"
    if now.isdigit() and before.isdigit():
        return f"{'down' if int(now) < int(before) else 'up'} from {before} in {inspection.field_completed_on:%Y}"
    return f"{before} in {inspection.field_completed_on:%Y}"


def load(request: HttpRequest, structure: Structure) -> dict:
    standing = Standing.objects.filter(structure=structure).first()
    return {
        "structure": structure,
        "standing": standing,
        "class_words": ConditionClass.label_of(standing.condition_class) if standing else "Not rated",
        "components": component_lines(list(rated_inspections(structure)[:LOOK_BACK])),
    }
