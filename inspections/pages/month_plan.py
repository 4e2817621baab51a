"""The month in the field: on the left what is due, in groups of near structures; on the right the days."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from inspections.models import FieldDay, Reminder
from inspections.queries.field_days import count_put_off, days_between, field_work_due, planned_on, stop_kinds
from inspections.rules.clocks import Lateness, lateness
from inspections.rules.field_days import neighbours
from inspections.rules.nearness import GROUP_RULE, Place, day_groups, length_mi, visiting_order
from inspections.vocabulary.findings import InspectionKind
from inventory.models import Agency

from .field_days import DayCard, day_card

MOST_LINES = 300  # more than a month's work of any county's teams; the due list holds the rest


@dataclass(frozen=True, kw_only=True)
class DueLine:
    """One thing owed in the field, as the plan shows it."""

    reminder: Reminder
    kind_words: str
    lateness: Lateness
    planned: FieldDay | None
    is_offered: bool

    @property
    def structure(self):
        return self.reminder.structure


@dataclass(kw_only=True)
class Group:
    """Near structures with what is owed on each."""

    number: int
    lines: list[DueLine] = field(default_factory=list)
    structures: int = 0
    way_mi: float = 0.0

    @property
    def members(self) -> str:
        """Ids of its reminders, as the button of the group sends them."""
        return ",".join(str(line.reminder.pk) for line in self.lines)

    @property
    def due_first(self) -> date:
        return min(line.reminder.due_on for line in self.lines)


def month_context(agency: Agency, first: date, last: date, *, today: date, per_day: int, near_mi: float) -> dict:
    """Everything the page of a month shows but its forms."""
    lines = due_lines(agency, last, today)
    is_cut, lines = len(lines) > MOST_LINES, lines[:MOST_LINES]
    open_lines = [line for line in lines if line.is_offered]
    groups, apart = grouped(open_lines, per_day=per_day, near_mi=near_mi)
    days: list[DayCard] = [day_card(day, today) for day in days_between(agency, first, last)]
    before, after = neighbours(first.year, first.month)
    return {
        "agency": agency,
        "first": first,
        "last": last,
        "before": before,
        "after": after,
        "groups": groups,
        "apart": apart,
        "planned": [line for line in lines if not line.is_offered],
        "open_count": len(open_lines),
        "late_count": sum(1 for line in open_lines if line.lateness.is_late),
        "cut_at": MOST_LINES if is_cut else 0,
        "put_off": count_put_off(agency, last),
        "days": days,
        "group_rule": GROUP_RULE,
    }


def due_lines(agency: Agency, last: date, today: date) -> list[DueLine]:
    """What is due by the end of the month; what stands on a day to come is not offered again."""
    rows = list(field_work_due(agency, last)[: MOST_LINES + 1])
    kinds = stop_kinds(rows)
    planned = planned_on(rows, kinds, today)
    return [_line(row, kinds[row.pk], planned.get(row.pk), today) for row in rows]


def grouped(lines: Iterable[DueLine], *, per_day: int, near_mi: float) -> tuple[list[Group], list[DueLine]]:
    """Groups by nearness, the one due first at the top; and the lines of structures that have no position."""
    by_structure: dict[int, list[DueLine]] = {}
    apart = []
    for line in lines:
        has_place = line.structure.lon_deg is not None and line.structure.lat_deg is not None
        if has_place:
            by_structure.setdefault(line.structure.pk, []).append(line)
        else:
            apart.append(line)
    places = {
        pk: Place(key=pk, lon_deg=found[0].structure.lon_deg, lat_deg=found[0].structure.lat_deg)
        for pk, found in by_structure.items()
    }
    groups = []
    for keys in day_groups(list(places.values()), size=per_day, most_mi=near_mi):
        order = visiting_order([places[pk] for pk in keys])
        group = Group(number=0, structures=len(order), way_mi=length_mi([places[pk] for pk in order]))
        group.lines = [line for pk in order for line in by_structure[pk]]
        groups.append(group)
    groups.sort(key=lambda group: (group.due_first, group.lines[0].structure.number))
    for number, group in enumerate(groups, start=1):
        group.number = number
    return groups, apart


def _line(row: Reminder, kind: str, planned: FieldDay | None, today: date) -> DueLine:
    return DueLine(
        reminder=row,
        kind_words=InspectionKind.label_of(kind),
        lateness=lateness(kind=row.kind, due_on=row.due_on, late_after=row.late_after, as_of=today),
        planned=planned,
        is_offered=planned is None or planned.on < today,
    )
