"""Dataclasses to plain JSON-safe values and back, strictly: a missing or unknown key is refused with a sentence."""

from __future__ import annotations

import types
import typing
from dataclasses import MISSING, fields, is_dataclass
from functools import cache

from inventory.mechanics.trace import Heading


class Plain:
    """Gives a frozen dataclass ``as_dict()`` and ``from_dict()``; tuples become lists, dataclasses become dicts."""

    def as_dict(self) -> dict:
        return {f.name: _plain(getattr(self, f.name)) for f in fields(self)}

    @classmethod
    def from_dict(cls, plain: dict):
        """Build from a mapping; ``ValueError`` names an unknown or missing field or a value of the wrong kind."""
        return _build_dataclass(cls, plain)


def _build_dataclass(cls: type, plain: dict):
    if not isinstance(plain, dict):
        raise ValueError(f"{cls.__name__} must be given as a mapping of names to values.")
    known = {f.name: f for f in fields(cls)}
    unknown = sorted(set(plain) - set(known))
    if unknown:
        raise ValueError(f"{cls.__name__} has no field {', '.join(unknown)}; remove it or correct its name.")
    missing = sorted(
        name for name, f in known.items() if name not in plain and f.default is MISSING and f.default_factory is MISSING
    )
    if missing:
        raise ValueError(f"{cls.__name__} lacks {', '.join(missing)}; give a value for each.")
    hints = _hints(cls)
    return cls(**{name: _build(hints[name], value, f"{cls.__name__}.{name}") for name, value in plain.items()})


@cache
def _hints(cls: type) -> dict:
    return typing.get_type_hints(cls)


def _plain(value):
    if isinstance(value, (Plain, Heading)):
        return value.as_dict()
    if is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, (tuple, list)):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    return value


def _build(hint, value, where: str):
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        return _build_union(typing.get_args(hint), value, where)
    if origin is tuple:
        inner = typing.get_args(hint)[0]
        if not isinstance(value, (list, tuple)):
            raise ValueError(f"{where} must be a list.")
        if inner is float and all(type(item) is float for item in value):
            return tuple(value)  # forces of sixty bars after every pull: no place has to be told
        return tuple(_build(inner, item, f"{where}[{index}]") for index, item in enumerate(value))
    if origin is dict:
        return dict(value)
    if hint is Heading:
        return Heading.from_dict(value)
    if isinstance(hint, type) and is_dataclass(hint):
        return _build_dataclass(hint, value)
    return _scalar(hint, value, where)


def _build_union(options: tuple, value, where: str):
    if value is None and type(None) in options:
        return None
    (only,) = [option for option in options if option is not type(None)]
    return _build(only, value, where)


def _scalar(hint, value, where: str):
    if hint is float and isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(value)
    if hint is int and isinstance(value, int) and not isinstance(value, bool):
        return value
    if hint in (str, bool) and isinstance(value, hint):
        return value
    raise ValueError(f"{where} is {value!r}, which is not a {getattr(hint, '__name__', hint)}.")
