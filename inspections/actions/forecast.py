"""Forecasts of bar force are written: safe to run twice, at once from two workers, and to be killed in the middle.

Everything is computed from the rows before anything is locked; one transaction writes a batch with its events. A
forecast made by a later look at the rows is never replaced by an earlier one.
"""

import logging
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from math import floor

from django.db import transaction
from django.db.models import Q

from inspections.models import BarForecast, BarPool, OwedRating
from inspections.queries.forecasts import policy_revision, structures_with_bars
from inspections.reckoning.bar_pool import SummedPool
from inspections.reckoning.forecast_batch import COLUMNS, RowMade, joined_pools, made_forecasts, partial_pools
from inspections.rules.clocks import day
from inspections.rules.retension_date import moved_noticeably, rating_owed_why
from inspections.vocabulary.states import OwedState
from inventory.actions.tell import tell_event
from inventory.mechanics.rating import KERNEL_VERSION
from inventory.models import Agency, Standing, Structure
from inventory.vocabulary.structures import WITH_BARS

from .lock import day_of
from .owe import owe_rating
from .standing import refresh_standing

log = logging.getLogger(__name__)

BATCH = 100
"""Structures read and written at once."""


@dataclass(kw_only=True)
class Forecasted:
    """Rows of bars looked at and written, events told, ratings owed."""

    looked_at: int = 0
    written: int = 0
    told: int = 0
    owed: int = 0


def forecast_bars(*, structure_ids: Iterable[int], at: datetime) -> Forecasted:
    """Make the forecasts of some structures anew, or bring them to today; owe a rating where the lower edge fell."""
    total, ids = Forecasted(), sorted(set(structure_ids))
    for start in range(0, len(ids), BATCH):
        part = ids[start : start + BATCH]
        rows = made_forecasts(part, day_of(at))
        with transaction.atomic():
            _write(part, rows, at, total)
    return total


def forecast_beside(*, structure_id: int, at: datetime) -> None:
    """The forecast of a structure that is being rated; a failure is logged and never stands in the rating's way."""
    if not Structure.objects.filter(pk=structure_id, spans__system__in=WITH_BARS).exists():
        return
    try:
        forecast_bars(structure_ids=[structure_id], at=at)
    except Exception:
        log.exception("no forecast of bar force for structure %s", structure_id)


def pool_bars(*, agency: Agency, at: datetime) -> int:
    """First stage of a night: what the agency's rows of each kind say together; how many rows are in it."""
    ids = list(structures_with_bars(agency).values_list("pk", flat=True))
    # Read before the rows: a policy changed meanwhile is then seen by the next sweep.
    revision = policy_revision(agency)
    parts = (partial_pools(ids[start : start + BATCH], day_of(at)) for start in range(0, len(ids), BATCH))
    return keep_pools(revisions={agency.pk: revision}, pools=joined_pools(parts), at=at)


@transaction.atomic
def keep_pools(*, revisions: Mapping[int, int], pools: Mapping[tuple[int, str], SummedPool], at: datetime) -> int:
    """Write the pools of some agencies, each with the revision of the policy it was made under, in place of those they
    had; how many rows of bars are in them."""
    ids = list(revisions)
    list(Agency.objects.select_for_update().filter(pk__in=ids).order_by("pk").values_list("pk"))
    kinds = {kind for _agency_id, kind in pools}
    BarPool.objects.filter(agency__in=ids, made_at__lte=at).exclude(kind__in=kinds).delete()
    newer = set(BarPool.objects.filter(agency__in=ids, made_at__gt=at).values_list("agency_id", "kind"))
    BarPool.objects.bulk_create(
        [
            BarPool(
                agency_id=agency_id,
                kind=kind,
                made_on=day_of(at),
                made_at=at,
                rows=pool.total.rows,
                pool=pool.as_dict() | {"policy_revision": revisions[agency_id]},
            )
            for (agency_id, kind), pool in pools.items()
            if (agency_id, kind) not in newer
        ],
        update_conflicts=True,
        unique_fields=["agency", "kind"],
        update_fields=["made_on", "made_at", "rows", "pool"],
    )
    return sum(pool.total.rows for pool in pools.values())


