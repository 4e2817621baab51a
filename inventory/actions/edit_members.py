"""Enter, change and remove spans, members and bars: everything here bears on the rating."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from inventory.models import Bar, MemberGroup, Person, Span, StressingSystem, Structure
from inventory.queries.people import permits_of
from inventory.rules.refusals import Refused
from inventory.rules.sizes import member_faults, span_faults, stressing_faults
from inventory.vocabulary.roles import Permit

from .hold import finish_change, hold_structure


@transaction.atomic
def save_span(
    *, structure: Structure, stamp: str, fields: dict, by: Person, at: datetime, span: Span | None = None
) -> Span:
    """A new span, or new values of one."""
    held = hold_structure(structure.pk, by=by, permit=Permit.EDIT_STRUCTURE, stamp=stamp)
    if faults := span_faults(fields):
        raise Refused(faults)
    others = held.spans.exclude(pk=span.pk) if span else held.spans.all()
    if others.filter(index=fields["index"]).exists():
        raise Refused({"index": f"Span {fields['index']} is already entered. Open it, or give another number."})
    fresh = held.spans.get(pk=span.pk) if span else Span(structure=held)
    chosen = fields.get("distribution", fresh.distribution) != fresh.distribution
    if chosen and Permit.CHOOSE_DISTRIBUTION not in permits_of(by, held.agency):
        raise Refused({"distribution": "How wheel loads are shared is the engineer's choice: ask the engineer."})
    _set(fresh, fields)
    fresh.save()
    words = f"Span {fresh.index}, {fresh.length_ft:g} ft, {'changed' if span else 'entered'}"
    if chosen:
        words += f"; wheel loads shared: {fresh.get_distribution_display().lower()}"
    _finish(held, "save_span", words, by, at)
    return fresh


@transaction.atomic
def remove_span(*, span: Span, stamp: str, by: Person, at: datetime) -> None:
    """Take out a span entered in error, with its members and bars."""
    held = hold_structure(span.structure_id, by=by, permit=Permit.EDIT_STRUCTURE, stamp=stamp)
    index = span.index
    held.spans.filter(pk=span.pk).delete()
    _finish(held, "remove_span", f"Span {index} taken out of the register", by, at)


@transaction.atomic
def save_member(
    *, span: Span, stamp: str, fields: dict, by: Person, at: datetime, member: MemberGroup | None = None
) -> MemberGroup:
    """A new group of like members of a span, or new values of one."""
    held = hold_structure(span.structure_id, by=by, permit=Permit.EDIT_STRUCTURE, stamp=stamp)
    if faults := member_faults(fields, held.deck_width_ft):
        raise Refused(faults)
    fresh = span.members.get(pk=member.pk) if member else MemberGroup(span=span)
    _set(fresh, fields)
    fresh.save()
    _finish(held, "save_member", f"Span {span.index}: {fresh} {'changed' if member else 'entered'}", by, at)
    return fresh


@transaction.atomic
def remove_member(*, member: MemberGroup, stamp: str, by: Person, at: datetime) -> None:
    """Take out a group entered in error."""
    held = hold_structure(member.span.structure_id, by=by, permit=Permit.EDIT_STRUCTURE, stamp=stamp)
    words = f"Span {member.span.index}: {member} taken out of the register"
    MemberGroup.objects.filter(pk=member.pk).delete()
    _finish(held, "remove_member", words, by, at)


@transaction.atomic
def save_bars(*, span: Span, stamp: str, fields: dict, by: Person, at: datetime) -> StressingSystem:
    """The stressing system of a span and its bars, set out from the first station at the spacing.

    A bar keeps its row (and with it its readings): bars are moved and added here, never taken away. A bar that is
    gone is marked as not usable.
    """
    held = hold_structure(span.structure_id, by=by, permit=Permit.EDIT_STRUCTURE, stamp=stamp)
    faults = stressing_faults(fields, system=span.system, length_ft=span.length_ft)
    if faults:
        raise Refused(faults)
    values = dict(fields)
    count, first, level = values.pop("bar_count"), values.pop("first_station_ft"), values.pop("level")
    unusable = values.pop("unusable")
    system = StressingSystem.objects.filter(span=span).first() or StressingSystem(span=span)
    _set(system, values)
    system.save()
    standing = {bar.number: bar for bar in system.bars.filter(level=level)}
    if standing and count < max(standing):
        raise Refused(
            {
                "bar_count": f"{max(standing)} bars are on record and their readings hang on them: keep the count and "
                "list a bar that is gone as not usable."
            }
        )
    if beyond := sorted(number for number in unusable if number > count):
        raise Refused({"unusable": f"There is no bar {beyond[0]}: the bars are numbered 1 to {count}."})
    _refuse_release(standing, unusable)
    for number in range(1, count + 1):
        bar = standing.get(number) or Bar(system=system, number=number, level=level)
        bar.station_ft = first + (number - 1) * system.spacing_in / 12
        if number in unusable and bar.is_usable:
            bar.is_usable, bar.set_aside_on = False, timezone.localtime(at).date()
            bar.set_aside_reason = "listed as not usable when the bars were entered"
        bar.save()
    _finish(held, "save_bars", f"Span {span.index}: {count} {system} entered", by, at)
    return system


def _refuse_release(standing: dict[int, Bar], unusable: frozenset[int]) -> None:
    """A bar set aside comes back by the engineer's release only, never by leaving it off a list."""
    back = sorted(number for number, bar in standing.items() if not bar.is_usable and number not in unusable)
    if back:
        raise Refused(
            {
                "unusable": f"Bar {back[0]} is set aside: keep it in this list. The engineer releases it, with the "
                "reason, from the bars on the structure's page."
            }
        )


def _set(row, fields: dict) -> None:
    for name, value in fields.items():
        setattr(row, name, value)


def _finish(held: Structure, verb: str, words: str, by: Person, at: datetime) -> None:
    finish_change(held, verb=verb, sentence=words, by=by, at=at, bears_on_rating=True)
