"""Stressing days of the demonstration county: one finished with its log, one released for next week, one draft."""

from datetime import timedelta
from random import Random
from uuid import UUID

from inspections.actions.rate import settle_owed_rating
from inspections.actions.stressing.draft import draft_stressing_day
from inspections.actions.stressing.finish import finish
from inspections.actions.stressing.log_pull import log_pull
from inspections.actions.stressing.release import release_stressing_day
from inspections.actions.stressing.reopen import reopen
from inspections.actions.stressing.resume import resume
from inspections.assembly.stressing_log import day_log
from inspections.models import OwedRating, StressingDay
from inspections.rules.stressing.asked import DayAsked
from inspections.rules.stressing.order import slots_left
from inspections.rules.stressing.stops import PullSeen
from inventory.actions.bar_state import set_aside_bar
from inventory.actions.hold import stamp_of
from inventory.models import StressingSystem

from .bars import sampled

FINISHED = ("stress_laminated", 2012)
RELEASED = ("stress_laminated", 1996)
DRAFTED = ("stress_laminated_t", 1998)
READ_BEFORE = (FINISHED, RELEASED, DRAFTED)
SET_ASIDE = ("stress_laminated", 2000)
DAYS_AGO = 40
SOURCE = "design drawings, sheet 4"


def stressing_days(made, day, jacks, seed: int) -> None:
    """All three, and a bar set aside."""
    by_kind = {(item.plan.system, item.plan.year): item for item in made}
    _finished(by_kind[FINISHED], day, jacks, Random(f"{seed} stressing day"))
    _planned(by_kind[RELEASED], day, jacks, release=True)
    _planned(by_kind[DRAFTED], day, jacks, release=False)
    item = by_kind[SET_ASIDE]
    item.structure.refresh_from_db()
    set_aside_bar(
        bar=item.row.bars[2],
        stamp=stamp_of(item.structure),
        reason="Thread pitted under the nut on the left side, about a third of an inch long",
        by=day.people["crew"],
        at=day.at(day.today - timedelta(days=17)),
    )


def _system(item) -> StressingSystem:
    return StressingSystem.objects.select_related("span__structure__agency").get(span=item.row.span)


def _asked(item, on, jacks, **more) -> DayAsked:
    return DayAsked(
        target_lb=item.row.target_lb,
        target_source=SOURCE,
        planned_for=on.isoformat(),
        crew="Brandt, Tull",
        jack_ids=(jacks[0].pk,),
        **more,
    )


def _planned(item, day, jacks, *, release: bool) -> StressingDay:
    on = day.today + timedelta(days=7 if release else 21)
    at = day.at(day.today - timedelta(days=2), 9)
    row = draft_stressing_day(
        structure=item.structure,
        system=_system(item),
        level="mid",
        asked=_asked(item, on, jacks),
        by=day.people["supervisor"],
        at=at,
    )
    if release:
        row = release_stressing_day(
            day=row,
            revision=row.revision,
            note="Bars about midspan are slack: read their neighbours after each pull.",
            by=day.people["engineer"],
            at=day.at(day.today - timedelta(days=1), 11),
        )
    return row


def _finished(item, day, jacks, random: Random) -> None:
    """Pulled by the book: gauges within half a division, elongations within a few percent, every third bar read."""
    on = day.today - timedelta(days=DAYS_AGO)
    engineer, crew = day.people["engineer"], day.people["crew"]
    row = draft_stressing_day(
        structure=item.structure,
        system=_system(item),
        level="mid",
        asked=_asked(item, on, jacks),
        by=day.people["supervisor"],
        at=day.at(on - timedelta(days=9), 9),
    )
    row = release_stressing_day(
        day=row, revision=row.revision, note="", by=engineer, at=day.at(on - timedelta(days=6), 11)
    )
    minute = 0
    while True:
        row.refresh_from_db()
        if row.state == "held":
            resume(day=row, revision=row.revision, reason="Looked at on site: go on.", by=engineer, at=day.at(on, 12))
            row.refresh_from_db()
        log = day_log(row)
        left = slots_left(log.plan, {(entry.pull_number, entry.bar_index) for entry in log.entries})
        if not left:
            break
        minute += 6
        _pull(row, log, left[0], random, crew, day.at(on, 8) + timedelta(minutes=minute))
    _end(item, row, day, on, random)


def _pull(row: StressingDay, log, slot, random: Random, crew, at) -> None:
    pull = next(pull for pull in log.plan.pulls if pull.number == slot.pull_number)
    bar = next(each for each in pull.bars if each.bar_index == slot.bar_index)
    seen = PullSeen(
        gauge_psi=bar.gauge_psi,
        elongation_in=round(max(bar.elongation_in * random.gauss(1, 0.02), 0) * 32) / 32,
        note="wood chips cleaned from the plate" if slot.pull_number == 2 else "",
    )
    identity = UUID(int=random.getrandbits(128), version=4)
    log_pull(day=row, identity=identity, pull_number=slot.pull_number, bar_index=slot.bar_index, seen=seen, by=crew,
             at=at)  # fmt: skip


def _end(item, row: StressingDay, day, on, random: Random) -> None:
    numbers = sampled(item.row.bars)
    standing = day_log(row).standing_lb
    bars = {bar.pk: bar.number for bar in item.row.bars}
    readings = {
        index: round(standing[index] * random.gauss(1, 0.012), -2)
        for index, pk in enumerate(row.bar_ids)
        if bars[pk] in numbers
    }
    row = finish(
        day=row,
        revision=row.revision,
        readings=readings,
        method="lift_off",
        inspector=day.people["m.sorrel"],
        wood_temp_f=58.0,
        moisture_pct=17.0,
        by=day.people["supervisor"],
        at=day.at(on, 15),
    )
    reopen(day=row, revision=row.revision, by=day.people["supervisor"], at=day.at(on, 16))
    for owed in OwedRating.objects.filter(structure=item.structure, state="owed"):
        settle_owed_rating(owed_id=owed.pk, at=day.at(on, 17))
