"""Forecasts of many structures at once, in two stages: what each row adds to its kind's pool, then every forecast.

Both read rows in a fixed number of queries and save nothing; a run may be cut in pieces at any structure.
"""

from collections import defaultdict
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from inspections.assembly.bar_policy import loss_policy_of
from inspections.assembly.loss_history import RowHistory, loss_histories
from inspections.models import BarForecast
from inspections.queries.clock_facts import clock_facts
from inspections.queries.forecasts import pools_of
from inspections.queries.ratings import ratings_for_forecast, standing_rating_pks
from inspections.rules.clocks import Due, recorded_due
from inventory.models import BarPolicy, Structure
from inventory.vocabulary.structures import Status

from .bar_pool import Member, SummedPool, grid_key, summed
from .forecast import made_forecast, own_member
from .forecast_kept import Kept, Made, Owner, is_readable
from .known_of_rating import Known, known_of

COLUMNS = (
    "problem",
    "lower_psi_today",
    "middle_psi_today",
    "needed_psi",
    "chance_below_need_ratio",
    "need_reached_early_on",
    "need_reached_middle_on",
    "posting_psi",
    "posting_horizon_on",
    "posting_words",
    "recommended_on",
    "recommended_why",
)


@dataclass(frozen=True, kw_only=True)
class RowMade:
    """One row of bars with its forecast, the one kept so far (None: none this version can read), what the rating says,
    and the county's step."""

    history: RowHistory
    made: Made
    kept: BarForecast | None
    known: Known
    rerate_step_psi: float

    @property
    def changes_nothing(self) -> bool:
        """Whether the row kept says all this already."""
        return (
            self.kept is not None
            and self.kept.digest == self.made.digest
            and columns_of(self.kept) == (self.made.columns)
        )


def columns_of(row: BarForecast) -> dict:
    return {name: getattr(row, name) for name in COLUMNS}


def partial_pools(structure_ids: Iterable[int], as_of: date) -> dict[tuple[int, str], SummedPool]:
    """First stage: what the rows of some structures add to the pools, by agency and kind; parts add up by `joined`."""
    structures = _in_service(structure_ids)
    owners, _steps = _owners(structures)
    histories = loss_histories(structures, {pk: owner.loss for pk, owner in owners.items()}, as_of)
    kept = _kept(structures)
    found: dict[tuple[int, str], list[Member]] = defaultdict(list)
    for history in (row for rows in histories.values() for row in rows):
        row = kept.get((history.system_id, history.level))
        member = own_member(history, owners[history.agency_id], _as_kept(row))
        if member is not None:
            found[history.agency_id, history.row.kind].append(member)
    return {
        (agency_id, kind): SummedPool(kind=kind, grid_key=grid_key(owners[agency_id].loss), total=summed(members))
        for (agency_id, kind), members in found.items()
    }


def joined_pools(parts: Iterable[dict[tuple[int, str], SummedPool]]) -> dict[tuple[int, str], SummedPool]:
    """The parts of a run put together. A policy changed in the middle of it leaves the later policy's rows."""
    groups: dict[tuple[int, str], list[SummedPool]] = defaultdict(list)
    for part in parts:
        for key, pool in part.items():
            groups[key].append(pool)
    return {
        key: SummedPool(
            kind=pools[-1].kind,
            grid_key=pools[-1].grid_key,
            total=summed(pool.total for pool in pools if pool.grid_key == pools[-1].grid_key),
        )
        for key, pools in groups.items()
    }


def made_forecasts(structure_ids: Iterable[int], as_of: date) -> list[RowMade]:
    """Second stage: the forecast of every row of bars of the structures in service, from the pools kept."""
    structures = _in_service(structure_ids)
    owners, steps = _owners(structures)
    histories = loss_histories(structures, {pk: owner.loss for pk, owner in owners.items()}, as_of)
    kept, known = _kept(structures), _KnownOf(structures)
    pools = _pools(owners)
    recorded = _recorded(structures, as_of)
    found = []
    for history in (row for rows in histories.values() for row in rows):
        row = kept.get((history.system_id, history.level))
        before = _as_kept(row)
        says = known.of(history, before)
        made = made_forecast(
            history=history,
            owner=owners[history.agency_id],
            pool=pools.get((history.agency_id, history.row.kind)),
            known=says,
            recorded=recorded.get((history.structure_id, history.span_index, history.level)),
            kept=before,
            as_of=as_of,
        )
        step = steps[history.agency_id]
        found.append(
            RowMade(history=history, made=made, kept=row if before else None, known=says, rerate_step_psi=step)
        )
    return found


