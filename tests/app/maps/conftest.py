"""A county with structures of many kinds, and a neighbour whose rows must never be seen."""

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models import Standing
from maps.actions.draw_lines import draw_lines
from maps.geometry import drawn_line
from tests.makers.county import make_county, make_stringer_bridge


def put(agency, number, *, standing=None, **fields):
    structure = make_stringer_bridge(agency, number, **fields)
    Standing.objects.filter(structure=structure).update(**(standing or {}))
    return structure


@pytest.fixture
def drawn(county, now):
    """Twelve structures of the county, one without a position, one without a standing, some late, posted or closed."""
    today = timezone.localdate()
    systems = ("sawn_stringer", "glulam_panel", "stress_laminated_t", "unknown")
    for index in range(10):
        put(
            county.agency,
            f"Q-{index:02d}",
            system=systems[index % 4],
            road_name="Heron Road" if index % 2 else "Café Road",
            lon_deg=-97.5 + index / 100,
            lat_deg=46.4 + index / 100,
            bearing_deg=36.0 * index,
            year_built=1960 + index * 5,
            standing={
                "condition_class": ("good", "fair", "poor", "not_rated")[index % 4],
                "restriction": ("open", "posted", "closed", "unknown")[index % 4],
                "sign_words": "14 T" if index % 4 == 1 else "",
                "posted_ton": 14 if index % 4 == 1 else None,
                "least_factor": None if index == 3 else 0.5 + index / 10,
                "next_due_on": None if index == 9 else today + timedelta(days=20 * index - 60),
                "next_due_words": "Routine inspection",
            },
        )
    put(county.agency, "Q-unplaced", lon_deg=None, lat_deg=None)
    Standing.objects.filter(structure=put(county.agency, "Q-bare", lon_deg=-97.3, lat_deg=46.6)).delete()
    road = drawn_line([(-97.6, 46.4), (-97.3, 46.4)], name="Heron Road", road_class="local")
    creek = drawn_line([(-97.5, 46.3), (-97.5, 46.6)], name="Sedge Creek")
    draw_lines(agency=county.agency, kind="road", lines=[road], by=county.people["office"], at=now)
    draw_lines(agency=county.agency, kind="stream", lines=[creek], by=county.people["office"], at=now)
    return county


@pytest.fixture
def neighbour(drawn, now):
    """Another agency on the same ground."""
    other = make_county("Marrow County", "003")
    put(other.agency, "M-secret", road_name="Other Road", lon_deg=-97.5, lat_deg=46.4)
    line = drawn_line([(-97.6, 46.45), (-97.3, 46.45)], name="Other Road")
    draw_lines(agency=other.agency, kind="road", lines=[line], by=None, at=now)
    return other
