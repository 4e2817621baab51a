"""Rows of bars with their stressings and readings, as the kernel's forecast takes them; many structures at once."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from inspections.queries.bar_history import ForceSeen, Pulled, forces_seen, pulls_of, read_after_pull
from inspections.rules.clocks import erection_started
from inspections.rules.frost import BEFORE, SAME_DAY, frost_reason
from inspections.vocabulary.findings import ForceMethod
from inventory.mechanics.bars.loss.terms import BarRow, ForceRead, LossPolicy, Stressed
from inventory.models import Bar, StressingSystem, Structure


@dataclass(frozen=True, kw_only=True)
class RowHistory:
    """One row of bars: the kernel's row, and whose it is. `bar_ids` and `numbers` in the order of the row."""

    structure_id: int
    agency_id: int
    system_id: int
    span_index: int
    level: str
    bar_ids: tuple[int, ...]
    numbers: tuple[int, ...]
    needed_psi: float | None
    row: BarRow

    @property
    def label(self) -> str:
        return self.row.label


def loss_histories(
    structures: Iterable[Structure], policies: dict[int, LossPolicy], as_of: date
) -> dict[int, list[RowHistory]]:
    """Every row of bars of the structures, by structure, as known on a day; `policies` by agency."""
    by_id = {structure.pk: structure for structure in structures}
    pulls, seen = pulls_of(by_id), forces_seen(by_id)
    bars: dict[tuple[int, str], list[Bar]] = defaultdict(list)
    for bar in Bar.objects.filter(system__span__structure__in=by_id).order_by("station_ft", "pk"):
        bars[bar.system_id, bar.level].append(bar)
    found: dict[int, list[RowHistory]] = {pk: [] for pk in by_id}
    systems = StressingSystem.objects.filter(span__structure__in=by_id).select_related("span")
    for system in systems.order_by("span__structure_id", "span__index"):
        structure = by_id[system.span.structure_id]
        own = [row for row in seen[structure.pk] if row.on <= as_of]
        for level in sorted(level for key, level in bars if key == system.pk):
            pulled = [one for one in pulls[structure.pk] if one.on <= as_of and one.is_of(system.pk, level)]
            found[structure.pk].append(
                _row(structure, system, level, bars[system.pk, level], pulled, own, policies[structure.agency_id])
            )
    return found


def _row(
    structure: Structure,
    system: StressingSystem,
    level: str,
    bars: list[Bar],
    pulls: list[Pulled],
    seen: list[ForceSeen],
    policy: LossPolicy,
) -> RowHistory:
    index = {bar.pk: place for place, bar in enumerate(bars)}
    start = erection_started(pulled.on for pulled in pulls if pulled.at_erection)
    standing = [pulled for pulled in pulls if start is None or pulled.on >= start]
    mine = [row for row in seen if row.bar_id in index and (start is None or row.on >= start)]
    words = "" if level == "mid" else f", {level} bars"
    row = BarRow(
        label=f"{structure.number}, span {system.span.index}{words}",
        kind=f"{system.span.system} {level}",
        stations_ft=tuple(bar.station_ft for bar in bars),
        # Bars may sit a little beyond the bearings; the deck they squeeze is at least as long as they reach.
        length_ft=max([system.span.length_ft, *(bar.station_ft for bar in bars)]),
        thickness_in=system.stressed_depth_in,
        target_lb=system.design_force_lb,
        stressed=tuple(_stressed(standing, mine, index, start)),
        readings=tuple(_readings(standing, mine, index, policy, start)),
    )
    return RowHistory(
        structure_id=structure.pk,
        agency_id=structure.agency_id,
        system_id=system.pk,
        span_index=system.span.index,
        level=level,
        bar_ids=tuple(index),
        numbers=tuple(bar.number for bar in bars),
        needed_psi=system.needed_pressure_psi,
        row=row,
    )


def _stressed(pulls: list[Pulled], seen: list[ForceSeen], index: dict[int, int], start: date | None):
    """One entry per day. Forces from the finished stressing day; at the first stressing, which found the bars slack,
    a standing force read the same day is what was left. A bar last found broken or missing was not made whole by a work
    that does not say so: it stays slack until it is read (`model`)."""
    for on in sorted({pulled.on for pulled in pulls}):
        left: dict[int, float] = {}
        if on == start:
            left |= {row.bar_id: row.force_lb for row in seen if row.on == on and row.force_lb > 0.0}
        for pulled in pulls:
            if pulled.on == on:
                left |= {bar: force for bar, force in pulled.left_lb.items() if bar in index}
        left |= {bar: 0.0 for bar in _broken(seen, on) if bar not in left}
        forces = tuple(left.get(bar) for bar in index) if left else ()
        yield Stressed(on_day=float(on.toordinal()), forces_lb=forces)


def _broken(seen: list[ForceSeen], on: date) -> set[int]:
    """Bars whose last word by a day is that they are broken or missing."""
    last: dict[int, ForceSeen] = {}
    for row in sorted((row for row in seen if row.on <= on), key=lambda row: (row.on, row.is_broken)):
        last[row.bar_id] = row
    return {bar for bar, row in last.items() if row.is_broken}


def _readings(
    pulls: list[Pulled], seen: list[ForceSeen], index: dict[int, int], policy: LossPolicy, start: date | None
) -> list[ForceRead]:
    """Readings of one bar on one day put together, in the order of days and bars."""
    groups: dict[tuple[date, int], list[ForceSeen]] = defaultdict(list)
    for row in seen:
        groups[row.on, row.bar_id].append(row)
    days = {pulled.on for pulled in pulls}
    after = read_after_pull(pulls)
    reads = []
    for (on, bar), rows in sorted(groups.items(), key=lambda item: (item[0][0], index[item[0][1]])):
        if (bar, on) in after or on == start:
            continue  # it stands already as what the stressing left
        force, repeats, reason = _together(rows, policy)
        if on in days:
            reason = SAME_DAY
        elif days and on < min(days):
            reason = reason or BEFORE
        reads.append(
            ForceRead(
                on_day=float(on.toordinal()), bar_index=index[bar], force_lb=force, repeats=repeats, left_out=reason
            )
        )
    return reads


def _together(rows: list[ForceSeen], policy: LossPolicy) -> tuple[float, int, str]:
    """Mean force, number of readings in it, and why it is left out of the fit.

    A bar found broken, missing or loose that day carries nothing: the kernel keeps it slack until it is pulled again,
    and takes no loss of the wood from it.
    """
    if any(row.is_broken or row.method == ForceMethod.HAND_LOOSE for row in rows):
        return 0.0, 1, ""
    reasons = [
        frost_reason(
            wood_temp_f=row.wood_temp_f,
            moisture_pct=row.moisture_pct,
            frost_below_f=policy.frost_below_f,
            wet_above_pct=policy.wet_above_pct,
        )
        for row in rows
    ]
    fit = [row for row, reason in zip(rows, reasons, strict=True) if not reason] or rows
    repeats = sum(row.repeats for row in fit)
    mean = sum(row.force_lb * row.repeats for row in fit) / repeats
    return mean, repeats, "" if not all(reasons) else reasons[0]
