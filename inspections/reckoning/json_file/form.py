"""The form (JSON Schema 2020-12) of a dataclass in a file, made from its fields, their limits and their choices."""

import types
import typing
from collections.abc import Collection, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass

from inventory.mechanics.rating.limits import Limit

NOTE = {"description": "Words for people; no rating reads them.", "type": "string"}


def name_of(cls: type) -> str:
    return cls.__name__


def dataclasses_in(hint) -> list[type]:
    """The dataclasses a type hint speaks of."""
    if isinstance(hint, type) and is_dataclass(hint):
        return [hint]
    return [found for part in typing.get_args(hint) for found in dataclasses_in(part)]


def is_needed(field: Field) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def object_form(
    cls: type,
    *,
    limits: Mapping[type, Mapping[str, Limit]],
    choices: Mapping[tuple[type, str], tuple[str, ...]],
    optional: Collection[str] = (),
) -> dict:
    """The form of one dataclass: no other names but ``note``; needed is what has no default and is not ``optional``."""
    hints, own = typing.get_type_hints(cls), limits.get(cls, {})
    lines = (cls.__doc__ or "").replace("``", "").split("\n\n")
    return {
        "description": " ".join(" ".join(lines).split()),
        "type": "object",
        "additionalProperties": False,
        "required": [field.name for field in fields(cls) if is_needed(field) and field.name not in optional],
        "properties": {"note": NOTE}
        | {f.name: _property(hints[f.name], own.get(f.name), choices.get((cls, f.name))) for f in fields(cls)},
    }


def _property(hint, limit: Limit | None, chosen: tuple[str, ...] | None) -> dict:
    options = typing.get_args(hint) if isinstance(hint, types.UnionType) else (hint,)
    may_be_unknown = type(None) in options
    (only,) = [option for option in options if option is not type(None)]
    if typing.get_origin(only) is tuple:
        inner = typing.get_args(only)[0]
        return {"type": "array", "items": reference(inner) if is_dataclass(inner) else _property(inner, limit, chosen)}
    if is_dataclass(only):
        known = {"type": ["object", "null"], "if": {"type": "object"}, "then": reference(only)}
        return known if may_be_unknown else reference(only)
    kind = {float: "number", int: "integer", bool: "boolean", str: "string"}[only]
    made: dict = {"type": [kind, "null"] if may_be_unknown else kind}
    if chosen is not None:
        made["enum"] = list(chosen)
    return made | range_form(limit) if limit is not None else made


def reference(cls: type) -> dict:
    return {"$ref": f"#/$defs/{name_of(cls)}"}


def range_form(limit: Limit) -> dict:
    """The range of a number, also in words."""
    words = limit.name.removesuffix("_in")
    described = f"{words[:1].upper()}{words[1:]}, {limit.words} {limit.unit}".strip()
    low = "exclusiveMinimum" if limit.above else "minimum"
    return {"description": f"{described}.", low: limit.least, "maximum": limit.most}
