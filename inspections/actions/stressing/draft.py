"""Keep a plan tried as a draft: nobody pulls from it until an engineer releases it."""

from datetime import date, datetime

from django.db import transaction

from inspections.actions.lock import day_of, lock_row, lock_structure, require_move, require_permit
from inspections.models import StressingDay
from inspections.reckoning.stressing import Tried, try_plan
from inspections.rules import lifecycle
from inspections.rules.refusals import Refused, Stale
from inspections.rules.stressing.asked import DayAsked
from inspections.vocabulary.states import StressingState
from inventory.actions.tell import tell_event
from inventory.mechanics.rating import KERNEL_VERSION
from inventory.models import Person, StressingSystem, Structure
from inventory.vocabulary.roles import Permit


@transaction.atomic
def draft_stressing_day(
    *,
    structure: Structure,
    system: StressingSystem,
    level: str,
    asked: DayAsked,
    by: Person,
    at: datetime,
    seen: dict | None = None,
    replaces: StressingDay | None = None,
) -> StressingDay:
    """Plan the row now, from the record as it stands, and keep the plan as a draft.

    ``seen`` is what the preview rested on: where the record has changed since, the plan is refused as stale, so that
    nobody keeps a plan other than the one looked at. ``replaces`` is a draft of the same structure, withdrawn by this.
    Raises `Refused` with every reason, `Stale` for an old preview.
    """
    structure = lock_structure(structure.pk)
    permits = require_permit(by, structure, Permit.PLAN_STRESSING)
    if system.span.structure_id != structure.pk:
        raise Refused("These bars belong to another structure: open its own page and plan there.")
    tried = try_plan(system=system, level=level, asked=asked, as_of=day_of(at))
    if seen is not None and seen != tried.rests_on:
        raise Stale("The record changed after this plan was shown, so it was not kept. The plan below is made anew.")
    if tried.plan is None:
        raise Refused(*(sentence for _field, sentence in tried.faults))
    if replaces is not None:
        _replace(replaces, structure, permits, at)
    row = StressingDay(structure=structure, system=system, level=level, **_columns(tried, asked, by, at))
    row.save()
    words = (
        f"Stressing day drafted for span {row.span_index}: {asked.target_lb:,.0f} lb per bar ({asked.target_source})."
    )
    tell_event(
        verb="draft stressing day", sentence=words, at=at, by=by, structure=structure, detail={"stressing_day": row.pk}
    )
    return row


def _columns(tried: Tried, asked: DayAsked, by: Person, at: datetime) -> dict:
    given, plan = tried.assembled.given, tried.plan
    return {
        "span_index": tried.row.system.span.index,
        "state": StressingState.DRAFTED.value,
        "purpose": asked.purpose,
        "planned_for": date.fromisoformat(asked.planned_for) if asked.planned_for else None,
        "crew": asked.crew[:160],
        "note": asked.note[:400],
        "target_source": asked.target_source[:200],
        "asked": asked.as_dict(),
        "sources": [source.as_dict() for source in tried.assembled.sources],
        "rests_on": tried.rests_on,
        "given": given.as_dict(),
        "plan": plan.as_dict(),
        "bar_ids": [bar.pk for bar in tried.row.bars],
        "jack_ids": list(asked.jack_ids),
        "kernel_version": KERNEL_VERSION,
        "made_by": by,
        "made_at": at,
    }


def _replace(old: StressingDay, structure: Structure, permits: frozenset[Permit], at: datetime) -> None:
    row = lock_row(old, old.revision, "the draft that this replaces")
    if row.structure_id != structure.pk or row.state != StressingState.DRAFTED:
        raise Refused("Only a draft of this structure can be planned again: a released sheet is withdrawn first.")
    require_move(lifecycle.STRESSING, row.state, StressingState.WITHDRAWN, permits)
    row.state, row.revision = StressingState.WITHDRAWN.value, row.revision + 1
    row.held_reason = "Planned again: a newer draft stands instead."
    row.save()
