"""When the bars of many structures were pulled, what was left in them, and every force read, in fixed queries."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from inspections.models import Finding, StressingDay
from inspections.vocabulary.findings import Change, FindingKind, ForceMethod
from inspections.vocabulary.states import InspectionState, StressingState
from inventory.models import Structure, Work
from inventory.vocabulary.structures import WorkKind

from .inspections import RECEIVED

PULLS = (WorkKind.STRESSING.value, WorkKind.RETENSION.value)
STANDING_FORCE = (ForceMethod.LIFT_OFF.value, ForceMethod.LOAD_CELL.value)


@dataclass(frozen=True, kw_only=True)
class Pulled:
    """A day bars were pulled. A work that a stressing day wrote pulled only that day's bars; any other, all spans.

    `left_lb` the force left in each bar (by row id) by that day's end, `read` the bars where it was read.
    """

    on: date
    at_erection: bool
    system_id: int | None = None
    level: str | None = None
    left_lb: dict[int, float] = field(default_factory=dict)
    read: frozenset[int] = frozenset()

    def is_of(self, system_id: int, level: str | None = None) -> bool:
        """Whether it pulled bars of this system (and level, where one is asked for)."""
        return self.system_id in (None, system_id) and (level is None or self.level in (None, level))


@dataclass(frozen=True, kw_only=True)
class ForceSeen:
    """One finding about one bar: a force by lift-off or load cell, 0 where loose to the hand, broken or missing."""

    bar_id: int
    on: date
    force_lb: float
    method: str
    repeats: int = 1
    wood_temp_f: float | None = None
    moisture_pct: float | None = None
    is_broken: bool = False


def pulls_of(structure_ids: Iterable[int]) -> dict[int, list[Pulled]]:
    """Stressings and re-tensionings by structure, oldest first."""
    ids = list(structure_ids)
    days: dict[int, list[StressingDay]] = defaultdict(list)
    finished = StressingDay.objects.filter(
        structure__in=ids, state=StressingState.FINISHED.value, work__isnull=False
    ).only("pk", "work_id", "system_id", "level", "final")
    for row in finished.order_by("pk"):
        days[row.work_id].append(row)
    found: dict[int, list[Pulled]] = defaultdict(list)
    works = Work.objects.filter(structure__in=ids, kind__in=PULLS).order_by("done_on", "pk")
    for pk, structure_id, kind, on in works.values_list("pk", "structure_id", "kind", "done_on"):
        at_erection = kind == WorkKind.STRESSING
        found[structure_id] += [_of_day(on, at_erection, row) for row in days[pk]] or [
            Pulled(on=on, at_erection=at_erection)
        ]
    return found


def _of_day(on: date, at_erection: bool, row: StressingDay) -> Pulled:
    left = [line for line in row.final if line.get("force_lb") is not None]
    return Pulled(
        on=on,
        at_erection=at_erection,
        system_id=row.system_id,
        level=row.level,
        left_lb={line["bar"]: float(line["force_lb"]) for line in left},
        read=frozenset(line["bar"] for line in left if line.get("is_read")),
    )


def read_after_pull(pulls: Iterable[Pulled]) -> dict[tuple[int, date], float]:
    """Force, lb, by bar and day, read on the day of a stressing once its last pull was done."""
    return {(bar, pulled.on): pulled.left_lb[bar] for pulled in pulls for bar in pulled.read}


def forces_seen(structure_ids: Iterable[int]) -> dict[int, list[ForceSeen]]:
    """Every standing force read in inspections handed over, by structure; a gauge at lock-off is none.

    One sent back counts only where it is lower than what was firmly read before, or where nothing was, as in a rating.
    """
    found: dict[int, list[ForceSeen]] = defaultdict(list)
    firm_lb: dict[int, float] = {}
    rows = Finding.objects.filter(
        kind__in=(FindingKind.BAR_FORCE.value, FindingKind.BROKEN.value),
        bar__isnull=False,
        inspection__structure__in=list(structure_ids),
        inspection__state__in=RECEIVED,
        inspection__field_completed_on__isnull=False,
    )
    rows = rows.exclude(kind=FindingKind.BROKEN.value, change=Change.GONE.value)
    rows = rows.order_by("inspection__field_completed_on", "pk")
    columns = ("kind", "bar_id", "force_lb", "force_method", "repeats_lb", "wood_temp_f", "moisture_pct")
    for structure_id, on, state, kind, bar_id, force, method, repeats, temp, moisture in rows.values_list(
        "inspection__structure_id", "inspection__field_completed_on", "inspection__state", *columns
    ):
        broken = kind == FindingKind.BROKEN
        if broken or method == ForceMethod.HAND_LOOSE:
            seen = ForceSeen(bar_id=bar_id, on=on, force_lb=0.0, method=method, is_broken=broken)
        elif method in STANDING_FORCE and force is not None:
            seen = ForceSeen(
                bar_id=bar_id,
                on=on,
                force_lb=max(0.0, force),
                method=method,
                repeats=max(1, len(repeats or ())),
                wood_temp_f=temp,
                moisture_pct=moisture,
            )
        else:
            continue
        if state != InspectionState.SENT_BACK:
            firm_lb[bar_id] = seen.force_lb
        elif seen.force_lb >= firm_lb.get(bar_id, seen.force_lb + 1.0):
            continue
        found[structure_id].append(seen)
    return found


@dataclass(frozen=True, kw_only=True)
class LockedOff:
    """What the gauge showed when a nut was locked: no standing force."""

    bar_id: int
    on: date
    force_lb: float


def lock_offs_of(structure: Structure, as_of: date) -> list[LockedOff]:
    """Every gauge reading at lock-off on record by a day, oldest first."""
    rows = Finding.objects.filter(
        kind=FindingKind.BAR_FORCE.value,
        force_method=ForceMethod.LOCK_OFF.value,
        bar__isnull=False,
        force_lb__isnull=False,
        inspection__structure=structure,
        inspection__state__in=RECEIVED,
        inspection__field_completed_on__lte=as_of,
    ).order_by("inspection__field_completed_on", "pk")
    return [
        LockedOff(bar_id=bar_id, on=on, force_lb=force)
        for bar_id, on, force in rows.values_list("bar_id", "inspection__field_completed_on", "force_lb")
    ]
