"""The whole sheet in the order it is printed, safe as JSON: one content for the page and for the PDF."""

from collections.abc import Iterable, Mapping

from inventory.rules.rating_settings import SETTINGS

from .governing import governing_parts
from .inputs import input_tables
from .results import factor_note, posting_lines, pressed_table, result_pairs, vehicle_table
from .sheet import SAFETY, SheetData
from .words import MARKS, METHODS, name_and_unit, number_words, plain, runs_of, table

REFERENCES = (
    "AASHTO Manual for Bridge Evaluation: section 6B allowable stress, section 6A load and resistance factor, 6A.8 and "
    "6B.7 posting.",
    "AASHTO Standard Specifications for Highway Bridges: 3.7 to 3.25 loads and distribution, section 13 wood.",
    "AASHTO LRFD Bridge Design Specifications: section 3 loads, 4.6.2 distribution, section 8 wood.",
    "National Design Specification for Wood Construction and its Supplement, in the edition named with each value.",
    "Statics and mechanics of materials for everything marked computed.",
)


def sheet_content(sheet: SheetData) -> dict:
    """Every text, table, drawing and step of the sheet. Values are words already; nothing is computed from here on."""
    results = sheet.results
    governing = governing_parts(sheet) if sheet.is_rated else []
    return {
        "title": title_fields(sheet),
        "safety": SAFETY,
        "is_rated": sheet.is_rated,
        "running": _running(sheet),
        "digest": sheet.digest,
        "made": [sheet.made_at.year, sheet.made_at.month, sheet.made_at.day],
        "flags": _lines(sheet.flags),
        "reasons": _lines(() if sheet.is_rated else sheet.reasons),
        "summary": summary_table(governing, results),
        "posting": _lines(posting_lines(results)),
        "vehicles": vehicle_table(results),
        "governing": governing,
        "inputs": input_tables(sheet.cases, sheet.caps) if sheet.cases else [],
        "relied_on": _lines(results.get("relied_on") or []),
        "pressed": pressed_table(results),
        "others": result_pairs(results) if sheet.is_rated else [],
        "others_note": factor_note(results),
        "assumed": [runs_of(note) for note in dict.fromkeys(results.get("notes") or [])],
        "settings": setting_lines(sheet.policy),
        "editions": edition_lines(sheet),
        "references": _lines(REFERENCES),
        "cautions": _lines(results.get("cautions") or []),
        "marks": [[name, plain(words)] for name, words in MARKS.items()],
    }


def _running(sheet: SheetData) -> str:
    """The head of every page; a number that would not fit is cut."""
    number = sheet.number if len(sheet.number) <= 40 else sheet.number[:39] + "…"
    return f"{number} · rating {sheet.rating_number} · as of {sheet.as_of:%d %b %Y}"


def _lines(sentences: Iterable[str]) -> list[list[list[str]]]:
    return [plain(sentence) for sentence in sentences]


def title_fields(sheet: SheetData) -> dict:
    """Name and value of each field of the title block; what is not known is left out."""
    methods = _methods(sheet.results)
    fields = [
        ("structure", sheet.number),
        ("route", sheet.route),
        ("place", sheet.place),
        ("agency", sheet.agency),
        ("rating", sheet.rating_number),
        ("as of", f"{sheet.as_of:%d %b %Y}"),
        ("made", f"{sheet.made_at:%d %b %Y %H:%M}"),
        ("made by", sheet.made_by),
        ("cause", sheet.cause),
        ("method", ", ".join(methods)),
        ("kernel", sheet.kernel_version),
    ]
    return {"number": sheet.number, "name": plain(sheet.title), "fields": [[n, plain(v)] for n, v in fields if v]}


def _methods(results: Mapping) -> list[str]:
    used = {row.get("method", "ASR") for span in results.get("spans") or [] for row in span["results"]}
    return [words.lower() for key, words in METHODS.items() if key in used]


def summary_table(governing: list[dict], results: Mapping) -> dict | None:
    """The governing case of each method in a row."""
    rows = [(part["heading"].partition(", ")[2], part["words"]) for part in governing]
    hs = [(words, results.get(key)) for words, key in (("inventory", "hs_inventory"), ("operating", "hs_operating"))]
    quoted = ", ".join(f"HS {value:.1f} at {words}" for words, value in hs if value is not None)
    if quoted:
        rows.append(("HS rating", f"{quoted} (allowable stress)."))
    return table("What governs", ("Method and level", "Case"), rows) if rows else None


def setting_lines(policy: Mapping) -> list[list]:
    """Name and value with its unit of every setting."""
    lines = []
    for key, value in policy.items():
        if key.startswith("wave_") and key in SETTINGS:
            lines.append([SETTINGS[key].label, plain(SETTINGS[key].words(value))])
            continue
        name, unit = name_and_unit(key)
        lines.append([name, plain(f"{number_words(value)} {unit}".strip())])
    return lines


def edition_lines(sheet: SheetData) -> list[list]:
    rows = [(name.replace("_", " "), version) for name, version in sorted(sheet.versions.items())]
    return [[name, plain(version)] for name, version in [("kernel", sheet.kernel_version), *rows]]
