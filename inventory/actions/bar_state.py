"""A bar is set aside because it must not be jacked; only the engineer releases it, with the reason."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from inventory.models import Bar, Person, Structure
from inventory.rules.refusals import Refused
from inventory.vocabulary.roles import Permit

from .hold import finish_change, hold_structure

NEEDED_REASON = "Say what is wrong with it: pitted, bent, or not identified, and where."
NEEDED_RELEASE = "Say why it may be jacked again: who looked at it, what was measured or replaced."


@transaction.atomic
def set_aside_bar(*, bar: Bar, stamp: str, reason: str, by: Person, at: datetime) -> Bar:
    """Keep a bar out of every stressing plan from today, for the reason given."""
    held, fresh, words = _held(bar, stamp, Permit.RECORD_WORK, by)
    if not reason.strip():
        raise Refused({"set_aside_reason": NEEDED_REASON})
    if not fresh.is_usable:
        raise Refused(f"{words} is set aside already: {fresh.set_aside_reason or 'no reason on record'}.")
    fresh.is_usable = False
    fresh.set_aside_reason = reason.strip()
    fresh.set_aside_on = timezone.localtime(at).date()
    fresh.save()
    _finish(held, fresh, "set_aside_bar", f"{words} set aside, not to be jacked: {reason.strip()}", by, at)
    return fresh


@transaction.atomic
def release_bar(*, bar: Bar, stamp: str, reason: str, by: Person, at: datetime) -> Bar:
    """Let a bar be jacked again: what was set aside, and every defect found on it up to now, is answered by the reason.

    Allowed too for a bar never set aside in the register, because an inspector's finding sets it aside as well.
    """
    held, fresh, words = _held(bar, stamp, Permit.RELEASE_STRESSING, by)
    if not reason.strip():
        raise Refused({"release_reason": NEEDED_RELEASE})
    fresh.is_usable = True
    fresh.set_aside_reason = ""
    fresh.set_aside_on = None
    fresh.released_by = by
    fresh.released_on = timezone.localtime(at).date()
    fresh.release_reason = reason.strip()
    fresh.save()
    _finish(held, fresh, "release_bar", f"{words} released for jacking: {reason.strip()}", by, at)
    return fresh


def _held(bar: Bar, stamp: str, permit: Permit, by: Person) -> tuple[Structure, Bar, str]:
    structure = hold_structure(bar.system.span.structure_id, by=by, permit=permit, stamp=stamp)
    fresh = Bar.objects.select_for_update(of=("self",)).select_related("system__span").get(pk=bar.pk)
    return structure, fresh, f"Span {fresh.system.span.index}, {fresh}"


def _finish(held: Structure, bar: Bar, verb: str, sentence: str, by: Person, at: datetime) -> None:
    detail = {"bar": bar.pk}
    finish_change(held, verb=verb, sentence=sentence, by=by, at=at, bears_on_rating=False, detail=detail)
