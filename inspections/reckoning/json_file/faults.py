"""What is wrong with a file, in sentences: where, what, and what would do."""

import difflib
from collections.abc import Iterable
from itertools import islice
from math import isfinite

from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError

MOST_TOLD = 40
MOST_SOUGHT = 1000
"""Faults looked for; a file of millions of them is answered from the first, in the memory of a good file."""
KINDS = {
    "number": "a number",
    "integer": "a whole number",
    "string": "a text in quotation marks",
    "boolean": "true or false",
    "array": "a list in square brackets",
    "object": "an object in braces",
    "null": "null (not known)",
}
UNITS = (
    "ft", "in", "in2", "psi", "pcf", "plf", "psf", "lb", "kip", "klf", "deg", "tons",
)  # fmt: skip


class BadFile(ValueError):
    """The file cannot be read as bridges; ``sentences`` say why, each with its place.

    A name out of the file may hold signs that a terminal obeys: they stand as U+FFFD.
    """

    def __init__(self, *sentences: str) -> None:
        self.sentences = tuple("".join(c if c.isprintable() else "\ufffd" for c in each) for each in sentences)
        super().__init__(" ".join(self.sentences))


def form_faults(value: object, validator: Draft202012Validator, where: str = "") -> list[str]:
    """The faults of ``value`` against its form; numbers that are none (NaN, Infinity) are told first."""
    told = list(islice(_not_finite(value, where), MOST_SOUGHT))
    if not told:
        found = islice(validator.iter_errors(value), MOST_SOUGHT)
        errors = sorted(found, key=lambda error: [str(part) for part in error.path])
        told = [sentence for error in errors for sentence in _sentences(error, where)]
    told = list(dict.fromkeys(told))
    rest = len(told) - MOST_TOLD
    if rest <= 0:
        return told
    rest_words = f"{rest} more faults follow" if len(told) < MOST_SOUGHT else "Many more faults follow"
    return [*told[:MOST_TOLD], f"{rest_words}; correct these first."]


def place(where: str, path: Iterable) -> str:
    """'spans[0].members[2]' from the steps of a path."""
    words = where
    for step in path:
        words += f"[{step}]" if isinstance(step, int) else f".{step}" if words else str(step)
    return words or "the file"


def shown(value: object) -> str:
    if isinstance(value, bool) or value is None:
        return {True: "true", False: "false", None: "null"}[value]
    if isinstance(value, dict | list):
        return KINDS["object"] if isinstance(value, dict) else KINDS["array"]
    return f"'{value[:60]}'" if isinstance(value, str) else f"{value:.10g}" if abs(value) < 1e300 else "a vast number"


def _sentences(error: ValidationError, where: str) -> list[str]:
    at = place(where, error.absolute_path)
    schema, value = error.schema, error.instance
    match error.validator:
        case "required":
            return [_lacks(at, name, schema) for name in error.validator_value if name not in value]
        case "dependentRequired":
            lacking = {name for key, names in error.validator_value.items() if key in value for name in names}
            wanted = ", ".join(name for name in sorted(lacking) if name not in value)
            return [
                f"{at} gives values of its own, so it must give all of them: it lacks {wanted}. Or give species, grade "
                "and size_class alone, to be looked up."
            ]
        case "additionalProperties":
            unknown = (name for name in value if name not in schema["properties"])
            return [_unknown(at, name, schema) for name in islice(unknown, MOST_SOUGHT)]
        case "type":
            return [f"{at} is {shown(value)}; give {_kinds(schema['type'])}{_reach(at, schema)}."]
        case "enum":
            choices = ", ".join(shown(choice) for choice in error.validator_value)
            return [f"{at} is {shown(value)}; choose one of {choices}."]
        case "minItems" | "maxItems":
            return [f"{at} has {len(value)} entries; give {_count(schema)}."]
        case "minLength" | "maxLength":
            return [f"{at} has {len(value)} letters; give {schema.get('minLength', 0)} to {schema['maxLength']}."]
        case "pattern":
            return [f"{at} is {shown(value)}; write the date as year-month-day, such as 2026-05-14."]
        case "minimum" | "maximum" | "exclusiveMinimum" | "exclusiveMaximum":
            return [f"{at} is {shown(value)}; give a number{_reach(at, schema)}."]
    return [f"{at} does not fit the form."]


def _lacks(at: str, name: str, schema: dict) -> str:
    about = schema["properties"].get(name, {})
    reach = _reach(name, about)
    return f"{at} lacks {name}{f' (a number{reach})' if reach else ''}."


def _unknown(at: str, name: str, schema: dict) -> str:
    near = difflib.get_close_matches(name, schema["properties"], n=1)
    hint = f"did you mean {near[0]}?" if near else "remove it, or put words for people under note."
    return f"{at} has no field {name[:60]}; {hint}"


def _kinds(kinds: str | list[str]) -> str:
    return " or ".join(KINDS[kind] for kind in ([kinds] if isinstance(kinds, str) else kinds))


def _count(schema: dict) -> str:
    least, most = schema.get("minItems", 0), schema.get("maxItems")
    return f"{least} to {most}" if most is not None else f"at least {least}"


def _reach(name: str, schema: dict) -> str:
    """' above 0 and at most 120 in', from the form and the unit in the name."""
    parts = []
    if "exclusiveMinimum" in schema:
        parts.append(f"above {schema['exclusiveMinimum']:g}")
    if "minimum" in schema:
        parts.append(f"at least {schema['minimum']:g}")
    if "maximum" in schema:
        parts.append(f"at most {schema['maximum']:g}")
    unit = name.rsplit(".", 1)[-1].split("[", 1)[0].rsplit("_", 1)[-1]
    return f" {' and '.join(parts)}{f' {unit}' if unit in UNITS else ''}" if parts else ""


def _not_finite(value: object, where: str) -> Iterable[str]:
    if isinstance(value, dict):
        for key, item in value.items():
            yield from _not_finite(item, place(where, [key]) if where else str(key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _not_finite(item, f"{where}[{index}]")
    elif isinstance(value, float) and not isfinite(value):
        yield f"{where} is {value}, which is no number that can be measured; give a finite one."
