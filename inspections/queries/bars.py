"""Which bars may not be jacked, and why."""

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from inspections.models import Finding
from inspections.rules.clocks.terms import day
from inspections.vocabulary.findings import Change, FindingKind
from inventory.models import Bar, Event, StressingSystem

from .inspections import RECEIVED

RELEASE_VERB = "release_bar"
DEFECTS = (FindingKind.BAR_DEFECT, FindingKind.BROKEN)


def bars_set_aside(system: StressingSystem) -> dict[int, str]:
    """Bar id to the sentence why it is not jacked: set aside in the register, or a defect found after its last release.

    A defect counts from the day it was seen until the engineer releases the bar by name: an inspection after it that
    does not speak of the bar releases nothing.
    """
    bars = list(Bar.objects.filter(system=system))
    released = _released_at(bars)
    aside = {bar.pk: _aside_words(bar) for bar in bars if not bar.is_usable}
    for finding in _defects(bars):
        if _is_later(finding, released.get(finding.bar_id)):
            aside.setdefault(finding.bar_id, _defect_words(finding))
    return aside


def defects_of(bar: Bar) -> list[str]:
    """Every defect found on a bar after its last release, newest first."""
    released = _released_at([bar]).get(bar.pk)
    return [_defect_words(finding) for finding in _defects([bar]) if _is_later(finding, released)]


def _defect_words(finding: Finding) -> str:
    label = FindingKind.label_of(finding.kind).lower()
    note = f": {finding.note}" if finding.note else ""
    return f"{label}, found {day(finding.inspection.field_completed_on)}{note}"


def _aside_words(bar: Bar) -> str:
    why = bar.set_aside_reason or "entered as not usable"
    return f"{why}, set aside {day(bar.set_aside_on)}" if bar.set_aside_on else why


def _defects(bars: Iterable[Bar]) -> list[Finding]:
    rows = Finding.objects.filter(bar__in=bars, kind__in=DEFECTS, inspection__state__in=RECEIVED)
    # "Repaired or gone" is no new defect; it releases nothing either: that is the engineer's word.
    rows = rows.exclude(change=Change.GONE.value)
    return list(rows.select_related("inspection").order_by("-inspection__field_completed_on", "-id"))


def _released_at(bars: Iterable[Bar]) -> dict[int, tuple[date, datetime]]:
    """Bar id to the day and moment of its last release; the moment is the event's, else the end of the day."""
    released = {bar.pk: bar.released_on for bar in bars if bar.released_on}
    events = Event.objects.filter(verb=RELEASE_VERB, detail__bar__in=list(released)).order_by("at", "id")
    moments = {event.detail["bar"]: event.at for event in events}
    return {pk: (on, moments.get(pk) or _end_of(on)) for pk, on in released.items()}


def _end_of(on: date) -> datetime:
    return timezone.make_aware(datetime.combine(on + timedelta(days=1), time.min))


def _is_later(finding: Finding, released: tuple[date, datetime] | None) -> bool:
    """Seen after the release, or seen before and handed in after it: the engineer cannot have known of it."""
    if released is None:
        return True
    on, at = released
    handed_in = finding.inspection.submitted_at
    return finding.inspection.field_completed_on > on or (handed_in is not None and handed_in > at)
