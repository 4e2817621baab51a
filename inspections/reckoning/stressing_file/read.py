"""The text of a file to what a stressing plan is made from; every fault with its place, never a guess."""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jsonschema import Draft202012Validator

from inspections.reckoning.json_file import BadFile, form_faults, parsed_json
from inspections.rules.force_or_pressure import looks_like_pressure
from inventory.mechanics.bars.jacking.terms import PlanInput

SCHEMA = Path(__file__).with_name("plan.schema.json")
OF_THE_FILE = ("form", "name", "target_source")


@dataclass(frozen=True, kw_only=True)
class RowToStress:
    """One row of a file: its name, where the targets come from, and what the kernel plans."""

    name: str
    target_source: str
    given: PlanInput


@cache
def _validator() -> Draft202012Validator:
    return Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))


def read_row(data: bytes) -> RowToStress:
    """The row of a file's bytes; ``BadFile`` with a sentence for each fault."""
    value = parsed_json(data, what="a row of bars")
    if faults := form_faults(value, _validator()):
        raise BadFile(*faults)
    plain = _without_notes(value)
    if faults := [*_bar_faults(plain), *_pressure_questions(plain)]:
        raise BadFile(*faults)
    index = {bar["name"]: at for at, bar in enumerate(plain["bars"])}
    plain["given_order"] = [index[name] for name in plain.get("given_order", [])]
    for bar in plain["bars"]:
        bar.pop("confirmed", None)
        bar.setdefault("target_lb", 0.0)
    given = {name: item for name, item in plain.items() if name not in OF_THE_FILE}
    return RowToStress(
        name=plain["name"], target_source=plain["target_source"], given=PlanInput.from_dict(_whole(given))
    )


def _without_notes(value):
    if isinstance(value, dict):
        return {name: _without_notes(item) for name, item in value.items() if name != "note"}
    return [_without_notes(item) for item in value] if isinstance(value, list) else value


def _whole(given: dict) -> dict:
    """JSON Schema takes 4.0 for a whole number; the kernel's terms do not."""
    if isinstance(given.get("pass_count"), float):
        return given | {"pass_count": int(given["pass_count"])}
    return given


def _bar_faults(plain: dict) -> list[str]:
    """What the form cannot see: names twice, a planned bar without its target, an order of unknown bars."""
    told, names = [], [bar["name"] for bar in plain["bars"]]
    for at, bar in enumerate(plain["bars"]):
        if names.index(bar["name"]) != at:
            told.append(f"bars[{at}].name is '{bar['name']}', as bars[{names.index(bar['name'])}]; give each its own.")
        if bar.get("is_planned", True) and "target_lb" not in bar:
            told.append(f"bars[{at}] lacks target_lb (a number at least 1000 and at most 500000 lb): it comes from the "
                        "design or the engineer and has no default.")  # fmt: skip
    for at, name in enumerate(plain.get("given_order", [])):
        if name not in names:
            told.append(f"given_order[{at}] is '{name[:60]}'; give the name of one of the bars.")
    if plain.get("given_order") and plain.get("order") != "given":
        told.append('given_order is given, but order is not "given"; set order to "given" or remove given_order.')
    return told


def _pressure_questions(plain: dict) -> list[str]:
    """A standing force that looks like a pressure is asked about; ``confirmed`` beside it answers."""
    told, bars, deck = [], plain["bars"], plain["deck"]
    spacing_in = deck["deck_length_in"] / len(bars)
    ram = plain["jacks"][0]["ram_area_in2"] * plain["jacks"][0]["efficiency"]
    for at, bar in enumerate(bars):
        question = looks_like_pressure(
            force_lb=bar["standing_lb"],
            expected_lb=bar.get("target_lb"),
            spacing_in=spacing_in,
            thickness_in=deck["thickness_in"],
            ram_lb_per_psi=ram,
        )
        if question and not bar.get("confirmed"):
            told.append(f'bars[{at}].standing_lb: {question} ("confirmed": true beside it says so.)')
    return told
