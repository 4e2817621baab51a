"""The text of a file to rows the kernel can forecast; every fault with its place, never a guess."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from statistics import median

from jsonschema import Draft202012Validator

from inspections.reckoning.json_file import BadFile, form_faults, parsed_json
from inspections.rules.force_or_pressure import looks_like_pressure
from inspections.rules.frost import frost_reason
from inventory.mechanics.bars.loss import BarRow, ForceRead, LossPolicy, Stressed

from .terms import LOCK_OFF, LOOSE

SCHEMA = Path(__file__).with_name("forecast.schema.json")
YEARS_AHEAD = 25.0
STRENGTH_WORDS = "would break the bar"
MOST_FORCES = 1000
"""Of one row: the fit weighs every force against every other, so its memory grows with their square."""


@dataclass(frozen=True, kw_only=True)
class RowToForecast:
    """One row of a file: what the kernel takes, pressures to be dated, and what did not enter with its reason."""

    name: str
    row: BarRow
    bar_names: tuple[str, ...]
    needed_psi: float | None
    levels_psi: tuple[float, ...]
    not_standing: tuple[dict, ...]
    left_out: tuple[dict, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Rows:
    """A whole file."""

    as_of: date
    years_ahead: float
    policy: LossPolicy
    rows: tuple[RowToForecast, ...]


@cache
def _validator() -> Draft202012Validator:
    return Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))


def read_rows(data: bytes) -> Rows:
    """The rows of a file's bytes; ``BadFile`` with a sentence for each fault."""
    value = parsed_json(data, what="rows of bars", fewer="fewer rows in one file")
    if faults := form_faults(value, _validator()):
        raise BadFile(*faults)
    told = [*_day_faults(value, "as_of", ""), *_names_twice(value["rows"])]
    for at, row in enumerate(value["rows"]):
        told += _row_faults(row, f"rows[{at}]")
    if told:
        raise BadFile(*told)
    policy = LossPolicy(**{n: float(each) for n, each in value.get("policy", {}).items() if n != "note"})
    return Rows(
        as_of=date.fromisoformat(value["as_of"]),
        years_ahead=float(value.get("years_ahead", YEARS_AHEAD)),
        policy=policy,
        rows=tuple(_row(row, policy) for row in value["rows"]),
    )


def _names_twice(rows: list[dict]) -> Iterator[str]:
    """A name stands for one row: pooling leaves a row out of its own expectation by its name."""
    seen: dict[str, int] = {}
    for at, row in enumerate(rows):
        first = seen.setdefault(row["name"], at)
        if first != at:
            yield f"rows[{at}].name is '{row['name'][:60]}', as rows[{first}]; give each row a name of its own."


def _day_faults(plain: dict, name: str, where: str) -> Iterator[str]:
    try:
        date.fromisoformat(plain[name])
    except ValueError:
        yield f"{where}{name} is '{plain[name]}', which is no day of the calendar."


def _row_faults(row: dict, where: str) -> Iterator[str]:
    names = [bar["name"] for bar in row["bars"]]
    for at, name in enumerate(names):
        if names.index(name) != at:
            yield f"{where}.bars[{at}].name is '{name}', as bars[{names.index(name)}]; give each its own."
    for at, each in enumerate(row.get("stressed", [])):
        yield from _day_faults(each, "on", f"{where}.stressed[{at}].")
        for place, left in enumerate(each.get("left", [])):
            yield from _bar_faults(left, names, row, f"{where}.stressed[{at}].left[{place}]")
    seen = len(row.get("readings", [])) + sum(len(each.get("left", [])) for each in row.get("stressed", []))
    if seen > MOST_FORCES:
        yield (
            f"{where} has {seen} forces (readings and forces left by stressings); give at most {MOST_FORCES}: leave "
            "out the oldest, before the last stressings."
        )
    expected_lb = _expected_lb(row)
    for at, each in enumerate(row.get("readings", [])):
        yield from _day_faults(each, "on", f"{where}.readings[{at}].")
        yield from _bar_faults(each, names, row, f"{where}.readings[{at}]")
        yield from _reading_faults(each, row, expected_lb, f"{where}.readings[{at}]")


def _bar_faults(each: dict, names: list[str], row: dict, where: str) -> Iterator[str]:
    if each["bar"] not in names:
        yield f"{where}.bar is '{each['bar']}'; give the name of one of the row's bars."
    area = row.get("net_area_in2")
    if area and each["force_lb"] > area * row.get("tensile_psi", 150_000):
        strength = area * row.get("tensile_psi", 150_000)
        yield (
            f"{where}.force_lb is {each['force_lb']:.10g}; {strength:,.0f} lb {STRENGTH_WORDS}. Look at the gauge, the "
            "ram area and the unit."
        )


