"""The governing case of each method: drawings, the table of its axles, steps in the order of a hand check."""

from collections.abc import Mapping

from inspections.drawings.governing_load import LoadDrawing, load_elevation, load_words
from inspections.drawings.governing_member import MemberDrawing, member_section, member_words
from inspections.drawings.governing_part import PartDrawing, part_section, part_words

from .sheet import SheetData
from .words import (
    LEVELS,
    METHODS,
    effect_words,
    factor_words,
    number_words,
    plain,
    runs_of,
    span_words,
    table,
    unit_words,
)

PART_TITLES = {
    "strength": "Reference value and factors",
    "section": "Section",
    "capacity": "Capacity",
    "layout": "Layout and wheel",
    "dead load": "Dead load",
    "live load": "Live load, one lane",
    "share": "Share of the member",
    "factor": "Rating factor",
    "posting": "Posting load",
}
EFFECT_SYMBOLS = {"moment": "M", "shear": "V", "reaction": "R"}


def step_cells(step: Mapping) -> dict:
    """One step as both prints show it; ``worked`` is empty where the formula has no numbers of its own."""
    value = step.get("shown") or number_words(step["value"])
    is_words = not isinstance(step["value"], int | float) and len(value) > 12
    return {
        "symbol": runs_of(step["symbol"]),
        "value": "" if is_words else value,
        "unit": unit_words(step["unit"]),
        "formula": runs_of(f"{value}: {step['formula']}" if is_words else step["formula"]),
        "worked": runs_of(f"= {step['worked']}") if step.get("worked") else [],
        "source": runs_of(f"{step['source']}, {step['mark']}"),
    }


def governing_parts(sheet: SheetData) -> list[dict]:
    """What is printed of each governing case; a rating stored without them gives the trace of its least vehicle."""
    kept = sheet.results.get("governing_cases") or []
    return [_part(sheet, case, number) for number, case in enumerate(kept, 1)] or _from_trace(sheet)


def _part(sheet: SheetData, case: Mapping, number: int) -> dict:
    span = next((span for span in sheet.cases if span.get("label") == case["span"]), {})
    member = next((one for one in span.get("members") or [] if one.get("label") == case["member"]), {})
    words = f"{METHODS.get(case['method'], case['method'])}, {LEVELS.get(case['level'], case['level'])}"
    return {
        "heading": f"Governing case, {words[0].lower()}{words[1:]}",
        "words": (
            f"{case['name']} ({case['gross_tons']:g} tons), {span_words(case['span']).lower()}, {case['member']}: "
            f"{case['limit_state']} at {case['station_ft']:.2f} ft from {_from(case, member)}, factor "
            f"{factor_words(case['rating_factor'])}."
        ),
        "figures": _figures(sheet, case, span, member, number),
        "axles": _axles(case.get("load")),
        "axle_note": _axle_note(case.get("load")),
        "groups": _groups(case["steps"]),
    }


def _from(case: Mapping, member: Mapping) -> str:
    if member:
        return "the near bearing"
    return "its left end" if case.get("span_ft") is None else "the support of the deck"


def _figures(sheet: SheetData, case: Mapping, span: Mapping, member: Mapping, number: int) -> list[dict]:
    if not member:
        return _part_figure(sheet, case, span, number)
    load = LoadDrawing(key=f"load-{number}", governing=case, span=span, member=member, title="Where the load stands")
    section = MemberDrawing(
        key=f"member-{number}",
        span=span,
        member=member,
        station_ft=case["station_ft"],
        title="The governing member in section",
    )
    return [
        {"svg": load_elevation(load), "alt": load_words(load), "width": 90},
        {"svg": member_section(section), "alt": member_words(section), "width": 78},
    ]


def _part_figure(sheet: SheetData, case: Mapping, span: Mapping, number: int) -> list[dict]:
    """A deck or a cap across the roadway; none where the stored inputs name neither."""
    cap = next((one for one in sheet.caps if one.get("label") == case["span"]), None)
    deck = span.get("deck") if cap is None else None
    if cap is None and deck is None:
        return []
    held = next((one for one in sheet.cases if cap and one.get("label") in (cap.get("before"), cap.get("after"))), span)
    drawing = PartDrawing(
        key=f"part-{number}",
        governing=case,
        span=held,
        deck=deck,
        cap=cap,
        title="The governing part across the roadway",
    )
    return [{"svg": part_section(drawing), "alt": part_words(drawing), "width": 84}]


