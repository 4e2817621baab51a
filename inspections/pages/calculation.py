"""The calculation sheet: inputs with their dates, every step, what was assumed, versions and digest."""

from collections.abc import Mapping

from inspections.models import Rating

from .carrying import rating_context

UNITS = {
    "_ft": "ft",
    "_in": "in",
    "_psi": "psi",
    "_pcf": "lb/ft³",
    "_plf": "lb/ft",
    "_psf": "lb/ft²",
    "_lb": "lb",
    "_deg": "degrees",
    "_temperature_f": "°F",
    "_tons": "tons",
}
# A member's material and its losses are tables of their own on the sheet.
OWN_TABLES = ("members", "surfacing", "bars", "critical_findings", "material", "flange_material", "losses")


def name_and_unit(key: str) -> tuple[str, str]:
    """'deck_thickness_in' to ('deck thickness', 'in')."""
    for suffix, unit in UNITS.items():
        if key.endswith(suffix):
            return key.removesuffix("_f" if suffix == "_temperature_f" else suffix).replace("_", " "), unit
    return key.replace("_", " "), ""


def value_words(value: object) -> str:
    """A stored input as people read it; what is not known says so."""
    if value is None or value == "":
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:,.6g}" if isinstance(value, int | float) else str(value)


def lines_of(plain: Mapping) -> list[dict]:
    """(name, value, unit) of every plain input of a case, a member, a layer or a loss."""
    lines = []
    for key, value in plain.items():
        if key in OWN_TABLES or isinstance(value, dict | list):
            continue
        name, unit = name_and_unit(key)
        lines.append({"name": name, "value": value_words(value), "unit": unit})
    return lines


def span_words(label: str) -> str:
    """The kernel's label of a span is its number on the record."""
    return f"Span {label}" if label.isdecimal() else label


def _case_inputs(case: Mapping) -> dict:
    parts = [("Span", lines_of(case))]
    parts += [(f"Surfacing: {layer.get('name', '')}", lines_of(layer)) for layer in case.get("surfacing") or []]
    if case.get("bars"):
        parts.append(("Bars", lines_of(case["bars"])))
    for member in case.get("members") or []:
        label = member.get("label", "")
        parts.append((f"Member: {label}", lines_of(member)))
        for key, title in (("material", "Material"), ("flange_material", "Flange material")):
            if member.get(key):
                parts.append((f"{title} of {label}", lines_of(member[key])))
        for number, loss in enumerate(member.get("losses") or [], start=1):
            parts.append((f"Loss {number} of {label}", lines_of(loss)))
    return {"label": span_words(case.get("label", "")), "parts": parts}


def calculation_context(rating: Rating) -> dict:
    snapshot = rating.snapshot
    groups = [
        {
            "title": f"{span_words(group.get('span', ''))}: {group['heading']}",
            "steps": [{**step, "shown": value_words(step["value"])} for step in group["steps"]],
        }
        for group in rating.trace
    ]
    return {
        **rating_context(rating),
        "cases": [_case_inputs(case) for case in snapshot.get("cases", [])],
        "policy": lines_of(snapshot.get("policy", {})),
        "groups": groups,
        "assumed": list(dict.fromkeys(rating.results.get("notes", []))),
        "relied_on": rating.results.get("relied_on", []),
        "tables": sorted(rating.table_versions.items()),
    }
