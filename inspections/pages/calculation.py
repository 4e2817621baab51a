"""The calculation sheet on the page: the printed sheet first, then every input and step as they were recorded."""

from collections.abc import Mapping

from django.utils.safestring import mark_safe
from django.utils.text import slugify

from inspections.letters.calculation import sheet_content, sheet_of_rating
from inspections.letters.calculation.words import name_and_unit, number_words, span_words
from inspections.models import Rating
from inventory.vocabulary.structures import DeckKind, System

from .carrying import rating_context

# A member's material and its losses are tables of their own on the sheet.
CODED = {"system": System.label_of, "deck_kind": DeckKind.label_of}
OWN_TABLES = ("members", "surfacing", "bars", "critical_findings", "material", "flange_material", "losses")


def lines_of(plain: Mapping) -> list[dict]:
    """(name, value, unit) of every plain input of a case, a member, a layer or a loss."""
    lines = []
    for key, value in plain.items():
        if key in OWN_TABLES or isinstance(value, dict | list):
            continue
        name, unit = name_and_unit(key)
        label_of = CODED.get(key)
        lines.append({"name": name, "value": label_of(value) if label_of else number_words(value), "unit": unit})
    return lines


def _part_inputs(title: str, part: Mapping) -> list[tuple[str, list[dict]]]:
    """A member, a transverse deck or a cap: itself, its materials, and every loss found on it."""
    parts = [(title, lines_of(part))]
    for key, words in (("material", "material"), ("flange_material", "flange material")):
        if part.get(key):
            parts.append((f"{title}, {words}", lines_of(part[key])))
    losses = enumerate(part.get("losses") or [], start=1)
    return parts + [(f"{title}, loss {number}", lines_of(loss)) for number, loss in losses]


def _case_inputs(case: Mapping) -> dict:
    parts = [("Span", lines_of(case))]
    parts += [(f"Surfacing: {layer.get('name', '')}", lines_of(layer)) for layer in case.get("surfacing") or []]
    if case.get("bars"):
        parts.append(("Bars", lines_of(case["bars"])))
    for member in case.get("members") or []:
        parts += _part_inputs(f"Member: {member.get('label', '')}", member)
    if case.get("deck"):
        parts += _part_inputs("Transverse deck", case["deck"])
    return {"label": span_words(case.get("label", "")), "parts": parts}


def _groups(rating: Rating) -> list[dict]:
    """The groups of the trace with their span and, in the heading after the comma, the vehicle where one is meant."""
    rows = [*rating.results.get("governing", []), *rating.results.get("load_factor", [])]
    codes = {row["vehicle"] for row in rows}
    groups = []
    for number, group in enumerate(rating.trace, start=1):
        heading, comma, last = group["heading"].rpartition(", ")
        vehicle = last if comma and last in codes else ""
        words = heading if vehicle else group["heading"]
        groups.append(
            {
                "anchor": f"g{number}",
                "title": f"{span_words(group.get('span', ''))}: {words}",
                "member": words.partition(": ")[2],
                "span": group.get("span", ""),
                "vehicle": vehicle,
                "steps": [{**step, "shown": number_words(step["value"])} for step in group["steps"]],
            }
        )
    return groups


def _by_member(groups: list[dict]) -> list[dict]:
    """The groups of one chapter put together by span and member, in the order they were computed."""
    found: dict[tuple, dict] = {}
    for group in groups:
        words = ", ".join(part for part in (span_words(group["span"]), group["member"]) if part)
        part = found.setdefault(
            (group["span"], group["member"]), {"title": words, "anchor": group["anchor"], "groups": []}
        )
        part["groups"].append(group)
    return list(found.values())


def step_chapters(rating: Rating) -> list[dict]:
    """The steps as chapters: what serves every vehicle first, then each vehicle with its least factor and place."""
    groups = _groups(rating)
    shared = [group for group in groups if not group["vehicle"]]
    chapters = [{"anchor": "all-vehicles", "title": "For every vehicle", "parts": _by_member(shared)}] if shared else []
    named = {row["vehicle"]: (row["name"], row) for row in rating_context(rating)["vehicles"]}
    for row in rating.results.get("load_factor", []):  # HL-93 and permit vehicles are rated by this method alone
        named.setdefault(row["vehicle"], (row["name"], None))
    for code, (title, row) in named.items():
        own = [group for group in groups if group["vehicle"] == code]
        if own:
            anchor = f"vehicle-{slugify(code)}"
            chapters.append({"anchor": anchor, "title": title, "row": row, "parts": _by_member(own)})
    return chapters


def calculation_context(rating: Rating) -> dict:
    content = sheet_content(sheet_of_rating(rating))
    for part in content["governing"]:
        for figure in part["figures"]:
            # Built by our own writer, which escapes every text.
            figure["svg"] = mark_safe(figure["svg"])  # noqa: S308
    return {
        **rating_context(rating),
        "sheet": content,
        "chapters": step_chapters(rating),
        "cases": [
            *(_case_inputs(case) for case in rating.snapshot.get("cases", [])),
            *({"label": cap["label"], "parts": _part_inputs("Cap", cap)} for cap in rating.snapshot.get("caps", [])),
        ],
    }