def _axles(load: Mapping | None) -> dict | None:
    """Axle by axle: weight, place, ordinate, product, and the sum, so that the lane effect can be checked."""
    if not load:
        return None
    unit = "lb-ft" if load["effect"] == "moment" else "lb"
    rows = []
    for kind in ("axles", "points"):
        for number, one in enumerate(load[kind], 1):
            name = f"axle {number}" if kind == "axles" else "concentrated load"
            rows.append((name, effect_words(one["load_lb"]), f"{one['place_ft']:.3f}", f"{one['y']:.4f}",
                         effect_words(one["value"])))  # fmt: skip
    for part in load["lane"]:
        name = f"{part['load_plf']:,.0f} lb/ft, {part['from_ft']:.2f} to {part['to_ft']:.2f} ft"
        rows.append((name, "", "", f"area {part['area']:.4f}", effect_words(part["value"])))
    symbol = EFFECT_SYMBOLS[load["effect"]]
    rows.append((f"{symbol} lane, the sum", "", "", "", effect_words(load["value"])))
    heads = ("Load", "P, lb", "a, ft", "y, ft" if unit == "lb-ft" else "y", f"P x y, {unit}")
    where = "lane load" if load["load"] == "lane" else load["load"]
    return table(f"Where the {where} stands", heads, rows, figures=(1, 2, 3, 4))


def _axle_note(load: Mapping | None) -> list[list[str]]:
    if not load:
        return []
    z = f"{load['section_ft']:.3f}"
    if len(load["supports_ft"]) > 2:
        words = "a from the first bearing of the spans that run through; y by the three-moment equation."
    elif load["effect"] == "moment":
        words = f"a from the near bearing; y = a (L - z) / L up to z = {z} ft, y = z (L - a) / L beyond it."
    elif load["effect"] == "shear":
        words = f"a from the near bearing; y = (L - a) / L from z = {z} ft on, y = -a / L before it."
    else:
        words = "a from the near bearing; y = (L - a) / L for the near bearing, a / L for the far one."
    return runs_of(f"{words} Axles off the span, or left out by the rule because they relieve, are not listed.")


def _groups(steps: list[Mapping]) -> list[dict]:
    """Steps that follow each other in one part of the calculation stand under its title."""
    groups: list[dict] = []
    for step in steps:
        title = PART_TITLES.get(step["part"], step["part"])
        if step["symbol"] in ("C operating", "RF operating"):
            title = "Operating level, at the same section"
        if not groups or groups[-1]["title"] != plain(title):
            groups.append({"title": plain(title), "steps": []})
        groups[-1]["steps"].append(step_cells(step))
    return groups


def _from_trace(sheet: SheetData) -> list[dict]:
    """An older rating: what its trace says of the vehicle and member of the least factor."""
    rows = sheet.results.get("governing") or []
    if not rows:
        return []
    least = min(rows, key=lambda row: row["posting_factor"])
    groups = []
    for group in sheet.trace:
        heading, here = group["heading"], group.get("span", least["span"]) == least["span"]
        whose = heading.partition(": ")[2]
        if here and whose in (least["member"], f"{least['member']}, {least['vehicle']}"):
            groups.append({"title": plain(heading), "steps": [step_cells(step) for step in group["steps"]]})
    sentence = (
        f"{least['name']}, {span_words(least['span']).lower()}, {least['member']}: {least['limit_state']} at "
        f"{least['station_ft']:.2f} ft. This rating was made before axle positions were kept; its steps stand as "
        "recorded. Rate the structure anew for a sheet with drawings and numbers in every line."
    )
    return [
        {
            "heading": "Governing case",
            "words": sentence,
            "figures": [],
            "axles": None,
            "axle_note": [],
            "groups": groups,
        }
    ]