def _write(ids: list[int], rows: list[RowMade], at: datetime, total: Forecasted) -> None:
    """Write a batch; the caller holds the transaction."""
    structures = {
        structure.pk: structure
        for structure in Structure.objects.select_for_update(no_key=True).filter(pk__in=ids).order_by("pk")
    }
    standing = {
        (row.system_id, row.level): row
        for row in BarForecast.objects.filter(structure__in=ids).defer("inputs", "results")
    }
    places = {(row.history.system_id, row.history.level) for row in rows}
    gone = [row.pk for place, row in standing.items() if place not in places and row.made_at <= at]
    BarForecast.objects.filter(pk__in=gone).delete()
    write, same = [], []
    for row in rows:
        before = standing.get((row.history.system_id, row.history.level))
        if before is not None and before.made_at > at:
            continue
        if before is not None and before.made_on == day_of(at) and row.changes_nothing:
            same.append(before.pk)
        else:
            write.append((row, before))
    # Looked at now, so that the sweep need not look again.
    BarForecast.objects.filter(pk__in=same).update(made_at=at)
    _upsert([row for row, _before in write], at)
    for row, before in write:
        total.told += _tell(structures[row.history.structure_id], row, before, at)
    total.looked_at += len(rows)
    total.written += len(write)
    total.owed += _owe_ratings(structures, rows, at)
    _refresh_standings(structures, write, day_of(at))


def _upsert(rows: list[RowMade], at: datetime) -> None:
    BarForecast.objects.bulk_create(
        [
            BarForecast(
                structure_id=row.history.structure_id,
                system_id=row.history.system_id,
                level=row.history.level,
                made_on=day_of(at),
                made_at=at,
                kernel_version=KERNEL_VERSION,
                digest=row.made.digest,
                inputs=row.made.inputs,
                results=row.made.results,
                **row.made.columns,
            )
            for row in rows
        ],
        update_conflicts=True,
        unique_fields=["system", "level"],
        update_fields=[
            "structure",
            "made_on",
            "made_at",
            "kernel_version",
            "digest",
            "inputs",
            "results",
            *COLUMNS,
        ],  # fmt: skip
    )


def _tell(structure: Structure, row: RowMade, before: BarForecast | None, at: datetime) -> int:
    """One event where the recommended date or the posting horizon came, went or moved by a month."""
    said = []
    for name, words in (("recommended_on", "re-tension by"), ("posting_horizon_on", "the posting would change on")):
        new, old = row.made.columns[name], getattr(before, name, None)
        if moved_noticeably(old, new):
            was = f" (before: {day(old)})" if old else ""
            said.append(f"{words} {day(new)}{was}" if new else f"{words} no date any more{was}")
    if not said:
        return 0
    sentence = f"Forecast of bar force, {row.history.label}: {'; '.join(said)}. {row.made.columns['recommended_why']}"
    detail = {"system": row.history.system_id, "level": row.history.level}
    tell_event(verb="forecast_bars", sentence=sentence, at=at, by=None, structure=structure, detail=detail)
    return 1


def _edges(rows: Iterable[RowMade]) -> dict[tuple[int, int], tuple[int, RowMade]]:
    """The weakest level's lower edge in whole psi, by structure and span."""
    found: dict[tuple[int, int], tuple[int, RowMade]] = {}
    for row in rows:
        lower = row.made.columns["lower_psi_today"]
        if lower is None:
            continue
        key, edge = (row.history.structure_id, row.history.span_index), max(0, floor(lower + 1e-9))
        if key not in found or edge < found[key][0]:
            found[key] = (edge, row)
    return found


def _owe_ratings(structures: dict[int, Structure], rows: list[RowMade], at: datetime) -> int:
    """Owe one rating a structure where the lower edge fell far enough below what was rated; none where one is owed."""
    causes: dict[int, str] = {}
    for (structure_id, span), (edge, row) in _edges(rows).items():
        why = rating_owed_why(
            span=str(span),
            rated_psi=row.known.rated_psi,
            edge_psi=edge,
            step_psi=row.rerate_step_psi,
            changes=row.known.changes,
        )
        if why:
            causes.setdefault(structure_id, why)
    waiting = set(
        OwedRating.objects.filter(structure__in=causes, state=OwedState.OWED).values_list("structure_id", flat=True)
    )
    for structure_id in sorted(set(causes) - waiting):
        owe_rating(structure=structures[structure_id], cause=causes[structure_id], at=at)
    return len(set(causes) - waiting)


def _refresh_standings(structures: dict[int, Structure], write: list, as_of: date) -> None:
    """Where the pressure counted moved by a whole psi, lists and page must say so before the next rating does."""
    moved = set()
    for row, before in write:
        new, old = row.made.columns["lower_psi_today"], getattr(before, "lower_psi_today", None)
        if new is not None and (old is None or floor(old) != floor(new)):
            moved.add(row.history.structure_id)
    known = Standing.objects.filter(structure__in=moved).filter(Q(least_pressure_psi__isnull=False))
    for structure_id in sorted(known.values_list("structure_id", flat=True)):
        refresh_standing(structure=structures[structure_id], as_of=as_of)
