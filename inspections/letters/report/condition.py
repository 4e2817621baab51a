"""Ratings with last time's and the reasons, elements with their quantities, what changed since last time."""

from inspections.forms.meanings import code_in_words
from inspections.models import Inspection
from inspections.pages.condition_in_time import changes_context
from inspections.queries.findings import inspections_handed_in
from inspections.rules.clocks.terms import day
from inspections.vocabulary.elements import element_words
from inspections.vocabulary.findings import RATED_PARTS


def rating_table(inspection: Inspection) -> dict:
    """Every component rated now or before: now, last time, what was proposed, the inspector's reason."""
    earlier = _earlier(inspection)
    rows = []
    for part, label in RATED_PARTS.items():
        now = getattr(inspection, f"{part}_rating")
        before = next((row for row in earlier if getattr(row, f"{part}_rating")), None)
        if not now and before is None:
            continue
        rows.append([label, code_in_words(now), _before(before, part), *_why(inspection, part, now)])
    heads, widths = ["Component", "Rating", "Last time", "Proposed from the findings"], [1.1, 1, 1.3, 2.8]
    if any(row[-1] for row in rows):
        heads, widths = [*heads, "Inspector's reason"], [*widths, 1.8]
    else:
        rows = [row[:-1] for row in rows]
    note = "▲ The inspector decided on another rating than the findings propose."
    differs = any(row[3].startswith("▲") for row in rows)
    return {"heads": heads, "figures": [], "widths": widths, "rows": rows, "note": note if differs else ""}


def _earlier(inspection: Inspection) -> list[Inspection]:
    """Inspections handed in before this one, the newest first."""
    rows = inspections_handed_in(inspection.structure).exclude(pk=inspection.pk)
    on = inspection.field_completed_on
    if on is not None:
        rows = rows.filter(field_completed_on__lte=on)
    return [row for row in rows[:30] if on is None or (row.field_completed_on, row.pk) < (on, inspection.pk)]


def _before(inspection: Inspection | None, part: str) -> str:
    if inspection is None:
        return "first rating"
    return f"{code_in_words(getattr(inspection, f'{part}_rating'))}, {day(inspection.field_completed_on)}"


def _why(inspection: Inspection, part: str, now: str) -> tuple[str, str]:
    kept = inspection.rating_proposals.get(part) if isinstance(inspection.rating_proposals, dict) else None
    given = inspection.rating_reasons.get(part, "") if isinstance(inspection.rating_reasons, dict) else ""
    if not isinstance(kept, dict) or not kept.get("rating"):
        return "", str(given or "")
    reasons = " ".join(str(reason) for reason in kept.get("reasons") or [])
    mark = "▲ " if kept["rating"] != now and now else ""
    return f"{mark}{code_in_words(str(kept['rating']))}. {reasons}".strip(), str(given or "")


def element_table(inspection: Inspection) -> dict:
    """Element quantities by condition state."""
    rows = [
        [
            element_words(row.number),
            row.unit,
            *(f"{value:,.6g}" for value in (row.total, row.cs1, row.cs2, row.cs3, row.cs4)),
            row.note,
        ]
        for row in inspection.elements.all()
    ]
    return {
        "heads": ["Element", "Unit", "Total", "1 good", "2 fair", "3 poor", "4 severe", "Note"],
        "figures": [2, 3, 4, 5, 6],
        "widths": [2, 0, 0, 0, 0, 0, 0, 1.6],
        "rows": rows,
    }


def change_table(inspection: Inspection) -> dict:
    """What is new, grown, less, as before and not seen again."""
    found = changes_context(inspection)
    rows = [
        [
            line["label"],
            line["kind"],
            line["place"] or "not given",
            line["words"],
            day(line["before_on"]) if line["before_on"] else "",
        ]
        for line in found["changes"]
    ]
    return {
        "heads": ["Change", "What", "Where", "In sizes", "Seen before"],
        "figures": [],
        "widths": [1, 1.3, 1.6, 2, 0],
        "rows": rows,
        "counts": ", ".join(f"{count} {words}" for _sign, words, count in found["change_counts"] if count),
        "had_before": found["had_before"],
    }
