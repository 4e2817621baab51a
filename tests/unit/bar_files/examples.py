"""The two worked examples as ops/stressing-file.md prints them, and the commands that read them."""

from __future__ import annotations

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
