"""What stands on a stressing sheet, in words and figures as printed: one part per jack, cautions on top of each.

Cautions and stop rules are common practice, no source, with the figures of this plan and of the county's bar policy
[model]. 40 psi: least pressure of a stressed deck in service [memory].
"""

from datetime import date
from math import floor

from django.utils import timezone

from inspections.assembly.stressing_basis import calibrations, sheet_faults
from inspections.models import StressingDay
from inspections.reckoning.stressing import tell_stored_plan
from inspections.rules.clocks.terms import day as day_words
from inspections.rules.stressing.asked import PURPOSES
from inspections.vocabulary.states import StressingState
from inventory.models import Jack
from inventory.queries.bars import bar_policy_of

LEVELS = {"mid": "bars at mid-depth", "top": "top bars", "bottom": "bottom bars"}
STAMPS = {
    StressingState.DRAFTED: "NOT RELEASED",
    StressingState.HELD: "HELD",
    StressingState.WITHDRAWN: "WITHDRAWN",
}
AID = (
    "An aid to a licensed engineer, who releases it; the State's manual governs where it differs. Expected forces are "
    "a model: what is read on the bars decides."
)


def sheet_content(day: StressingDay, *, as_of: date) -> dict:
    """The whole sheet as plain values: printed by the page's template and by typst alike."""
    plan = day.plan if day.released_plan is None else day.released_plan
    faults = sheet_faults(day, as_of) if day.state in (StressingState.RELEASED, StressingState.UNDER_WAY) else ()
    told = tell_stored_plan(plan)
    return {
        "number": day.structure.number,
        "title": day.structure.title,
        "agency": str(day.structure.agency),
        "sheet": f"Stressing sheet {day.pk}",
        "fields": _fields(day, plan, told),
        "stamp": "HELD" if faults else STAMPS.get(day.state, ""),
        "stamp_words": _stamp_words(day, faults),
        "released": _released(day),
        "cautions": _cautions(plan, told, day, as_of),
        "short": _short(plan, day),
        "stops": _stops(day, plan),
        "jacks": _jacks(day, plan, as_of),
        "left_out": [f"Bar {bar['name']}: {bar['why_not']}." for bar in plan["given"]["bars"] if not bar["is_planned"]],
        "revised": "The rest was planned again during the day: the log holds the pulls in use."
        if day.released_plan is not None and day.plan != day.released_plan
        else "",
        "aid": AID,
        "made": timezone.localtime(day.made_at).timetuple()[:3],
        "kernel": day.kernel_version,
    }


def _fields(day: StressingDay, plan: dict, told) -> list[list[str]]:
    target = f"{plan['given']['bars'][0]['target_lb']:,.0f} lb per bar" if plan["given"]["bars"] else ""
    final = "not known" if told.final_psi is None else f"{told.final_psi:.0f} psi"
    return [
        ["Structure", f"{day.structure.number}, {day.structure.title}"],
        ["Span", f"{day.span_index}, {LEVELS.get(day.level, day.level)}"],
        ["Work", PURPOSES.get(day.purpose, day.purpose)],
        ["Planned for", day_words(day.planned_for) if day.planned_for else "day not set"],
        ["Target", f"{target}; {day.target_source}"],
        ["Least pressure at the end, expected", final],
        ["Crew", day.crew or "not named"],
        ["Passes", str(plan["pass_count"])],
    ]


def _stamp_words(day: StressingDay, faults: tuple[str, ...]) -> str:
    if faults:
        return " ".join(faults)
    if day.state == StressingState.DRAFTED:
        return "A draft. Nothing may be pulled from it until an engineer has released it."
    if day.state in (StressingState.HELD, StressingState.WITHDRAWN):
        return day.held_reason
    return ""


def _released(day: StressingDay) -> dict | None:
    if day.released_by is None or day.released_at is None:
        return None
    return {
        "name": str(day.released_by),
        "licence": day.released_by.licence or "licence not on record",
        "at": timezone.localtime(day.released_at).strftime("%-d %b %Y, %H:%M"),
        "note": day.release_note,
    }


