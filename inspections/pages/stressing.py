"""A plan of a stressing day as the pages show it: drawings pass by pass, a table under each, limits, sources."""

from django.http import HttpRequest
from django.utils.safestring import mark_safe

from inspections.drawings.plan_passes import (
    OrderBar,
    OrderSheet,
    PassBar,
    PassesChart,
    PassPanel,
    pass_panels,
    pulling_order,
)
from inspections.models import StressingDay
from inspections.queries.stressing import PULLED, open_stressing_days, row_levels, without_plans
from inspections.reckoning.stressing import PlanTold
from inspections.rules import lifecycle
from inspections.rules.stressing.asked import METHOD_WORDS, ORDER_WORDS
from inspections.vocabulary.states import StressingState
from inventory.models import StressingSystem, Structure
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

IN_PER_FT = 12.0
CHECK_WORDS = {
    "bar": "Stress in a bar, net area, jack's peak with lift-off",
    "plate": "Force on a bearing plate",
    "flange": "Pressure in the deck or flange at one bar",
    "jack": "Force of a jack",
    "gauge": "Pressure on a gauge",
    "least pressure": "Least local pressure at the end",
}
CAUTIONS = (
    "Nobody stands in line with a bar under load.",
    "Calibrated jack and gauge only.",
    "No load above the bar's limit.",
    "No traffic on the span while a jack is on a bar.",
    "An aid to the engineer, who releases the sheet; the State's manual decides where it differs.",
)


def plan_context(*, plan: dict, told: PlanTold, sources, key: str, title: str) -> dict:
    """Everything ``_plan.html`` shows of a plan (as JSON gives it)."""
    given = plan["given"]
    passes = plan_passes(plan)
    return {
        "plan": plan,
        "told": told,
        "least_pct": f"{plan['least_ratio']:.0%}",
        "title": title,
        "passes": passes,
        "pass_psi": told.after_pass_psi,
        # Built by our own writer, which escapes every text.
        "panels": mark_safe(_panels(plan, told, passes, key, title)),  # noqa: S308
        "order_drawing": mark_safe(_order(plan, key, title)),  # noqa: S308
        "checks": [_check(check) for check in plan["checks"]],
        "sources": sources,
        "bar_names": [bar["name"] for bar in given["bars"]],
        "left_out": [bar for bar in given["bars"] if not bar["is_planned"]],
        "method_words": METHOD_WORDS.get(given["method"], given["method"]),
        "order_words": ORDER_WORDS.get(given["order"], given["order"]),
        "cautions": CAUTIONS,
    }


def plan_passes(plan: dict) -> list[dict]:
    """Per pass: its pulls, and a row per bar with the force before it, the last pull's figures and the force after."""
    bars, before, found = plan["given"]["bars"], plan["start_lb"], []
    for number in sorted({pull["pass_number"] for pull in plan["pulls"]}):
        pulls = [pull for pull in plan["pulls"] if pull["pass_number"] == number]
        after = pulls[-1]["after_lb"]
        by_bar: dict[int, list] = {}
        for pull in pulls:
            for each in pull["bars"]:
                by_bar.setdefault(each["bar_index"], []).append((pull["number"], each))
        found.append(
            {
                "number": number,
                "pulls": pulls,
                "readings": [_reading(pull) for pull in pulls],
                "rows": [_bar_row(bar, at, by_bar.get(at, []), before[at], after[at]) for at, bar in enumerate(bars)],
            }
        )
        before = after
    return found


def _reading(pull: dict) -> dict:
    """Expected force of every bar once a pull is locked off, the pulled ones bold.

    Sixty bars in four passes are 14,400 cells: written here, since a template takes seconds for them.
    """
    pulled = {each["bar_index"] for each in pull["bars"]}
    cells = "".join(
        f"<td><strong>{force:,.0f}</strong></td>" if at in pulled else f"<td>{force:,.0f}</td>"
        for at, force in enumerate(pull["after_lb"])
    )
    return {"number": pull["number"], "cells": mark_safe(cells)}  # noqa: S308 figures only


def _bar_row(bar: dict, at: int, pulls: list, before_lb: float, after_lb: float) -> dict:
    return {
        "bar": bar,
        "before_lb": before_lb,
        "after_lb": after_lb,
        "reached": after_lb / bar["target_lb"] if bar["is_planned"] and bar["target_lb"] else None,
        "pulls": [{"number": number, **each} for number, each in pulls],
    }


def _panels(plan: dict, told: PlanTold, passes: list[dict], key: str, title: str) -> str:
    panels = tuple(
        PassPanel(
            number=each["number"],
            bars=tuple(
                PassBar(
                    name=row["bar"]["name"],
                    station_ft=row["bar"]["station_in"] / IN_PER_FT,
                    before_lb=row["before_lb"],
                    after_lb=row["after_lb"],
                    target_lb=row["bar"]["target_lb"],
                    limit_lb=limit,
                    pulls=tuple(pull["number"] for pull in row["pulls"]),
                    is_planned=row["bar"]["is_planned"],
                )
                for row, limit in zip(each["rows"], told.limits_lb, strict=True)
            ),
        )
        for each in passes
    )
    chart = PassesChart(title=f"{title}, pass by pass", span_ft=_length_ft(plan), panels=panels)
    return pass_panels(chart, key=f"{key}-passes")


