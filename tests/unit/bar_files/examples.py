"""The two worked examples as ops/stressing-file.md prints them, and ways to change one number of them."""

from __future__ import annotations

import copy
import io
import json
import re

from django.core.management import call_command

from tests.house.tree import ROOT

HOSTILE = [float("nan"), float("inf"), float("-inf"), 1e12, -1e12, "12", True, [], {}, 10**400]


def written() -> tuple[str, str]:
    """The text of the row to stress and of the rows to forecast."""
    text = (ROOT / "ops" / "stressing-file.md").read_text(encoding="utf-8")
    stress, ahead = re.findall(r"^```json\n(.*?)^```", text, re.S | re.M)
    return stress, ahead


def row_to_stress() -> dict:
    return json.loads(written()[0])


def rows_to_forecast() -> dict:
    return json.loads(written()[1])


def run(command: str, *arguments: str) -> tuple[int, str, str]:
    """The command in this process; pytest-django refuses any query of a test without a database."""
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command(command, *arguments, stdout=out, stderr=err)
    except SystemExit as left:
        return left.code, out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def places_of_numbers(value, path=()):
    if isinstance(value, dict):
        for key, item in value.items():
            yield from places_of_numbers(item, (*path, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from places_of_numbers(item, (*path, index))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


def put(value, path, new):
    changed = copy.deepcopy(value)
    place = changed
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = new
    return changed


def words(path) -> str:
    return "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path).lstrip(".")
