"""Structures with something owed, for the suites of reminders."""

from datetime import date, datetime

from django.utils import timezone

from inspections.models import Inspection
from inventory.models import Agency, Bar, StressingSystem, Structure, Treatment, Work
from tests.makers.county import make_stringer_bridge

ENTERED = datetime(2020, 1, 5, 18, tzinfo=timezone.get_fixed_timezone(0))


def enter(structure: Structure, on: datetime = ENTERED) -> Structure:
    """As if it stood in the register since `on`."""
    Structure.objects.filter(pk=structure.pk).update(created_at=on)
    structure.refresh_from_db()
    return structure


def inspect(structure: Structure, on: date, state: str = "accepted", kind: str = "routine", **fields) -> Inspection:
    return Inspection.objects.create(structure=structure, kind=kind, state=state, field_completed_on=on, **fields)


def make_late_bridge(agency: Agency, number: str = "Q-1", **fields) -> Structure:
    """Last routine inspection 3 May 2024, so due 3 May 2026 and, on 15 June 2026, 43 days late within tolerance; last
    treated 1 June 2025, so due 1 June 2030. Built in 2015, so that the county's in-depth clock of old bridges, 20 years
    and 5 more, is far off: 1 January 2040."""
    structure = enter(make_stringer_bridge(agency, number, **({"year_built": 2015} | fields)))
    inspect(structure, date(2024, 5, 3))
    Treatment.objects.create(
        structure=structure, kind="field", preservative="copper_naphthenate", treated_on=date(2025, 6, 1)
    )
    return structure


def make_barred(structure: Structure, force_lb: float, on: date) -> list[Bar]:
    """Five bars at 4 ft, 12 in deep, in the first span (18 ft), stressed in 2020 and read on a day: 576 in2 a bar."""
    system = StressingSystem.objects.create(
        span=structure.spans.get(index=1),
        bar_diameter_in=1.0,
        bar_area_in2=0.85,
        spacing_in=48.0,
        stressed_depth_in=12.0,
    )
    Work.objects.create(structure=structure, kind="stressing", done_on=date(2020, 3, 2), summary="First stressing")
    bars = [Bar.objects.create(system=system, number=n, station_ft=1.0 + 4.0 * (n - 1)) for n in range(1, 6)]
    check = inspect(structure, on, kind="bar_check")
    for bar in bars:
        check.findings.create(kind="bar_force", bar=bar, force_lb=force_lb, force_method="lift_off")
    return bars
