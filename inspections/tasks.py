"""What the worker does: each task takes ids, calls one action, and may be lost, repeated or run twice at once.

The rows are the queue. A view nudges after its commit; the sweeps find whatever a nudge missed.
"""

import logging
from datetime import datetime, timedelta

from celery import shared_task
from django.db import transaction
from django.utils import timezone

from inspections.actions.critical import warn_of_clocks
from inspections.actions.field.photo_places import link_arrived
from inspections.actions.field.photos import finish_photo
from inspections.actions.field.photos_left import give_up_photo
from inspections.actions.field.receive_record import file_receipt
from inspections.actions.forecast import BATCH, forecast_bars, pool_bars
from inspections.actions.rate import owe_for_this_kernel, owe_rating, settle_owed_rating
from inspections.actions.recalculate import work_on_recalculation
from inspections.actions.remind import refresh_reminders
from inspections.actions.stressing.hold import hold_where_the_record_forbids
from inspections.queries.field_received import places_missed, receipts_left, uploads_given_up, uploads_whole
from inspections.queries.forecasts import agencies_to_pool, agencies_with_bars, structures_to_forecast
from inspections.queries.ratings import (
    owed_ratings,
    structures_ahead,
    structures_never_seen,
    structures_rated_otherwise,
    structures_with_expired_readings,
)
from inspections.queries.recalculations import recalculations_left
from inspections.queries.reminders import structures_with_clocks
from inventory.actions.rating_settings import see_vehicles_in_use
from inventory.queries.rating import agencies_with_vehicles

log = logging.getLogger(__name__)

LINES_AT_ONCE = 20
"""Ratings computed again in one message: a few seconds, so that what is owed never waits long behind a whole county."""
LEFT_AFTER = timedelta(minutes=5)
MISSED_WITHIN = timedelta(days=2)
BEGUN_AND_LEFT = timedelta(days=30)
"""A photograph of which nothing came for so long is swept with an event; the device still has it."""


@shared_task(name="inspections.settle_rating")
def settle_rating(owed_id: int) -> None:
    """Settle one rating owed (a row settled already is left alone); the structure's dates follow at once."""
    now = timezone.now()
    owed = settle_owed_rating(owed_id=owed_id, at=now)
    if owed is not None:
        refresh_reminders(structure_ids=[owed.structure_id], as_of=timezone.localdate(now), at=now)


@shared_task(name="inspections.sweep_owed_ratings")
def sweep_owed_ratings() -> int:
    """Owe what has come to be owed, then settle every row still owed; returns how many rows were tried."""
    now = timezone.now()
    _owe_what_changed(now)
    tried = 0
    for owed_id in list(owed_ratings().values_list("pk", flat=True)):
        settle_owed_rating(owed_id=owed_id, at=now)
        tried += 1
    return tried


@shared_task(name="inspections.forecast_bars")
def forecast_bars_of(structure_ids: list[int]) -> None:
    """Forecasts of a batch of structures; their dates follow at once."""
    now = timezone.now()
    forecast_bars(structure_ids=structure_ids, at=now)
    refresh_reminders(structure_ids=structure_ids, as_of=timezone.localdate(now), at=now)


@shared_task(name="inspections.sweep_forecasts")
def sweep_forecasts() -> int:
    """The night's run, in two stages: pool each agency's rows once a day or under a changed policy, then have every
    structure not forecast today looked at, a batch to a message. Returns how many structures wait."""
    now = timezone.now()
    today = timezone.localdate(now)
    for agency in agencies_to_pool(today):
        pool_bars(agency=agency, at=now)
    waiting = 0
    for agency in agencies_with_bars():
        ids = structures_to_forecast(agency, today)
        waiting += len(ids)
        for start in range(0, len(ids), BATCH):
            _tell_worker(forecast_bars_of, ids[start : start + BATCH])
    return waiting


@shared_task(name="inspections.recalculate")
def recalculate(recalculation_id: int) -> None:
    """A part of a recalculation; the rest is a message of its own, behind whatever else waits."""
    if work_on_recalculation(recalculation_id=recalculation_id, at=timezone.now(), most=LINES_AT_ONCE):
        _tell_worker(recalculate, recalculation_id)


