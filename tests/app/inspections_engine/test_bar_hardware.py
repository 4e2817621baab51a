"""Bars, plates and edges of a stressed deck reach the rating: what the rows say is what the kernel checks."""

from dataclasses import replace
from datetime import date

import pytest

from inspections.assembly.hardware import edge_material
from inspections.assembly.snapshot import assemble_snapshot
from inventory.models import StressingSystem
from tests.makers.inspected import bar_readings, make_stressed_deck, rated

TODAY = date(2026, 6, 15)


@pytest.fixture
def deck(db, county):
    structure = make_stressed_deck(county.agency)
    StressingSystem.objects.filter(span__structure=structure).update(
        plate_width_in=8.0, plate_height_in=10.0, edge_species="oak", design_force_lb=57600.0, needed_pressure_psi=44.0
    )
    return structure


def hardware_of(structure):
    (case,) = assemble_snapshot(structure=structure, as_of=TODAY).cases
    return case.bars


def test_rows_reach_the_case(deck):
    bars = hardware_of(deck)
    assert bars.needed_pressure_psi == 44.0
    assert (bars.hardware.spacing_in, bars.hardware.thickness_in, bars.hardware.net_area_in2) == (48.0, 12.0, 0.85)
    assert bars.hardware.tensile_psi == 150000.0
    assert bars.hardware.edge_material.species == "Red oak"
    assert bars.hardware.crushed_in is None


def test_crushing_under_a_plate_is_the_deepest_found(deck, county, now):
    first = bar_readings(deck, 34560.0)
    found = [
        {"kind": "crushing", "span_index": 1, "station_ft": 2.0, "bar": first[at]["bar"], "depth_in": depth}
        | {"note": "too dark under the deck for a photograph"}
        for at, depth in ((0, 0.1), (3, 0.25))
    ]
    rated(deck, county.people["inspector"], now, findings=first + found)
    assert hardware_of(deck).hardware.crushed_in == 0.25


def test_a_species_no_table_knows_is_not_guessed():
    assert edge_material("Baobab") is None and edge_material("  ") is None
    assert edge_material("red oak, No.1").species == "Red oak"


def test_bar_numbers_change_the_digest_and_dates_do_not(deck):
    """A plate that grew is another bridge to rate; the day of the record is not."""
    snapshot = assemble_snapshot(structure=deck, as_of=TODAY)
    assert replace(snapshot, as_of=date(2026, 6, 16)).digest == snapshot.digest
    StressingSystem.objects.filter(span__structure=deck).update(plate_height_in=12.0)
    assert assemble_snapshot(structure=deck, as_of=TODAY).digest != snapshot.digest
