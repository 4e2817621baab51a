"""The text of a file to bridges the kernel can rate; every fault with its place, never a guess."""

import json
from collections.abc import Callable
from dataclasses import dataclass, is_dataclass
from datetime import date
from functools import cache
from pathlib import Path
from types import UnionType
from typing import get_args, get_origin, get_type_hints

from jsonschema import Draft202012Validator

from inspections.assembly.snapshot import Snapshot
from inspections.reckoning.json_file import BadFile, form_faults, parsed_json
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import (
    DEFAULT_VEHICLES,
    DesignValue,
    LaneLoad,
    RatingPolicy,
    SpanCase,
    Vehicle,
    find_design_value,
    find_vehicle,
)
from inventory.mechanics.rating.cases import CapCase

from .form import LOOKED_UP

SCHEMA = Path(__file__).with_name("bridge.schema.json")
NO_DAY = date(1, 1, 1)
SENTENCES = ("missing", "closing", "critical", "assumed", "relied_on")


@dataclass(frozen=True, kw_only=True)
class Bridge:
    """One bridge of a file: its name, and the snapshot the site itself would rate."""

    name: str
    snapshot: Snapshot

    @property
    def cases(self) -> tuple[SpanCase, ...]:
        return self.snapshot.cases


@cache
def _schema() -> dict:
    return json.loads(SCHEMA.read_text(encoding="utf-8"))


@cache
def _validator(name: str) -> Draft202012Validator:
    whole = _schema()
    return Draft202012Validator({"$ref": f"#/$defs/{name}", "$defs": whole["$defs"]})


def read_bridges(data: bytes) -> tuple[Bridge, ...]:
    """Every bridge of a file's bytes; ``BadFile`` with a sentence for each fault, and no bridge at all then."""
    value = parsed_json(data, what="a bridge", fewer="fewer bridges in one file")
    if isinstance(value, dict) and "bridges" in value:
        faults = form_faults(value, _validator("Bridges"))
        listed = [(f"bridges[{index}]", each) for index, each in enumerate(value["bridges"])] if not faults else []
    else:
        faults = form_faults(value, _validator("Bridge"))
        listed = [("", value)]
    if faults:
        raise BadFile(*faults)
    told: list[str] = []
    bridges = [_bridge(each, where, told) for where, each in listed]
    if told:
        raise BadFile(*told)
    return tuple(bridges)


def _bridge(plain: dict, where: str, told: list[str]) -> Bridge:
    day = NO_DAY
    try:
        day = date.fromisoformat(plain["as_of"]) if "as_of" in plain else NO_DAY
    except ValueError:
        told.append(f"{_at(where, 'as_of')} is '{plain['as_of']}', which is no day of the calendar.")
    snapshot = {
        "as_of": day,
        "cases": _listed(SpanCase, plain.get("spans", []), _at(where, "spans"), told),
        "policy": _built(RatingPolicy, plain.get("policy", {}), _at(where, "policy"), told),
        "vehicles": _vehicles(plain.get("vehicles", list(DEFAULT_VEHICLES)), _at(where, "vehicles"), told),
        "pressures": tuple((each["span"], each["least_local_pressure_psi"]) for each in plain.get("pressures", [])),
        **{name: tuple(plain.get(name, ())) for name in SENTENCES},
    }
    if "caps" in plain:
        snapshot["caps"] = _listed(CapCase, plain["caps"], _at(where, "caps"), told)
    snapshot["loss_policy"] = plain.get("loss_policy", {})
    return Bridge(name=plain["name"], snapshot=None if told else Snapshot(**snapshot))


def _at(where: str, name: str) -> str:
    return f"{where}.{name}" if where else name


def _listed(cls: type, items: list, where: str, told: list[str]) -> tuple:
    if cls is SpanCase:
        items = [{"label": str(index)} | item for index, item in enumerate(items, start=1)]
    return tuple(_built(cls, item, f"{where}[{index}]", told) for index, item in enumerate(items))


def _built(cls: type, plain: dict, where: str, told: list[str]):
    """The dataclass of a checked object; design values are looked up where they are not given in full."""
    if cls is DesignValue:
        return _design_value(plain, where, told)
    hints = get_type_hints(cls)
    given = {name: value for name, value in plain.items() if name != "note"}
    return cls(**{name: _value(hints[name], value, _at(where, name), told) for name, value in given.items()})


def _value(hint, value, where: str, told: list[str]):
    options = get_args(hint) if isinstance(hint, UnionType) else (hint,)
    only = next(option for option in options if option is not type(None))
    if value is None:
        return None
    if get_origin(only) is tuple:
        inner = get_args(only)[0]
        return _listed(inner, value, where, told) if is_dataclass(inner) else tuple(value)
    if is_dataclass(only):
        return _built(only, value, where, told)
    made: Callable = {int: int, float: float}.get(only, lambda same: same)
    return made(value)


def _design_value(plain: dict, where: str, told: list[str]) -> DesignValue | None:
    if set(plain) - {"note"} == set(LOOKED_UP):
        try:
            return find_design_value(**{name: plain[name] for name in LOOKED_UP})
        except KeyError as unknown:
            told.append(f"{where}: {unknown.args[0]} Correct it, or give the values in full with their source.")
            return None
    hints = get_type_hints(DesignValue)
    # A design value's note is part of it: it is printed beside the value.
    values = {name: _value(hints[name], value, where, told) for name, value in plain.items()}
    return DesignValue(**{"edition": "as given", "mark": "input"} | values)


def _vehicles(items: list, where: str, told: list[str]) -> tuple:
    found = []
    for index, item in enumerate(items):
        at = f"{where}[{index}]"
        try:
            if isinstance(item, str):
                found.append(find_vehicle(item).id)
            else:
                found.append(_vehicle(item))
        except KeyError as unknown:
            told.append(f"{at}: {unknown.args[0]} Or give its axles.")
        except OutsideValidity as refusal:
            told.append(f"{at}: {refusal}")
    return tuple(found)


def _vehicle(plain: dict) -> Vehicle:
    given = {name: value for name, value in plain.items() if name not in ("note", "lane")}
    for name in ("spacings_ft", "instead_spacings_ft"):
        if name in given:
            given[name] = tuple(
                tuple(map(float, gap)) if isinstance(gap, list) else (float(gap),) * 2 for gap in given[name]
            )
    for name in ("axles_kip", "instead_kip"):
        if name in given:
            given[name] = tuple(map(float, given[name]))
    if plain.get("lane"):
        lane = {name: float(value) for name, value in plain["lane"].items() if name != "note"}
        given["lane"] = LaneLoad(**lane)
    return Vehicle(**{"name": plain["id"]} | given)