def _order(plan: dict, key: str, title: str) -> str:
    """The order of the first pass: pulls made together bear one number."""
    given, first = plan["given"], {}
    if plan["pulls"]:
        start = plan["pulls"][0]["pass_number"]
        pulls = [pull for pull in plan["pulls"] if pull["pass_number"] == start]
        for place, pull in enumerate(pulls, start=1):
            for each in pull["bars"]:
                first.setdefault(each["bar_index"], (place, each["jack"]))
    bars = tuple(
        OrderBar(
            name=bar["name"],
            station_ft=bar["station_in"] / IN_PER_FT,
            pull=first.get(at, (None, ""))[0],
            jack=first.get(at, (None, ""))[1] if len(given["jacks"]) > 1 else "",
            why_not=bar["why_not"] or ("" if at in first else "enough stands in it already"),
        )
        for at, bar in enumerate(given["bars"])
    )
    sheet = OrderSheet(
        title=f"{title}, order of the pulls",
        span_ft=_length_ft(plan),
        deck_width_ft=given["deck"]["deck_width_in"] / IN_PER_FT,
        bars=bars,
    )
    return pulling_order(sheet, key=f"{key}-order")


def _length_ft(plan: dict) -> float:
    return plan["given"]["deck"]["deck_length_in"] / IN_PER_FT


def _check(check: dict) -> dict:
    words = {True: "holds", False: "does not hold", None: "not checked"}[check["holds"]]
    moment = "at the end"
    if check["pull_number"] is not None:
        moment = "before the first pull" if check["pull_number"] == 0 else f"pull {check['pull_number']}"
    return check | {
        "title": CHECK_WORDS.get(check["name"], check["name"]),
        "moment": f"{moment}, bar {check['bar']}" if check["bar"] else moment,
        "holds_words": words,
    }


def rows_of_bars(structure: Structure) -> list[dict]:
    """Every row of bars that can be planned, with its key for the address and its words."""
    found = []
    systems = StressingSystem.objects.filter(span__structure=structure).select_related("span__structure__agency")
    for system in systems.order_by("span__index"):
        for level in row_levels(system):
            key = f"{system.pk}-{level}"
            found.append({"key": key, "system": system, "level": level, "words": plan_title(system.span.index, level)})
    return found


def plan_title(span_index: int, level: str) -> str:
    """The row in words."""
    return f"Span {span_index}" if level == "mid" else f"Span {span_index}, {level} bars"


def first_values(structure: Structure) -> dict:
    """What the form starts with; never a target."""
    pulled = structure.works.filter(kind__in=PULLED).exists()
    return {
        "purpose": "retension" if pulled else "",
        "order": "midspan_outward",
        "method": "one_pass",
        "first_pass_ratio": 1.0,
    }


def day_rows(days) -> list[dict]:
    """Days of the list, with who acts next."""
    owners = lifecycle.OWNERS[lifecycle.STRESSING]
    return [
        {
            "day": day,
            "owner": owners[StressingState(day.state)].words,
            "is_held": day.state == StressingState.HELD,
            "target_lb": day.asked.get("target_lb"),
        }
        for day in days
    ]


def load(request: HttpRequest, structure: Structure) -> dict | None:
    """The part of a structure's page: days that somebody must act on, the last ones done, and where to plan."""
    if not StressingSystem.objects.filter(span__structure=structure, bars__isnull=False).exists():
        return None
    done = StressingDay.objects.filter(structure=structure, state=StressingState.FINISHED.value)
    return {
        "stressing_open": day_rows(without_plans(open_stressing_days(structure))),
        "stressing_done": without_plans(done.order_by("-finished_at", "-pk"))[:3],
        "may_plan": Permit.PLAN_STRESSING in permits_of(request.user, structure.agency),
    }


def revised_lines(day: StressingDay) -> list[str]:
    """What was told when the rest was planned again during the day; empty where it was not."""
    if day.released_plan is None or day.plan == day.released_plan or not day.learned:
        return []
    return list(day.learned[-1].get("sentences") or ())


def final_rows(day: StressingDay) -> list[dict]:
    """The force a finished day left in each bar, and whether it was read or only computed."""
    names = {pk: bar["name"] for pk, bar in zip(day.bar_ids, day.plan["given"]["bars"], strict=True)}
    return [
        {"name": names.get(row["bar"], "?"), "force_lb": row["force_lb"], "is_read": row["is_read"]}
        for row in day.final
    ]
