"""Numbers and symbols as the sheet shows them: decimals by quantity, subscripts and superscripts as runs of text."""

import re
from collections.abc import Sequence

RUN = re.compile(r"_(?P<sub>[A-Za-z0-9φγλμδ]+)|\^(?P<sup>\([^()]*\)|[0-9.]+)")
LONGEST_WORD = 24
NARROW, WIDEST = 16, 130
GREEK = {"phi": "φ", "gamma": "γ", "lambda": "λ", "mu": "μ", "delta": "δ"}
MARKS = {
    "checked": "read in the official text",
    "checked-2nd": "read in a second-hand copy",
    "memory": "recalled, not looked up",
    "computed": "follows from the lines above",
    "model": "a setting or a model of our own",
    "input": "from the record",
}
UNIT_SUFFIXES = {
    "_plf": "lb/ft",
    "_psf": "lb/ft²",
    "_pcf": "lb/ft³",
    "_psi": "psi",
    "_tons": "tons",
    "_deg": "degrees",
    "_ft": "ft",
    "_in": "in",
    "_lb": "lb",
    "_temperature_f": "°F",
}
UNITS = {
    "in2": "in²",
    "in3": "in³",
    "in4": "in⁴",
    "in2/ft": "in²/ft",
    "in3/ft": "in³/ft",
    "lb/ft2": "lb/ft²",
    "lb/ft3": "lb/ft³",
}
LEVELS = {
    "inventory": "inventory",
    "operating": "operating",
    "design inventory": "design, inventory",
    "design operating": "design, operating",
    "legal": "legal load",
    "permit": "permit",
}
METHODS = {"ASR": "Allowable stress", "LRFR": "Load and resistance factor"}


def runs_of(text: str) -> list[list[str]]:
    """Text as [words, kind] pieces, kind '' or 'sub' or 'sup': F_b' gives F, b below, '. ' x ' becomes a times sign."""
    words = breakable(str(text)).replace("w x (L", "w·x (L")  # an older trace names the station x, not a product
    words = re.sub(r"\b(phi|gamma|lambda|mu|delta)(?![a-z])", lambda found: GREEK[found[0]], words)
    words = re.sub(r"(?<=_)(lambda)", lambda found: GREEK[found[0]], words)
    words = re.sub(r"\bft([23])\b", r"ft^\1", re.sub(r"\bin([234])\b", r"in^\1", words)).replace(" x ", " × ")
    pieces, at = [], 0
    for found in RUN.finditer(words):
        if found.start() > at:
            pieces.append([words[at : found.start()], ""])
        pieces.append([found["sub"], "sub"] if found["sub"] else [found["sup"], "sup"])
        at = found.end()
    if at < len(words) or not pieces:
        pieces.append([words[at:], ""])
    return pieces


def plain(text: object) -> list[list[str]]:
    """Text that no formula is looked for in: names, sentences."""
    return [[breakable(str(text)), ""]]


def factor_words(value: float | None) -> str:
    """Three decimals, cut where rounding would hide that a factor is below 1."""
    if value is None:
        return ""
    return "0.999" if 0.9995 <= value < 1 else f"{value:.3f}"


def effect_words(value: float | None) -> str:
    return "" if value is None else f"{value:,.0f}"


def tons_words(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def number_words(value: object) -> str:
    """An input as people read it; what is not known says so."""
    if value is None or value == "":
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:,.6g}" if isinstance(value, int | float) else str(value)


def name_and_unit(key: str) -> tuple[str, str]:
    """'deck_thickness_in' to ('deck thickness', 'in')."""
    for suffix, unit in UNIT_SUFFIXES.items():
        if key.endswith(suffix):
            return key.removesuffix("_f" if suffix == "_temperature_f" else suffix).replace("_", " "), unit
    return key.replace("_", " "), ""


def span_words(label: str) -> str:
    """The kernel's label of a span is its number on the record."""
    return f"Span {label}" if str(label).isdecimal() else str(label)


def unit_words(unit: str) -> str:
    return UNITS.get(unit, unit)


def breakable(text: str) -> str:
    """Text whose overlong words may be broken: a place to break after every so many letters without a space."""
    return re.sub(rf"(\S{{{LONGEST_WORD}}})(?=\S)", "\\1\u200b", text)


def _widths(heads: Sequence[str], rows: Sequence[Sequence[str]], figures: Sequence[int]) -> list[int]:
    """0 for a column as wide as its words, else its share of what is left, by the length of its texts."""
    widths = []
    for column in range(len(heads)):
        longest = max((len(str(row[column])) for row in rows), default=0)
        widths.append(0 if column in figures or longest <= NARROW else min(longest, WIDEST))
    return widths


def table(
    title: str,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    figures: Sequence[int] = (),
    fills: int | None = None,
) -> dict:
    """A table for both prints: plain cells; ``figures`` are the columns of numbers, set to the right.

    ``fills`` is the one column that takes the room the others leave; None shares it out by the length of the texts.
    """
    widths = _widths(heads, rows, figures)
    if fills is not None:
        widths = [int(column == fills) for column in range(len(heads))]
    return {
        "title": runs_of(title),
        "widths": widths,
        "heads": [runs_of(head) for head in heads],
        "rows": [[plain(cell) for cell in row] for row in rows],
        "figures": list(figures),
    }
