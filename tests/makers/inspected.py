"""Inspections and stressed decks for tests, made through the office's own actions."""

from datetime import date, datetime

from inspections.actions import receive
from inspections.actions.rate import settle_owed_rating
from inspections.models import Inspection, OwedRating, Rating
from inventory.models import Agency, Bar, MemberGroup, Person, Span, Standing, StressingSystem, Structure

DONE_ON = date(2026, 6, 14)
RATINGS = {"deck_rating": "7", "superstructure_rating": "6", "substructure_rating": "6"}


def decay(structure: Structure, **changed) -> dict:
    """Decay on the bottom face of the fourth stringer at midspan, 1 in deep."""
    member = MemberGroup.objects.filter(span__structure=structure).first()
    return {
        "kind": "surface_decay",
        "span_index": 1,
        "member": member,
        "member_number": 4,
        "station_ft": 8.0,
        "extent_ft": 2.0,
        "face": "bottom",
        "depth_in": 1.0,
    } | changed


def bar_readings(structure: Structure, force_lb: float) -> list[dict]:
    """A lift-off reading of the same force on every bar."""
    bars = Bar.objects.filter(system__span__structure=structure)
    return [{"kind": "bar_force", "bar": bar, "force_lb": force_lb, "force_method": "lift_off"} for bar in bars]


def draft(structure: Structure, by: Person, at: datetime, findings=(), kind="routine", **fields) -> Inspection:
    """An open inspection with everything in it, not handed over."""
    inspection = receive.open_inspection(structure=structure, kind=kind, by=by, at=at)
    values = {"field_completed_on": DONE_ON} | (RATINGS if kind == "routine" else {}) | fields
    return receive.save_draft(
        inspection=inspection, revision=0, fields=values, findings=list(findings), elements=[], by=by, at=at
    )


def submitted(structure: Structure, by: Person, at: datetime, findings=(), kind="routine", **fields) -> Inspection:
    """Handed over, with a rating owed."""
    inspection = draft(structure, by, at, findings, kind, **fields)
    return receive.submit_inspection(inspection=inspection, revision=inspection.revision, by=by, at=at)


def rated(structure: Structure, by: Person, at: datetime, findings=(), kind="routine", **fields) -> Inspection:
    """Handed over and rated."""
    inspection = submitted(structure, by, at, findings, kind, **fields)
    settle_all(structure, at)
    inspection.refresh_from_db()
    return inspection


def settle_all(structure: Structure, at: datetime) -> Rating | None:
    """Settle everything owed to a structure; the rating that answered the last."""
    last = None
    for owed in OwedRating.objects.filter(structure=structure, state="owed"):
        last = settle_owed_rating(owed_id=owed.pk, at=at)
        assert last.state == "done", last.problem
    return last.rating if last else None


def make_stressed_deck(agency: Agency, number: str = "Q-2", **span_fields) -> Structure:
    """A 24 ft stress-laminated deck of 2 x 12 Douglas fir No.1, 12 in deep, six bars 4 ft apart, full-length wood.

    Sizes of worked example D3: span 24 ft, roadway 16 ft, one lane.
    """
    structure = Structure.objects.create(
        agency=agency,
        number=number,
        road_name="Curlew Lane",
        feature_crossed="Alder Run",
        system="stress_laminated",
        length_ft=25.0,
        max_span_ft=24.0,
        roadway_width_ft=16.0,
        deck_width_ft=16.0,
    )
    values = {"lanes_loaded": 1, "butt_jointed": False, "deck_kind": "none"} | span_fields
    span = Span.objects.create(structure=structure, index=1, length_ft=24.0, system="stress_laminated", **values)
    MemberGroup.objects.create(
        span=span,
        role="lamination",
        count=128,
        width_in=1.5,
        depth_in=12.0,
        product="sawn",
        species="Douglas fir-larch",
        grade="No.1",
        size_class="dimension, 2 to 4 in thick",
    )
    system = StressingSystem.objects.create(
        span=span, bar_diameter_in=1.0, bar_area_in2=0.85, spacing_in=48.0, stressed_depth_in=12.0
    )
    Bar.objects.bulk_create([Bar(system=system, number=n, station_ft=4.0 * n - 2.0) for n in range(1, 7)])
    Standing.objects.create(structure=structure)
    return structure