@shared_task(name="inspections.sweep_recalculations")
def sweep_recalculations() -> int:
    """Take up every recalculation whose message was lost; returns how many there were."""
    left = recalculations_left(timezone.now() - LEFT_AFTER)
    for recalculation_id in left:
        _tell_worker(recalculate, recalculation_id)
    return len(left)


@shared_task(name="inspections.sweep_reminders")
def sweep_reminders() -> int:
    """Refresh the reminders of every structure with a clock; returns how many structures were looked at.

    Those who answer for critical findings are warned in the same run when the hours of one run out.
    """
    now = timezone.now()
    ids = list(structures_with_clocks().values_list("pk", flat=True))
    refresh_reminders(structure_ids=ids, as_of=timezone.localdate(now), at=now)
    warn_of_clocks(at=now)
    return len(ids)


@shared_task(name="inspections.hold_stressing_days")
def hold_stressing_days() -> int:
    """Hold every released sheet whose bars or jacks may no longer be used; returns how many were held."""
    return hold_where_the_record_forbids(at=timezone.now())


@shared_task(name="inspections.sweep_receipts")
def sweep_receipts() -> int:
    """File records whose filing was cut short, finish photographs that are whole, link those whose record came at the
    same moment, sweep those long given up.

    Returns how many rows were looked at.
    """
    now = timezone.now()
    left, whole = receipts_left(now - LEFT_AFTER), uploads_whole(now - LEFT_AFTER)
    given_up = uploads_given_up(now - BEGUN_AND_LEFT)
    for receipt_id in left:
        file_receipt(receipt_id=receipt_id, at=now)
    for upload_id in whole:
        finish_photo(upload_id=upload_id, at=now)
    for identity in (missed := places_missed(now - MISSED_WITHIN)):
        link_arrived(identity, now)
    for upload_id in given_up:
        give_up_photo(upload_id=upload_id, at=now)
    return len(left) + len(whole) + len(missed) + len(given_up)


@shared_task(name="inspections.refresh_dates")
def refresh_dates(structure_id: int) -> None:
    """One structure's reminders after somebody decided, confirmed or restricted something on it."""
    now = timezone.now()
    refresh_reminders(structure_ids=[structure_id], as_of=timezone.localdate(now), at=now)


def nudge_dates(structure_id: int) -> None:
    """After the commit, tell the worker that a structure's dates may have moved; the sweep finds what it missed."""
    transaction.on_commit(lambda: _tell_worker(refresh_dates, structure_id))


def nudge(owed_id: int) -> None:
    """After the commit, tell the worker that a rating is owed; where it cannot be told, the sweep finds the row."""
    transaction.on_commit(lambda: _tell_worker(settle_rating, owed_id))


def nudge_forecast(structure_id: int) -> None:
    """After the commit, tell the worker that a structure's bars were pulled or read; the sweep finds what it missed."""
    transaction.on_commit(lambda: _tell_worker(forecast_bars_of, [structure_id]))


def nudge_recalculation(recalculation_id: int) -> None:
    """After the commit, tell the worker that a recalculation was asked for; the sweep finds what it missed."""
    transaction.on_commit(lambda: _tell_worker(recalculate, recalculation_id))


def _tell_worker(task, key: int | list[int]) -> None:
    try:
        task.delay(key)
    except Exception as problem:
        log.warning("the worker was not told of %s %s (%s); the sweep will find it", task.name, key, problem)


def _owe_what_changed(now: datetime) -> None:
    owe_for_this_kernel(at=now)
    for agency in agencies_with_vehicles():
        see_vehicles_in_use(agency=agency, as_of=timezone.localdate(now))
    for structure in structures_rated_otherwise():
        owe_rating(structure=structure, cause=structure.agency.rating_settings.last_change, at=now)
    for structure in [*structures_ahead(), *structures_never_seen()]:
        owe_rating(structure=structure, cause="Members, bars or surfacing changed", at=now)
    for structure in structures_with_expired_readings(timezone.localdate(now)):
        owe_rating(structure=structure, cause="Bar readings went out of date", at=now)
