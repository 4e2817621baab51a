"""Scour: the appraisal that counts, the plan in force, what is owed, and what scour monitoring found."""

from datetime import date

from django.http import HttpRequest
from django.utils import timezone

from inspections.forms.meanings import code_in_words
from inspections.queries.scour import plan_in_force, scour_facts
from inspections.rules.scour import NEEDS_PLAN, scour_duties
from inspections.vocabulary.findings import InspectionKind, ScourResult
from inventory.models import Structure

SHOWN = 12


def scour_context(structure: Structure, as_of: date) -> dict:
    """Everything on record of scour."""
    facts = scour_facts(structure, as_of)
    appraisals = list(structure.scour_appraisals.select_related("by"))
    plan = plan_in_force(structure)
    newest = appraisals[0] if appraisals else None
    return {
        "facts": facts,
        "duties": scour_duties(facts),
        "result_words": ScourResult.label_of(facts.result) if facts.result else "not appraised",
        "is_grave": facts.result in NEEDS_PLAN,
        "appraisals": appraisals,
        "newest": newest,
        "plan": plan,
        "plan_is_older": bool(plan and newest and plan.appraisal_id != newest.pk),
        "past_plans": structure.scour_plans.filter(ended_on__isnull=False).select_related("adopted_by"),
        "visits": structure.inspections.filter(kind=InspectionKind.SCOUR).select_related("inspector")[:SHOWN],
        "rating_words": code_in_words(facts.scour_rating) if facts.scour_rating else "",
    }


def load(request: HttpRequest, structure: Structure) -> dict | None:
    """The part of a structure's page; hidden where it is not over water and nothing was ever appraised or sounded."""
    as_of = timezone.localdate()
    facts = scour_facts(structure, as_of)
    sections = structure.channel_sections.count()
    if structure.over_water is False and not facts.result and not sections:
        return None
    return {
        "structure": structure,
        "facts": facts,
        "duties": scour_duties(facts),
        "result_words": ScourResult.label_of(facts.result) if facts.result else "not appraised",
        "is_grave": facts.result in NEEDS_PLAN,
        "plan": plan_in_force(structure),
        "section_count": sections,
    }