def _in_service(structure_ids: Iterable[int]) -> list[Structure]:
    rows = Structure.objects.filter(pk__in=list(structure_ids), status=Status.IN_SERVICE.value)
    return list(rows.select_related("agency").order_by("pk"))


def _owners(structures: list[Structure]) -> tuple[dict[int, Owner], dict[int, float]]:
    agencies = {structure.agency_id: structure.agency for structure in structures}
    policies = {row.agency_id: row for row in BarPolicy.objects.filter(agency__in=agencies)}
    owners, steps = {}, {}
    for pk, agency in agencies.items():
        policy = policies.get(pk) or BarPolicy(agency=agency)
        owners[pk] = Owner(
            loss=loss_policy_of(policy),
            retension_below_factor=policy.retension_below_factor,
            lead_days=policy.lead_days,
            revision=policy.revision,
        )
        steps[pk] = policy.rerate_step_psi
    return owners, steps


def _kept(structures: list[Structure]) -> dict[tuple[int, str], BarForecast]:
    rows = BarForecast.objects.filter(structure__in=structures)
    return {(row.system_id, row.level): row for row in rows}


def _pools(owners: Iterable[int]) -> dict[tuple[int, str], SummedPool]:
    """The pools kept, by agency and kind; one of another version lends nothing until it is made again."""
    found = {}
    for key, row in pools_of(owners).items():
        with suppress(KeyError, TypeError, ValueError):
            found[key] = SummedPool.from_dict(row.pool)
    return found


def _as_kept(row: BarForecast | None) -> Kept | None:
    if row is None or not is_readable(row.inputs, row.results):
        return None
    return Kept(digest=row.digest, inputs=row.inputs, results=row.results, columns=columns_of(row))


def _recorded(structures: list[Structure], as_of: date) -> dict[tuple[int, int, str], Due]:
    """The pull owed by readings or the schedule of erection, by structure, span and level."""
    found = {}
    for pk, (facts, _policy) in clock_facts([structure.pk for structure in structures]).items():
        for row in facts.bars:
            due = recorded_due(row, as_of)
            if due is not None:
                found[pk, row.span_index, row.level] = due
    return found


class _KnownOf:
    """What standing ratings say; a rating never changes, so what was read of it once is kept with the forecast."""

    def __init__(self, structures: list[Structure]):
        self._pks = standing_rating_pks([structure.pk for structure in structures])
        kept = BarForecast.objects.filter(structure__in=structures)
        read = dict(kept.order_by("pk").values_list("structure_id", "inputs__known__rating_id"))
        fresh = [pk for structure_id, pk in self._pks.items() if read.get(structure_id) != pk]
        self._ratings = ratings_for_forecast(fresh)

    def of(self, history: RowHistory, row: Kept | None) -> Known:
        pk = self._pks.get(history.structure_id)
        rating = self._ratings.get(pk)
        if rating is None and pk is not None and row is not None:
            kept = row.inputs.get("known") or {}
            if kept.get("rating_id") == pk:
                return self._with_need(Known.from_dict(kept), history)
        if rating is None and pk is not None:
            rating = self._ratings[pk] = ratings_for_forecast([pk])[pk]
        return known_of(rating=rating, span_index=history.span_index, needed_psi=history.needed_psi)

    @staticmethod
    def _with_need(known: Known, history: RowHistory) -> Known:
        """The record's need may have been changed since; the rating's comes before it."""
        if known.need_words == "the need worked out by the rating":
            return known
        need = known_of(rating=None, span_index=history.span_index, needed_psi=history.needed_psi)
        return Known(**(known.__dict__ | {"needed_psi": need.needed_psi, "need_words": need.need_words}))