def _cautions(plan: dict, told, day: StressingDay, as_of: date) -> list[str]:
    most = _most_lb(plan, day)
    limit, by = _limit(plan, told)
    held = "; ".join(f"{name}: {words}" for name, words, _warns in calibrations(day, day.planned_for or as_of))
    return [
        "Nobody in line with a bar under load, at either end of it.",
        f"Calibrated jack and gauge only. {held}.",
        f"No pull above {most:,.0f} lb, the greatest of this sheet. No bar ever above {limit:,.0f} lb ({by}), "
        "the jack's peak at lift-off included.",
        "No traffic on the span while a jack is on a bar. It may reopen when every jack is off and the least local "
        f"pressure, read, is at least {told.reopen_psi:.0f} psi (the need, and never under 40 psi).",
    ]


def _limit(plan: dict, told) -> tuple[int, str]:
    """The least limit of any bar, whole lb rounded down, and what sets it."""
    steel, plate = min(told.limits_lb, default=0.0), plan["given"]["plate_limit_lb"]
    if plate is not None and plate < steel:
        return floor(plate), "its anchorage"
    return floor(steel), "0.70 of its tensile strength"


def _short(plan: dict, day: StressingDay) -> str:
    """The cautions where a sheet runs on to another page."""
    most = _most_lb(plan, day)
    return f"Nobody in line with a bar. No pull above {most:,.0f} lb. No traffic while a jack is on a bar."


def _most_lb(plan: dict, day: StressingDay) -> float:
    return day.released_most_lb if day.released_most_lb is not None else plan["greatest_set_lb"]


def _stops(day: StressingDay, plan: dict) -> list[str]:
    policy = bar_policy_of(day.structure.agency)
    return [
        f"a bar does not come to within {policy.short_of_pct:g} % of its force",
        f"a plate sinks {policy.sink_most_in:g} in or more",
        f"gauge and elongation differ by more than {policy.disagree_pct:g} %",
        "anything cracks, slips, bends or leaks",
        "a bar is found pitted, bent or without a mark",
    ]


def _jacks(day: StressingDay, plan: dict, as_of: date) -> list[dict]:
    rows = {kit["name"]: [] for kit in plan["given"]["jacks"]}
    for pull in plan["pulls"]:
        for each in pull["bars"]:
            rows[each["jack"]].append(_pull_row(plan, pull, each))
    held = {jack.pk: jack for jack in Jack.objects.filter(pk__in=day.jack_ids)}
    states = calibrations(day, day.planned_for or as_of)
    found = []
    for pk, kit, (words, calibration, warns) in zip(day.jack_ids, plan["given"]["jacks"], states, strict=True):
        jack = held.get(pk)
        found.append(
            {
                "name": kit["name"],
                "words": words,
                "calibration": calibration,
                "by": jack.calibrated_by if jack is not None else "",
                "warns": warns,
                "ram": f"{kit['ram_area_in2']:g} in² × {kit['efficiency']:g}",
                "division": f"{kit['gauge_division_psi']:g} psi",
                "most": f"{max((row['gauge_number'] for row in rows[kit['name']]), default=0):,.0f} psi",
                "rows": rows[kit["name"]],
            }
        )
    return found


def _pull_row(plan: dict, pull: dict, each: dict) -> dict:
    bars, at = plan["given"]["bars"], each["bar_index"]
    beside = [other["bar_index"] for other in pull["bars"] if other is not each]
    near = [place for place in (at - 1, at + 1) if 0 <= place < len(bars) and place not in beside]
    return {
        "pull": str(pull["number"]),
        "pass": str(pull["pass_number"]),
        "bar": bars[at]["name"],
        "together": "with " + ", ".join(bars[place]["name"] for place in beside) if beside else "",
        "gauge": f"{each['gauge_psi']:,.0f}",
        "gauge_number": each["gauge_psi"],
        "force": f"{each['set_lb']:,.0f}",
        "elongation": f"{each['elongation_in']:.2f}",
        "after": f"{each['locked_lb']:,.0f}",
        "near": "; ".join(f"{bars[place]['name']}: {pull['after_lb'][place] / 1000:.1f}" for place in near),
    }
