"""A stressed deck with jacks, read bars and a plan, made through the office's own actions. Everything is invented."""

from datetime import date, datetime

from inspections.actions.stressing.draft import draft_stressing_day
from inspections.actions.stressing.release import release_stressing_day
from inspections.models import StressingDay
from inspections.rules.stressing.asked import DayAsked
from inventory.models import Agency, Jack, StressingSystem, Structure

from .county import County
from .inspected import bar_readings, make_stressed_deck, submitted

PLATE = {"plate_width_in": 12.0, "plate_height_in": 12.0, "plate_thickness_in": 1.5, "nut_plate_in": 6.0}
PLATE |= {"plate_yield_ksi": 50.0, "edge_species": "Red oak"}


def make_jack(agency: Agency, name: str = "Jack 1", **changed) -> Jack:
    """60 ton, ram 20 in2, calibrated in March 2026 for a year."""
    values = {
        "serial": f"S-{name}",
        "ram_area_in2": 20.0,
        "efficiency": 0.97,
        "capacity_lb": 120_000.0,
        "gauge_serial": "G-7",
        "gauge_division_psi": 50.0,
        "gauge_most_psi": 10_000.0,
        "calibrated_on": date(2026, 3, 2),
    } | changed
    return Jack.objects.create(agency=agency, name=name, **values)


def make_deck_to_stress(county: County, at: datetime, *, force_lb: float | None = 30_000.0, **system) -> Structure:
    """The six-bar deck with its plates and design force on record, every bar read at `force_lb` (None: never read)."""
    structure = make_stressed_deck(county.agency)
    values = PLATE | {"design_force_lb": 57_600.0, "design_source": "design sheet S-3"} | system
    StressingSystem.objects.filter(span__structure=structure).update(**values)
    if force_lb is not None:
        submitted(structure, county.people["inspector"], at, bar_readings(structure, force_lb), kind="bar_check")
    return structure


def system_of(structure: Structure) -> StressingSystem:
    return StressingSystem.objects.select_related("span__structure__agency").get(span__structure=structure)


def asked(jacks: list[Jack], **changed) -> DayAsked:
    values = {
        "target_lb": 57_600.0,
        "target_source": "the design: design sheet S-3",
        "planned_for": "2026-06-20",
        "crew": "Crew two",
        "jack_ids": tuple(jack.pk for jack in jacks),
    } | changed
    return DayAsked(**values)


def drafted(county: County, structure: Structure, jacks: list[Jack], at: datetime, **changed) -> StressingDay:
    return draft_stressing_day(
        structure=structure,
        system=system_of(structure),
        level="mid",
        asked=asked(jacks, **changed),
        by=county.people["supervisor"],
        at=at,
    )


def released(county: County, day: StressingDay, at: datetime, note: str = "") -> StressingDay:
    return release_stressing_day(day=day, revision=day.revision, note=note, by=county.people["engineer"], at=at)