def _expected_lb(row: dict) -> float | None:
    """What a bar should hold: the target, else the middle of what was read; None where neither says."""
    read = [each["force_lb"] for each in row.get("readings", []) if each["force_lb"] > 0]
    return row.get("target_lb") or (median(read) if len(read) > 1 else None)


def _reading_faults(each: dict, row: dict, expected_lb: float | None, where: str) -> Iterator[str]:
    if each["method"] == LOOSE and each["force_lb"]:
        yield f"{where}.force_lb is {each['force_lb']:.10g}; a bar loose to the hand has 0, or it was read otherwise."
    if each.get("confirmed") or each["method"] == LOCK_OFF:
        return
    question = looks_like_pressure(
        force_lb=each["force_lb"],
        expected_lb=expected_lb,
        spacing_in=12.0 * row["length_ft"] / len(row["bars"]),
        thickness_in=row["thickness_in"],
        ram_lb_per_psi=row.get("ram_area_in2"),
    )
    if question:
        yield f'{where}.force_lb: {question} ("confirmed": true beside it says so.)'


def _row(row: dict, policy: LossPolicy) -> RowToForecast:
    index = {bar["name"]: at for at, bar in enumerate(row["bars"])}
    reads = row.get("readings", [])
    standing = [each for each in reads if each["method"] != LOCK_OFF]
    reasons = [_left_out(each, policy) for each in standing]
    return RowToForecast(
        name=row["name"],
        row=BarRow(
            label=row["name"],
            kind=row["kind"],
            stations_ft=tuple(float(bar["station_ft"]) for bar in row["bars"]),
            length_ft=float(row["length_ft"]),
            thickness_in=float(row["thickness_in"]),
            target_lb=None if row.get("target_lb") is None else float(row["target_lb"]),
            stressed=tuple(_stressed(each, index) for each in row.get("stressed", [])),
            readings=tuple(_read(each, index, why) for each, why in zip(standing, reasons, strict=True)),
        ),
        bar_names=tuple(index),
        needed_psi=row.get("needed_psi"),
        levels_psi=tuple(float(psi) for psi in row.get("levels_psi", [])),
        not_standing=tuple(_told(each) for each in reads if each["method"] == LOCK_OFF),
        left_out=tuple(_told(each) | {"why": why} for each, why in zip(standing, reasons, strict=True) if why),
        warnings=tuple(_above_limit(each, row) for each in standing if _above_limit(each, row)),
    )


def _stressed(each: dict, index: dict[str, int]) -> Stressed:
    forces: list[float | None] = [None] * len(index)
    for left in each.get("left", []):
        forces[index[left["bar"]]] = float(left["force_lb"])
    day = float(date.fromisoformat(each["on"]).toordinal())
    return Stressed(on_day=day, forces_lb=tuple(forces) if each.get("left") else ())


def _read(each: dict, index: dict[str, int], why: str) -> ForceRead:
    return ForceRead(
        on_day=float(date.fromisoformat(each["on"]).toordinal()),
        bar_index=index[each["bar"]],
        force_lb=float(each["force_lb"]),
        repeats=int(each.get("repeats", 1)),
        left_out=why,
    )


def _left_out(each: dict, policy: LossPolicy) -> str:
    """Frost with wet wood, by the policy. A bar that carries nothing stays in: frost does not loosen a nut."""
    if not each["force_lb"]:
        return ""
    return frost_reason(
        wood_temp_f=each.get("wood_temp_f"),
        moisture_pct=each.get("moisture_pct"),
        frost_below_f=policy.frost_below_f,
        wet_above_pct=policy.wet_above_pct,
    )


def _told(each: dict) -> dict:
    return {name: each[name] for name in ("on", "bar", "force_lb", "method")}


def _above_limit(each: dict, row: dict) -> str:
    """A standing force above 0.70 of the strength (EM 7700-8 chapter 9, memory) is for the engineer at once."""
    area = row.get("net_area_in2")
    limit = 0.70 * area * row.get("tensile_psi", 150_000) if area else None
    if limit is None or each["force_lb"] <= limit:
        return ""
    return (
        f"Bar {each['bar']}, {each['on']}: {each['force_lb']:,.0f} lb is above its limit of {limit:,.0f} lb (0.70 of "
        "its strength): keep everybody away from the bar and call the engineer."
    )
