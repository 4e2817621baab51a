"""A log for the supervisor: planned against done pass by pass, what was learned, how the day ended; its last page."""

from datetime import date

from inspections.assembly.stressing_log import DayLog, day_log, entries_for_rules, pressure_after
from inspections.assembly.stressing_logged import (
    PassOfRow,
    done_passes,
    losses_beside,
    planned_passes,
    released_plan,
)
from inspections.drawings.plan_passes import PassBar, PassesChart, PassPanel, pass_panels
from inspections.models import StressingDay
from inspections.queries.stressing_log import all_entries_of
from inspections.rules.stressing.finishing import unaccounted
from inspections.rules.stressing.reopening import FLOOR_PSI
from inspections.vocabulary.states import PullState


def logged_page(day: StressingDay, on: date) -> dict:
    """Everything the finished log shows."""
    plan, done = released_plan(day), done_passes(day)
    span_ft = max([day.system.span.length_ft if day.system else 0.0, *(bar.station_in / 12 for bar in plan.given.bars)])
    planned = planned_passes(plan)
    planned_title, done_title = f"As released: {_passes(planned)}", f"As done: {_passes(done)}"
    bar, losses = losses_beside(day)
    return {
        "planned_title": planned_title,
        "planned_drawing": _drawing(planned, span_ft, planned_title, f"planned-{day.pk}"),
        "done_title": done_title,
        "done_drawing": _drawing(done, span_ft, done_title, f"done-{day.pk}") if done else "",
        "pairs": _pairs(planned, done),
        "loss_bar": bar,
        "losses": losses,
        "learned": [{"why": each["why"], "sentences": each["sentences"]} for each in day.learned],
        "entries": _entries(day),
        "final": _final(day),
        "pressure": pressure_after(day, on) if day.final and day.system else None,
        "floor_psi": FLOOR_PSI,
        "jacks": plan.given.jacks,
    }


def _passes(passes: tuple[PassOfRow, ...]) -> str:
    return f"{len(passes)} pass{'' if len(passes) == 1 else 'es'}"


def _drawing(passes: tuple[PassOfRow, ...], span_ft: float, title: str, key: str) -> str:
    panels = tuple(
        PassPanel(
            number=each.number,
            bars=tuple(
                PassBar(
                    name=bar.name,
                    station_ft=bar.station_ft,
                    before_lb=bar.before_lb,
                    after_lb=bar.after_lb,
                    target_lb=bar.target_lb,
                    limit_lb=bar.limit_lb,
                    pulls=bar.pulls,
                    is_planned=bar.is_planned,
                )
                for bar in each.bars
            ),
        )
        for each in passes
    )
    return pass_panels(PassesChart(title=title, span_ft=span_ft, panels=panels), key=key)


def _pairs(planned: tuple[PassOfRow, ...], done: tuple[PassOfRow, ...]) -> list[dict]:
    """Pass by pass, bar by bar: the plan's force after the pass beside what is known to have stood."""
    by_number = {each.number: each for each in planned}
    numbers = sorted({each.number for each in (*planned, *done)})
    made = {each.number: each for each in done}
    found = []
    for number in numbers:
        plan, seen = by_number.get(number), made.get(number)
        rows = []
        for index, bar in enumerate((plan or seen).bars):
            after = seen.bars[index].after_lb if seen else None
            rows.append(
                {
                    "name": bar.name,
                    "target_lb": bar.target_lb,
                    "plan_lb": plan.bars[index].after_lb if plan else None,
                    "done_lb": after,
                    "pct": None if after is None or bar.target_lb <= 0 else 100.0 * after / bar.target_lb,
                    "is_stopped": bool(seen and seen.bars[index].is_stopped),
                }
            )
        found.append({"number": number, "rows": rows})
    return found


def _entries(day: StressingDay) -> list[dict]:
    names = [bar["name"] for bar in day.plan["given"]["bars"]]
    return [
        {
            "entry": entry,
            "bar": names[entry.bar_index],
            "is_back": entry.state == PullState.TAKEN_BACK,
            "beside": [row | {"name": names[row["bar_index"]]} for row in entry.neighbours],
        }
        for entry in all_entries_of(day)
    ]


def _final(day: StressingDay) -> list[dict]:
    bars = day.plan["given"]["bars"]
    return [
        row | {"name": bar["name"], "target_lb": bar["target_lb"], "station_ft": bar["station_in"] / 12.0}
        for bar, row in zip(bars, day.final, strict=False)
    ]


def finish_page(day: StressingDay) -> tuple[DayLog, list[tuple[int, str]], tuple[str, ...]]:
    """The log, (index, name) of every bar to be read, and what is still open if nothing more were read."""
    log = day_log(day)
    names = [(index, bar.name) for index, bar in enumerate(log.plan.given.bars)]
    return log, names, unaccounted(log.plan, entries_for_rules(log.entries), {})
