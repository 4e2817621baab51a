"""What is asked for when an inspection goes back: rows named by finding and field, answered one by one.

A row is {"finding": identity or "" for the inspection itself, "field": a column, "photo", or "" for words alone,
"words": what is asked, "was": what stood there then, "answered": bool, "why_not": words of the inspector}. A field is
answered when something else stands in it than when it was asked about; a row of words alone, and anything that cannot
be given or was read again and is the same, is answered in words.
"""

from collections.abc import Callable, Mapping, Sequence

from .evidence_kinds import EVIDENCE
from .evidence_readings import READINGS
from .evidence_table import evidence_table
from .evidence_terms import is_given

MOST_ROWS = 40
LONGEST_WORDS = 300
OF_THE_VISIT = ("field_completed_on", "team", "weather", "air_temp_f", "notes")
ALSO_ASKED = ("photo", "note", "condition_state")


def may_ask(kind: str) -> tuple[str, ...]:
    """The fields of a finding of this kind that may be asked for, in the order of the form."""
    shown = evidence_table()["kinds"][kind]["shown"] if kind in EVIDENCE else []
    return tuple(dict.fromkeys((*shown, *ALSO_ASKED)))


def visit_fields() -> tuple[str, ...]:
    """The columns of the inspection itself that may be asked for."""
    return (*OF_THE_VISIT, *(f"{part['code']}_rating" for part in evidence_table()["components"]))


def asked_rows(
    asked: Sequence[Mapping], findings: Mapping[str, Mapping], inspection: Mapping
) -> tuple[list[dict], list[str]]:
    """(rows to keep, sentences). `findings` maps identity to columns with "photos", the names of its photographs."""
    faults, rows = [], []
    if len(asked) > MOST_ROWS:
        return [], [f"Ask for at most {MOST_ROWS} things at once; say the rest in the reason."]
    for position, row in enumerate(asked, start=1):
        identity, field = str(row.get("finding") or ""), str(row.get("field") or "")
        words = str(row.get("words") or "").strip()
        finding = findings.get(identity) if identity else inspection
        fault = _fault(position, identity, field, words, finding)
        if fault:
            faults.append(fault)
            continue
        words = words or asked_words(field)
        was = _standing(field, finding)
        row = {"finding": identity, "field": field, "words": words[:LONGEST_WORDS], "was": was}
        rows.append(row | {"answered": False, "why_not": ""})
    return rows, faults


def _fault(position: int, identity: str, field: str, words: str, finding: Mapping | None) -> str:
    if finding is None:
        return (
            f"Row {position} of what is asked names a finding that is not one of this inspection: open the page again."
        )
    allowed = may_ask(finding.get("kind") or "") if identity else visit_fields()
    if field and field not in allowed:
        return f"Row {position} of what is asked: '{field}' is not a field of that; choose one of the list."
    if not field and not words:
        return f"Row {position} of what is asked: say in words what is wanted."
    return ""


def asked_words(field: str, words: str = "") -> str:
    """'Give the depth: at both ends.'; the engineer's own words, where there are any, after the name of the field."""
    label = READINGS[field].label if field in READINGS else f"the {field.replace('_', ' ')}"
    return f"Give {label}: {words.rstrip('.')}." if words else f"Give {label}."


def _standing(field: str, finding: Mapping):
    """What stands in a field, as JSON holds it; of photographs their names."""
    if field == "photo":
        return sorted(finding.get("photos", ()))
    value = finding.get(field) if field else None
    return value if value is None or isinstance(value, str | int | float | bool) else str(value)


def with_answers(
    asked: Sequence[Mapping], findings: Mapping[str, Mapping], inspection: Mapping, reasons: Sequence[Mapping] = ()
) -> list[dict]:
    """The rows as they stand after a save. `reasons` are rows sent back with "why_not", found by finding and field."""
    said = {_key(row): str(row.get("why_not") or "").strip()[:LONGEST_WORDS] for row in reasons if _is_row(row)}
    return [_answered(row, said, findings.get(row["finding"]) if row["finding"] else inspection) for row in asked]


def _answered(row: Mapping, said: Mapping, finding: Mapping | None) -> dict:
    why_not = said.get(_key(row), row.get("why_not", ""))
    given = bool(row["field"]) and finding is not None and _is_new(row, finding)
    return {**row, "why_not": why_not, "answered": given or bool(why_not)}


def _is_new(row: Mapping, finding: Mapping) -> bool:
    now = _standing(row["field"], finding)
    if row["field"] == "photo":
        return bool(set(now) - set(row.get("was") or ()))
    return is_given({"now": now}, "now") and now != row.get("was")


def _is_row(row) -> bool:
    return isinstance(row, Mapping)


def _key(row: Mapping) -> tuple[str, str, str]:
    field, words = str(row.get("field") or ""), str(row.get("words") or "")
    return str(row.get("finding") or ""), field, "" if field else words


def _ended(words: str) -> str:
    return words if words.endswith((".", "?", "!")) else f"{words}."


def asked_faults(asked: Sequence[Mapping], named: Callable[[Mapping], str]) -> list[str]:
    """A sentence for every row that is neither answered nor answered in words; `named` says of what it is asked."""
    return [
        f"Asked for when it was sent back, and still open: {named(row)}{_ended(row['words'])} Give it, or say why not."
        for row in asked
        if not row.get("answered")
    ]
