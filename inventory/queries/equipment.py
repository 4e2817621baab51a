"""Jacks of a person's agencies, and every calibration on record of each."""

from collections.abc import Iterable
from datetime import date

from django.db.models import QuerySet

from inventory.models import Event, Jack, Person
from inventory.rules.calibration import Calibration, calibration_among, calibration_on

from .people import agencies_of

TELLING = ("add_jack", "edit_jack")


def jacks_for(person: Person) -> QuerySet[Jack]:
    """All jacks of the person's agencies, retired ones too."""
    return Jack.objects.filter(agency__in=agencies_of(person)).select_related("agency")


def calibrations_of(jacks: Iterable[Jack]) -> dict[int, list[tuple[date, int]]]:
    """Jack id to every calibration on record, (day, months it holds), the newest last.

    An entry that goes back in time corrects what was entered before it; one that goes on is a new calibration.
    """
    jacks = list(jacks)
    made: dict[int, list[tuple[date, int]]] = {jack.pk: [] for jack in jacks}
    events = Event.objects.filter(verb__in=TELLING, detail__jack__in=list(made)).order_by("at", "id")
    for detail in events.values_list("detail", flat=True):
        told = detail.get("calibration")
        _enter(made[detail["jack"]], (date.fromisoformat(told["on"]), told["months"]) if told else None)
    for jack in jacks:
        _enter(made[jack.pk], (jack.calibrated_on, jack.calibration_months) if jack.calibrated_on else None)
    return made


def _enter(found: list[tuple[date, int]], new: tuple[date, int] | None) -> None:
    if new is None:
        found.clear()
        return
    while found and found[-1][0] >= new[0]:
        found.pop()
    found.append(new)


def calibration_today(jack: Jack, as_of: date) -> Calibration:
    """The state of a jack as it stands on a day."""
    return calibration_on(as_of=as_of, calibrated_on=jack.calibrated_on, months=jack.calibration_months)


def calibrations_at(pairs: Iterable[tuple[Jack, date]]) -> dict[tuple[int, date], Calibration]:
    """(jack id, day) to the state on that day, for readings made then."""
    pairs = list(pairs)
    made = calibrations_of({jack.pk: jack for jack, _on in pairs}.values())
    return {(jack.pk, on): calibration_among(made[jack.pk], as_of=on) for jack, on in pairs}
