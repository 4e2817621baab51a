"""What the findings propose, beside what the inspector chose, for the entry sheet and for the inspection's own page."""

from collections.abc import Mapping
from datetime import date

from inspections.forms.meanings import code_in_words
from inspections.models import Inspection
from inspections.reckoning.proposed_ratings import (
    ElementProposal,
    geometry_totals,
    proposed_elements,
    proposed_ratings,
)
from inspections.rules.completeness import FULL_KINDS
from inspections.rules.proposed_ratings import EXTENT_WORDS, table_rows
from inspections.vocabulary.elements import element_words
from inspections.vocabulary.findings import RATED_PARTS

QUANTITIES = ("cs1", "cs2", "cs3", "cs4")


def proposals_context(inspection: Inspection, *, as_of: date, values: Mapping | None = None) -> dict:
    """The panel of the entry sheet; `values` are the sheet's own, where they are not saved yet."""
    findings, elements = (values["findings"], values["elements"]) if values else (None, None)
    if values:
        inspection = _as_typed(inspection, values["fields"])
    made = proposed_ratings(inspection, as_of=as_of, findings=findings, elements=elements)
    return {
        "ratings": [
            {
                "part": part,
                "label": RATED_PARTS[part],
                "words": code_in_words(each.rating) if each.rating else "nothing proposed",
                "reasons": each.reasons,
            }
            for part, each in made.items()
        ],
        "quantities": [_quantity_row(each) for each in proposed_elements(
            inspection, findings=findings, elements=elements)],
        "totals": [(element_words(each.number), each) for each in geometry_totals(inspection)],
        "table": table_rows(),
        "extent_words": EXTENT_WORDS,
    }  # fmt: skip


def _as_typed(inspection: Inspection, fields: Mapping) -> Inspection:
    """A copy with the day and kind as typed, not saved: which earlier findings count depends on them."""
    copy = Inspection.objects.get(pk=inspection.pk)
    copy.field_completed_on = fields.get("field_completed_on")
    return copy


def _quantity_row(each: ElementProposal) -> dict:
    return {
        "words": element_words(each.number),
        "unit": each.states.unit,
        "total": each.states.total,
        "states": each.states.states,
        "arithmetic": each.geometry.arithmetic if each.geometry else "not worked out: the record lacks a size",
        "reasons": each.states.reasons,
        "warning": each.warning,
        "is_listed": each.is_listed,
    }


def with_proposed_quantities(inspection: Inspection, values: dict) -> dict:
    """The sheet's values with every element's states as proposed; totals and notes typed stay, the rest is added."""
    rows = {row["number"]: dict(row) for row in values["elements"]}
    for each in proposed_elements(inspection, findings=values["findings"], elements=values["elements"]):
        row = rows.setdefault(
            each.number, {"number": each.number, "unit": each.states.unit, "total": each.states.total, "note": ""}
        )
        row |= dict(zip(QUANTITIES, each.states.states, strict=True))
    return values | {"elements": list(rows.values())}


def compared_ratings(inspection: Inspection, *, as_of: date) -> list[dict]:
    """For every component rated or proposed: chosen, proposed, why they differ. What was proposed on the day it was
    handed in counts; a draft is looked at now."""
    kept = inspection.rating_proposals
    if not kept:
        kept = {part: each.as_dict() for part, each in proposed_ratings(inspection, as_of=as_of).items()}
    lines = []
    for part, label in RATED_PARTS.items():
        chosen, proposal = getattr(inspection, f"{part}_rating"), kept.get(part) or {}
        asked = proposal.get("rating") or ""
        # A bar check or a special inspection rates nothing: what it leaves out is no gap.
        if not chosen and (not proposal or inspection.kind not in FULL_KINDS):
            continue
        differs = bool(asked and chosen and asked != chosen)
        lines.append(
            {
                "label": label,
                "chosen": code_in_words(chosen),
                "proposed": code_in_words(asked) if asked else "nothing proposed",
                "reasons": proposal.get("reasons") or [],
                "why": inspection.rating_reasons.get(part, ""),
                "differs": differs,
                "is_higher": differs and chosen.isdigit() and asked.isdigit() and int(chosen) > int(asked),
            }
        )
    return lines
