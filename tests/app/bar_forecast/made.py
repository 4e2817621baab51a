"""A finished stressing day for tests, as the log leaves it; plan and input are not read here."""

from datetime import date, datetime

from inspections.models import StressingDay
from inventory.models import Bar, Structure, Work


def finished_day(
    structure: Structure,
    on: date,
    at: datetime,
    left: dict[int, tuple[float, bool]],
    level: str = "mid",
    kind="retension",
) -> StressingDay:
    """`left`: force (lb) left in each bar by its number, and whether it was read after the last pull."""
    bars = Bar.objects.filter(system__span__structure=structure, level=level)
    system = bars.first().system
    work = Work.objects.create(structure=structure, kind=kind, done_on=on, summary="Re-tensioned.")
    return StressingDay.objects.create(
        structure=structure, system=system, span_index=system.span.index, level=level, state="finished",
        target_source="design", given={}, plan={}, bar_ids=[bar.pk for bar in bars], kernel_version="test",
        made_at=at, released_at=at, finished_at=at, work=work,
        final=[
            {"bar": bar.pk, "force_lb": left[bar.number][0], "is_read": left[bar.number][1]}
            for bar in bars if bar.number in left
        ],
    )  # fmt: skip
