"""The snapshot: safe as JSON, the same after a round trip, its digest blind to printed dates and to nothing else."""

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from inspections.assembly.snapshot import Snapshot, assemble_snapshot
from inspections.reckoning.rating import rate_snapshot
from inventory.models import Agency, Railing, Span
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import DONE_ON, bar_readings, decay, make_stressed_deck, rated

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county, now):
    bridge = make_stringer_bridge(county.agency)
    rated(
        bridge,
        county.people["inspector"],
        now,
        [decay(bridge), decay(bridge, kind="broken", member_number=7, note="x")],
    )
    return bridge


def taken(structure, on=DONE_ON):
    structure.refresh_from_db()
    structure.agency.refresh_from_db()
    return assemble_snapshot(structure=structure, as_of=on)


@pytest.mark.parametrize("make", ["bridge", "deck"])
def test_round_trip(county, now, bridge, make):
    structure = bridge
    if make == "deck":
        structure = make_stressed_deck(county.agency)
        rated(structure, county.people["inspector"], now, bar_readings(structure, 57600.0))
    snapshot = taken(structure)
    back = Snapshot.from_dict(json.loads(json.dumps(snapshot.as_dict(), allow_nan=False)))
    assert back == snapshot and back.digest == snapshot.digest
    assert rate_snapshot(back).results == rate_snapshot(snapshot).results


def test_a_rating_can_be_made_again_from_its_row(bridge):
    row = bridge.ratings.get()
    again = rate_snapshot(Snapshot.from_dict(row.snapshot))
    assert again.least_factor == row.least_factor and again.governing == row.governing


def test_the_day_alone_does_not_change_the_digest(bridge):
    assert taken(bridge).digest == taken(bridge, DONE_ON + timedelta(days=200)).digest


@pytest.mark.parametrize("field", ["length_ft", "deck_thickness_in", "lanes_loaded", "wet_service"])
def test_what_bears_on_the_result_changes_the_digest(bridge, field):
    before = taken(bridge).digest
    span = Span.objects.get()
    setattr(span, field, {"wet_service": False, "lanes_loaded": 1}.get(field, 17.0))
    span.save()
    assert taken(bridge).digest != before


def test_owner_policy_and_railing_change_the_digest(bridge):
    digests = {taken(bridge).digest}
    Agency.objects.update(posting_level="0.50")
    digests.add(taken(bridge).digest)
    Railing.objects.create(structure=bridge, side="left", kind="timber", weight_plf=60)
    digests.add(taken(bridge).digest)
    assert len(digests) == 3


def test_a_moist_span_recorded_dry_is_rated_wet(county, now):
    """Over 19 % moisture sawn timber is in wet service (NDS, checked-2nd)."""
    bridge = make_stringer_bridge(county.agency)
    Span.objects.update(wet_service=False)
    moist = decay(bridge, kind="moisture", face="", depth_in=None, moisture_pct=19.0, moisture_depth_in=2.0)
    rated(bridge, county.people["inspector"], now, [moist])
    assert all(member.wet_service is None for member in taken(bridge).cases[0].members)
    rated(bridge, county.people["inspector"], now, [moist | {"moisture_pct": 24.0}])
    assert all(member.wet_service is True for member in taken(bridge).cases[0].members)


def test_each_damaged_stringer_has_its_own_case_and_no_sound_one_carries_its_damage(bridge):
    members = {member.label: member for member in taken(bridge).cases[0].members}
    assert [label for label, member in members.items() if member.losses] == ["stringer 4"]
    assert members["stringer 6, 8"].spacing_ft == pytest.approx(3.0)
    assert members["inner stringers"].spacing_ft == pytest.approx(2.0)


def test_posting_at_inventory_never_allows_more_than_at_operating(bridge):
    """The owner chooses a level between the two (MBE 6B.7.1, checked); lower levels give lower factors."""
    snapshot = taken(bridge)
    factors = [
        rate_snapshot(replace(snapshot, policy=replace(snapshot.policy, posting_level=level))).least_factor
        for level in (0.0, 0.5, 1.0)
    ]
    assert factors == sorted(factors) and factors[0] < factors[-1]
