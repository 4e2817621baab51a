"""What a plan rests on, as digests: told stale where bars, readings, jacks or sizes have changed since.

A sheet that was released is stopped by less: a bar of the plan set aside, a jack retired or changed. The rest is told.
"""

import hashlib
import json
from collections.abc import Sequence
from datetime import date

from inspections.models import Finding, StressingDay
from inspections.queries.bars import bars_set_aside
from inspections.queries.inspections import RECEIVED
from inspections.queries.stressing import PULLED, bars_of_row
from inspections.vocabulary.findings import FindingKind
from inventory.models import Jack, MemberGroup, StressingSystem
from inventory.queries.bars import bar_policy_of
from inventory.rules.calibration import calibration_on

from .stored_plan import plan_faults

CHANGED = {
    "bars": "the bars changed (one set aside, released, moved, added or taken away)",
    "readings": "bar forces were read, or the bars were pulled",
    "jacks": "a jack or its calibration changed",
    "sizes": "the record of the span, its wood or the county's bar policy changed",
}
SAME = 1e-6
"""Relative difference below which two numbers on record are the same."""
JACK_FIELDS = ("ram_area_in2", "efficiency", "capacity_lb", "gauge_division_psi", "gauge_most_psi", "gauge_serial",
               "calibrated_on", "calibration_months", "retired_on")  # fmt: skip


def rests_on(*, system: StressingSystem, level: str, jack_ids: Sequence[int]) -> dict[str, str]:
    """Digests by what they are of; the same record gives the same digests on any day."""
    bars = bars_of_row(system, level)
    aside = bars_set_aside(system)
    span = system.span
    structure = span.structure
    works = structure.works.filter(kind__in=PULLED).order_by("pk").values_list("pk", "done_on")
    reads = Finding.objects.filter(
        bar__in=bars, inspection__state__in=RECEIVED, kind__in=(FindingKind.BAR_FORCE, FindingKind.BROKEN)
    ).order_by("pk")
    members = MemberGroup.objects.filter(span=span).order_by("pk")
    sizes = [
        [getattr(system, field.attname) for field in system._meta.concrete_fields],
        [span.length_ft, span.wet_service, structure.deck_width_ft],
        list(members.values_list()),
        bar_policy_of(structure.agency).revision,
    ]
    return {
        "bars": _digest([[bar.pk, bar.number, bar.station_ft, aside.get(bar.pk, "")] for bar in bars]),
        "readings": _digest(
            [list(reads.values_list("pk", "bar", "force_lb", "force_method", "inspection__field_completed_on")),
             list(works)]
        ),
        "jacks": _digest(_jack_values(jack_ids)),
        "sizes": _digest(sizes),
    }  # fmt: skip


def _jack_values(jack_ids: Sequence[int]) -> list:
    held = {jack.pk: jack for jack in Jack.objects.filter(pk__in=jack_ids)}
    return [[pk, *(getattr(held.get(pk), name, None) for name in JACK_FIELDS)] for pk in jack_ids]


def _digest(value) -> str:
    text = json.dumps(value, sort_keys=True, default=str, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def changes_since(day: StressingDay) -> tuple[str, ...]:
    """What changed on record since the plan was made, in words; empty where it still rests on the same."""
    if day.system is None:
        return ("the bars were taken off the record",)
    now = rests_on(system=day.system, level=day.level, jack_ids=day.jack_ids)
    return tuple(words for name, words in CHANGED.items() if now[name] != day.rests_on.get(name))


def sheet_faults(day: StressingDay, as_of: date) -> tuple[str, ...]:
    """Why the sheet must not be used as it stands, each a sentence; empty where nothing forbids it.

    A bar of the plan set aside since, a bar or jack no longer on record, bars or a jack weaker on record than in the
    plan, a jack retired or its gauge or ram changed, so that the pressures printed are no longer right; a plan this
    version cannot read.
    """
    if day.system is None:
        return ("The bars of this plan were taken off the record: nothing of it may be pulled.",)
    if unreadable := plan_faults(day):
        return unreadable
    told, aside = [], bars_set_aside(day.system)
    known = {bar.pk for bar in bars_of_row(day.system, day.level)}
    for pk, bar in zip(day.bar_ids, day.plan["given"]["bars"], strict=True):
        if not bar["is_planned"]:
            continue
        if pk not in known:
            told.append(f"Bar {bar['name']} is no longer on record: the engineer must plan again.")
        elif pk in aside:
            told.append(f"Bar {bar['name']} is not jacked: {aside[pk]}. The engineer releases the bar, or plans again.")
    told += _weaker_bars(day)
    return (*told, *_jack_faults(day, as_of))


def _weaker_bars(day: StressingDay) -> list[str]:
    """The bars are smaller or of a lesser strength on record than the plan took them to be: its limit is too high."""
    tensile_lb = day.system.bar_area_in2 * day.system.fpu_ksi * 1000.0
    planned = [bar["net_area_in2"] * bar["tensile_psi"] for bar in day.plan["given"]["bars"] if bar["is_planned"]]
    if tensile_lb >= max(planned, default=0.0) * (1.0 - SAME):
        return []
    return ["The bars on record are weaker than this plan took them to be, so its pulls may be too great: plan again."]


def _is_lower(now: float | None, then: float | None) -> bool:
    """A limit that came on record since, or is lower than it was."""
    return now is not None and (then is None or now < then * (1.0 - SAME))


def _jack_faults(day: StressingDay, as_of: date) -> list[str]:
    told, held = [], {jack.pk: jack for jack in Jack.objects.filter(pk__in=day.jack_ids)}
    for pk, kit in zip(day.jack_ids, day.plan["given"]["jacks"], strict=True):
        jack = held.get(pk)
        if jack is None or (jack.retired_on is not None and jack.retired_on <= as_of):
            told.append(f"{kit['name']} is retired: its pressures may not be used; plan again with another jack.")
        elif any(getattr(jack, name) != kit[name] for name in ("ram_area_in2", "efficiency", "gauge_division_psi")):
            told.append(
                f"{jack}: its ram area, efficiency or gauge changed since the plan was made, so the gauge pressures of "
                "this sheet are no longer right; plan again."
            )
        elif any(_is_lower(getattr(jack, name), kit[name]) for name in ("capacity_lb", "gauge_most_psi")):
            told.append(
                f"{jack}: its rating or the scale of its gauge is lower on record than when the plan was made; plan "
                "again."
            )
    return told


def calibration_faults(day: StressingDay, as_of: date) -> tuple[str, ...]:
    """A calibration that has expired since the sheet was released without a word about it."""
    if day.release_note.strip():
        return ()
    return tuple(
        f"{name}: {words}. The engineer released this sheet without a reason for that: have jack and gauge calibrated "
        "and enter it under Jacks, or plan and release again."
        for name, words, warns in calibrations(day, as_of)
        if warns
    )


def calibrations(day: StressingDay, as_of: date) -> list[tuple[str, str, bool]]:
    """(jack, calibration in words, whether it warns) for each jack of the plan, on a day."""
    held = {jack.pk: jack for jack in Jack.objects.filter(pk__in=day.jack_ids)}
    found = []
    for pk, kit in zip(day.jack_ids, day.plan["given"]["jacks"], strict=True):
        jack = held.get(pk)
        if jack is None:
            found.append((kit["name"], "no longer on record", True))
            continue
        state = calibration_on(as_of=as_of, calibrated_on=jack.calibrated_on, months=jack.calibration_months)
        gauge = f", gauge {jack.gauge_serial}" if jack.gauge_serial else ", gauge not on record"
        found.append((f"{jack}{gauge}", state.words, state.warns))
    return found
