"""Condition since ever and since last time: drawings with a table under each, and what became of every finding."""

from datetime import date

from django.utils.safestring import mark_safe

from inspections.assembly.condition_facts import as_mapping
from inspections.drawings.condition_in_time import (
    ElementShares,
    RatingSteps,
    SizeLine,
    element_shares,
    rating_steps,
    size_in_time,
)
from inspections.forms.meanings import CONDITION_WORDS, code_in_words
from inspections.models import Finding, Inspection
from inspections.queries.condition import findings_before, findings_over_time, inspections_over_time
from inspections.rules.completeness import FULL_KINDS
from inspections.rules.finding_change import LABELS, NOT_FOLLOWED, changes_between, trails
from inspections.rules.losses import BY_INSTRUMENT, LOOKS_INSIDE
from inspections.vocabulary.elements import element_words
from inspections.vocabulary.findings import RATED_PARTS, Change
from inventory.models import Structure

from .findings import finding_line

STATE_NAMES = ("cs1", "cs2", "cs3", "cs4")
MOST_TRAILS = 12
ORDER = (Change.NEW, Change.GROWN, Change.SAME, Change.LESS, Change.GONE)
SIGNS = {Change.NEW: "+", Change.GROWN: "▲", Change.SAME: "=", Change.LESS: "▼", Change.GONE: "✓"}


def condition_context(structure: Structure, today: date) -> dict:
    """Everything of the page that looks back."""
    rows = inspections_over_time(structure)
    return {"components": _components(rows, today, structure.pk), "elements": _elements(rows, structure.pk),
            "trails": _trails(structure), "inspection_count": len(rows)}  # fmt: skip


def _components(rows: list[Inspection], today: date, key: int) -> list[dict]:
    found = []
    for part, label in RATED_PARTS.items():
        given = [(row, getattr(row, f"{part}_rating")) for row in rows if getattr(row, f"{part}_rating")]
        steps = [(row.field_completed_on, int(code)) for row, code in given if code.isdigit()]
        if not given:
            continue
        drawing = ""
        if steps:
            sheet = RatingSteps(label=label, points=tuple(steps), word=CONDITION_WORDS[str(steps[-1][1])].lower())
            drawing = mark_safe(rating_steps(sheet, today=max(today, steps[-1][0]), key=f"steps-{part}-{key}"))  # noqa: S308
        table = [{"row": row, "words": code_in_words(code)} for row, code in reversed(given)]
        found.append({"label": label, "drawing": drawing, "rows": table, "change": _since(steps)})
    return found


def _since(steps: list[tuple[date, int]]) -> str:
    """'down 1 since 2022, down 3 since 1999'."""
    if len(steps) < 2:
        return "rated once"
    (first_on, first), (last_on, last), (_, now) = steps[0], steps[-2], steps[-1]
    said = [_moved(now - last, last_on)]
    if len(steps) > 2:
        said.append(_moved(now - first, first_on))
    return ", ".join(said)


def _moved(by: int, since: date) -> str:
    return f"{'up' if by > 0 else 'down'} {abs(by)} since {since:%Y}" if by else f"the same as in {since:%Y}"


def _elements(rows: list[Inspection], key: int) -> list[dict]:
    by_number: dict[int, list] = {}
    for row in rows:
        for element in row.elements.all():
            if element.total > 0:
                by_number.setdefault(element.number, []).append((row, element))
    found = []
    for number, given in sorted(by_number.items()):
        points = tuple((row.field_completed_on, _shares(element)) for row, element in given)
        sheet = ElementShares(label=element_words(number), points=points)
        drawing = mark_safe(element_shares(sheet, key=f"element-{number}-{key}"))  # noqa: S308 the writer escapes
        found.append({"label": element_words(number), "drawing": drawing, "rows": list(reversed(given))})
    return found


def _shares(element) -> tuple[float, float, float, float]:
    amounts = [max(0.0, getattr(element, name)) for name in STATE_NAMES]
    whole = sum(amounts) or 1.0
    return tuple(amount / whole for amount in amounts)


def _trails(structure: Structure) -> list[dict]:
    """Findings followed through the inspections, with a drawing of each size that was measured twice."""
    by_pk: dict[int, Finding] = {}
    listed = []
    for on, findings in findings_over_time(structure):
        by_pk |= {row.pk: row for row in findings}
        listed.append((on, [as_mapping(row) for row in findings]))
    found = []
    for trail in trails(listed)[:MOST_TRAILS]:
        lines = [{"on": row["on"], **finding_line(by_pk[row["id"]])} for row in trail.rows]
        title = f"{lines[-1]['kind']}, {lines[-1]['place']}".rstrip(", ")
        drawings = []
        for name, (label, unit) in LABELS.items():
            points = tuple((row["on"], row[name]) for row in trail.rows if row.get(name) is not None)
            if len(points) > 1:
                sheet = SizeLine(label=label, unit=unit, points=points)
                key = f"trail-{trail.rows[0]['id']}-{name}"
                drawings.append(mark_safe(size_in_time(sheet, title=f"{label.capitalize()}, {unit}", key=key)))  # noqa: S308
        found.append({"title": title, "drawings": drawings, "rows": list(reversed(lines))})
    return found


def changes_context(inspection: Inspection) -> dict:
    """What is new, grown, less, as before and not seen again at one inspection."""
    now = {row.pk: row for row in inspection.findings.select_related("inspection", "member", "bar", "photo")}
    before = {row.pk: row for row in findings_before(inspection)}
    steps = changes_between(
        [as_mapping(row) for row in now.values()],
        [as_mapping(row) for row in before.values() if row.kind not in NOT_FOLLOWED],
        replaces=inspection.kind in FULL_KINDS,
    )
    looks_inside = inspection.kind in LOOKS_INSIDE
    lines = []
    for step in steps:
        if step.row is None and step.before["kind"] in BY_INSTRUMENT and not looks_inside:
            continue  # a look at the surface cannot show that it is gone: it stands
        row = now[step.row["id"]] if step.row else before[step.before["id"]]
        lines.append(
            {
                "change": step.change.value,
                "sign": SIGNS[step.change],
                "label": Change.label_of(step.change) if step.row else "Not seen again",
                "words": step.words,
                "before_on": before[step.before["id"]].inspection.field_completed_on if step.before else None,
                **finding_line(row),
            }
        )
    lines.sort(key=lambda line: ORDER.index(line["change"]))
    return {
        "changes": lines,
        "change_counts": [
            (SIGNS[change], Change.label_of(change).lower(), count)
            for change in ORDER
            if (count := sum(line["change"] == change for line in lines))
        ],
        "had_before": bool(before),
    }
