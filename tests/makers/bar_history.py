"""Stress-laminated decks with an invented history of stressings and readings, many at once.

Forces follow R = 1 - a log10(1 + t/1 day) (stress-laminated decks, loss in time, model) from the last pull, with
scatter by seed; nothing here is measured on a bridge.
"""

import random
from datetime import date, datetime, timedelta
from math import log10

from django.utils import timezone

from inspections.models import Finding, Inspection
from inventory.models import Agency, Bar, Span, Standing, StressingSystem, Structure, Work

SPACING_FT, DEPTH_IN = 4.0, 12.0
AREA_IN2 = SPACING_FT * 12.0 * DEPTH_IN
"""One bar squeezes 48 x 12 = 576 in2: 57,600 lb is 100 psi."""


def left_ratio(days: float, slope: float = 0.13) -> float:
    """Part of a single stressing's force left after some days."""
    return 1.0 - slope * log10(1.0 + days)


def make_decks(
    agency: Agency,
    count: int,
    *,
    stressed_on: date,
    read_on: tuple[date, ...] = (),
    bars: int = 10,
    force_lb: float = 57_600.0,
    scatter: float = 0.05,
    seed: int = 1,
    prefix: str = "SL",
    target: bool = True,
) -> list[Structure]:
    """Decks stressed once, each bar read by lift-off on every day of `read_on`; written by bulk_create."""
    pick = random.Random(seed)
    length = SPACING_FT * bars
    structures = Structure.objects.bulk_create(
        Structure(
            agency=agency, number=f"{prefix}-{n:05d}", road_name="Plover Road", feature_crossed="Reed Creek",
            system="stress_laminated", length_ft=length + 1.0, max_span_ft=length, roadway_width_ft=16.0,
            deck_width_ft=16.0,
        )
        for n in range(count)
    )  # fmt: skip
    spans = Span.objects.bulk_create(
        Span(structure=one, index=1, length_ft=length, system="stress_laminated", deck_kind="none", lanes_loaded=1,
             butt_jointed=False)
        for one in structures
    )  # fmt: skip
    systems = StressingSystem.objects.bulk_create(
        StressingSystem(
            span=span, bar_diameter_in=1.0, bar_area_in2=0.85, spacing_in=SPACING_FT * 12.0,
            stressed_depth_in=DEPTH_IN, design_force_lb=force_lb if target else None,
        )
        for span in spans
    )  # fmt: skip
    made = Bar.objects.bulk_create(
        Bar(system=system, number=n + 1, station_ft=SPACING_FT * (n + 0.5)) for system in systems for n in range(bars)
    )
    Standing.objects.bulk_create(Standing(structure=one) for one in structures)
    Work.objects.bulk_create(
        Work(structure=one, kind="stressing", done_on=stressed_on, summary="Stressed.") for one in structures
    )
    rows = [(one, on) for one in structures for on in read_on]
    checks = Inspection.objects.bulk_create(
        Inspection(
            structure=one, kind="bar_check", state="accepted", field_completed_on=on, submitted_at=_noon(on)
        )
        for one, on in rows
    )  # fmt: skip
    own = {one.pk: made[n * bars : (n + 1) * bars] for n, one in enumerate(structures)}
    slopes = {one.pk: pick.gauss(0.13, 0.02) for one in structures}
    Finding.objects.bulk_create(
        (
            Finding(
                inspection=check, kind="bar_force", span_index=1, bar=bar, force_method="lift_off",
                force_lb=force_lb * left_ratio((on - stressed_on).days, slopes[one.pk]) * pick.gauss(1.0, scatter),
            )
            for (one, on), check in zip(rows, checks, strict=True)
            for bar in own[one.pk]
        ),
        batch_size=5000,
    )  # fmt: skip
    return structures


def read_all(structure: Structure, on: date, force_lb: float, **fields) -> Inspection:
    """A bar check with the same force in every bar, handed over; no rating owed."""
    check = Inspection.objects.create(
        structure=structure, kind="bar_check", state="accepted", field_completed_on=on, submitted_at=_noon(on)
    )
    Finding.objects.bulk_create(
        Finding(inspection=check, kind="bar_force", span_index=1, bar=bar,
                **({"force_method": "lift_off", "force_lb": force_lb} | fields))
        for bar in Bar.objects.filter(system__span__structure=structure)
    )  # fmt: skip
    return check


def days_after(on: date, *days: int) -> tuple[date, ...]:
    return tuple(on + timedelta(days=each) for each in days)


def _noon(on: date) -> datetime:
    return timezone.make_aware(datetime(on.year, on.month, on.day, 12))
