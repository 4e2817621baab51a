"""A field day is made, changed, taken off the plan; a leader who may not lead needs a named person's word."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inspections.models import FieldDay
from inspections.queries.field_days import leader_refusals, leads_elsewhere
from inspections.rules.clocks.terms import count
from inspections.rules.clocks.terms import day as day_words
from inspections.rules.field_days import day_fault, past_fault
from inspections.rules.refusals import Refused
from inventory.actions.tell import tell_event
from inventory.models import Agency, Person
from inventory.queries.qualifications import possible_leaders
from inventory.vocabulary.roles import Permit

from .lock import day_of, lock_row, require_agency_permit

ASK_WORD = (
    "Choose another leader or another day, or write why this one leads all the same: the reason is kept with your name."
)


@dataclass(frozen=True, kw_only=True)
class DayWanted:
    """A day as a person asks for it; `override_reason` is why a leader who may not lead does so all the same."""

    on: date
    leader: Person | None = None
    team: str = ""
    note: str = ""
    override_reason: str = ""


@transaction.atomic
def make_field_day(
    *, agency: Agency, wanted: DayWanted, by: Person, at: datetime, kinds: Collection[str] = ()
) -> FieldDay:
    """A new day without stops yet; `kinds` of inspection are those its leader must be good for."""
    require_agency_permit(by, agency, Permit.PLAN_FIELD)
    Agency.objects.select_for_update().get(pk=agency.pk)
    _check(agency, wanted, None, at)
    day = FieldDay(agency=agency, made_by=by, made_at=at)
    _fill(day, wanted)
    set_word(day, kinds, wanted.override_reason, by=by)
    day.save()
    _tell(day, "plan_field_day", f"Field day planned: {_in_words(day)}.", by, at)
    tell_word(day, kinds, by, at)
    return day


@transaction.atomic
def change_field_day(*, day: FieldDay, revision: int, wanted: DayWanted, by: Person, at: datetime) -> FieldDay:
    """Another date, leader, team or note. A word given for one leader on one date does not carry to another."""
    require_agency_permit(by, day.agency, Permit.PLAN_FIELD)
    Agency.objects.select_for_update().get(pk=day.agency_id)
    day = lock_open_day(day, revision, at)
    _check(day.agency, wanted, day, at)
    before, had_word = _in_words(day), day.override_by_id
    is_other = (day.leader_id, day.on) != (wanted.leader.pk if wanted.leader else None, wanted.on)
    if is_other:
        day.override_by, day.override_reason = None, ""
    _fill(day, wanted)
    kinds = list(day.stops.values_list("kind", flat=True))
    set_word(day, kinds, wanted.override_reason, by=by)
    day.revision += 1
    day.save()
    _tell(day, "change_field_day", f"Field day changed: {before}; now {_in_words(day)}.", by, at)
    if day.override_by_id and (is_other or not had_word):
        tell_word(day, kinds, by, at)
    return day


@transaction.atomic
def remove_field_day(*, day: FieldDay, revision: int, by: Person, at: datetime) -> int:
    """Take a day off the plan; what stood on it is owed as before. Returns how many stops it had."""
    require_agency_permit(by, day.agency, Permit.PLAN_FIELD)
    day = lock_open_day(day, revision, at)
    stops = day.stops.count()
    words = _in_words(day)
    _tell(day, "remove_field_day", f"Field day taken off the plan: {words}, {count(stops, 'stop')}.", by, at)
    day.delete()
    return stops


def lock_open_day(day: FieldDay, revision: int | None, at: datetime) -> FieldDay:
    """The day, held; refused where somebody changed it in between, or where it is past."""
    fresh = lock_row(day, revision, "this field day")
    if sentence := past_fault(fresh.on, today=day_of(at)):
        raise Refused(sentence)
    return fresh


def set_word(day: FieldDay, kinds: Iterable[str], reason: str, *, by: Person) -> None:
    """Refuse a leader who may not lead these kinds on that day, unless a person's word stands or is given now."""
    refusals = leader_refusals(day.agency, day.leader, day.on, list(kinds) or ["routine"])
    if not refusals:
        day.override_by, day.override_reason = None, ""
    elif reason.strip():
        if reason.strip() != day.override_reason:
            day.override_by, day.override_reason = by, reason.strip()[:300]
    elif not day.override_by_id:
        raise Refused(*refusals, ASK_WORD)


def _check(agency: Agency, wanted: DayWanted, day: FieldDay | None, at: datetime) -> None:
    if fault := day_fault(wanted.on, today=day_of(at)):
        raise Refused(fault)
    if wanted.leader is None:
        return
    if not possible_leaders(agency).filter(pk=wanted.leader.pk).exists():
        raise Refused(f"{wanted.leader} does not enter inspections for {agency}: choose one of the people listed.")
    if leads_elsewhere(wanted.leader, wanted.on, but=day):
        raise Refused(
            f"{wanted.leader} leads another team on {day_words(wanted.on)} already: put the stops on that day, or "
            "choose another leader."
        )


def _fill(day: FieldDay, wanted: DayWanted) -> None:
    day.on, day.leader = wanted.on, wanted.leader
    day.team, day.note = wanted.team.strip()[:160], wanted.note.strip()[:300]


def _in_words(day: FieldDay) -> str:
    who = f"led by {day.leader}" if day.leader else "no leader named yet"
    return f"{day_words(day.on)}, {who}" + (f", with {day.team}" if day.team else "")


def _tell(day: FieldDay, verb: str, sentence: str, by: Person, at: datetime) -> None:
    tell_event(verb=verb, sentence=sentence, at=at, by=by, agency=day.agency, detail={"field_day": day.pk})


def tell_word(day: FieldDay, kinds: Iterable[str], by: Person, at: datetime) -> None:
    """The word given for a leader is an event of its own."""
    if day.override_by_id is None:
        return
    against = " ".join(leader_refusals(day.agency, day.leader, day.on, list(kinds) or ["routine"]))
    sentence = f"{day.leader} leads on {day_words(day.on)} all the same, by {day.override_by}: {day.override_reason}"
    tell_event(
        verb="override_leader", sentence=sentence, at=at, by=by, agency=day.agency,
        detail={"field_day": day.pk, "leader": day.leader_id, "against": against},
    )  # fmt: skip
