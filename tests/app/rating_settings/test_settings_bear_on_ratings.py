"""A change of settings or vehicles owes every structure of the agency a rating, and ratings made stay as they were."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections import tasks
from inspections.assembly.policy import loss_policy, rating_policy, vehicle_from_dict, vehicles_to_rate
from inspections.assembly.snapshot import Snapshot, assemble_snapshot
from inspections.models import OwedRating, Rating
from inspections.reckoning.rating import rate_snapshot
from inspections.rules.loss_policy import DEFAULT, LossPolicy
from inventory.actions import rating_settings, rating_vehicles
from inventory.mechanics.rating import DEFAULT_VEHICLES, RatingPolicy
from inventory.mechanics.vehicle import STANDARD_VEHICLES
from inventory.models import Agency, Event, RatingSettings
from inventory.pages.rating import settings_initial
from inventory.rules.rating_settings import SETTINGS
from inventory.rules.refusals import Refused, Stale
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import DONE_ON, decay, rated, settle_all
from tests.makers.vehicles import vehicle_values

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county, now):
    structure = make_stringer_bridge(county.agency)
    rated(structure, county.people["inspector"], now, [decay(structure)])
    return structure


def values_of(agency, **changed) -> dict:
    values = settings_initial(Agency.objects.get(pk=agency.pk))
    values.pop("revision")
    return values | changed


def change(county, now, reason="tried", **changed):
    return rating_settings.change_rating_settings(
        agency=county.agency,
        values=values_of(county.agency, **changed),
        reason=reason,
        revision=RatingSettings.objects.filter(agency=county.agency).values_list("revision", flat=True).first() or 0,
        by=county.people["engineer"],
        at=now,
    )


def test_defaults_are_those_of_the_kernel_and_of_the_losses(county):
    """An agency that changed nothing rates by the kernel's own policy, but posts at its own level (operating)."""
    assert rating_policy(county.agency) == replace(RatingPolicy(), posting_level=1.0)
    assert loss_policy(county.agency) == LossPolicy() == DEFAULT
    # H 15 is a choice of the county; HL-93 stands for the design level of load and resistance factor rating.
    assert set(vehicles_to_rate(county.agency, DONE_ON)) == set(DEFAULT_VEHICLES) - {"H15"} | {"HL93"}
    named = {name: setting.default for name, setting in SETTINGS.items()}
    values = values_of(county.agency)
    assert {name: values[name] for name in named} == named, "the defaults shown are the defaults used"


def test_every_setting_reaches_the_kernel_or_the_losses(county, now):
    """Each setting changed alone changes the policy that rates."""
    for name, setting in SETTINGS.items():
        before = (rating_policy(county.agency), loss_policy(county.agency))
        if setting.kind == "choice":
            value = next(code for code, _ in setting.choices if code != setting.default)
        elif setting.kind == "yesno":
            value = not setting.default
        else:
            value = setting.default + 0.01 if setting.default < setting.most else setting.default - 0.01
        change(county, now, **{name: value})
        county.agency.refresh_from_db()
        assert (rating_policy(county.agency), loss_policy(county.agency)) != before, name


def test_a_change_owes_a_rating_to_each_structure_once(county, now, bridge):
    other = make_county("Marrow County", "003")
    theirs = make_stringer_bridge(other.agency, number="M-1")
    rated(theirs, other.people["inspector"], now, [decay(theirs)])
    never = make_stringer_bridge(county.agency, number="Q-9")
    before = Rating.objects.get(structure=bridge)
    change(county, now, rounding="nearest", reason="the board's resolution 12")
    assert not OwedRating.objects.filter(state="owed").exists(), "the request itself owes nothing: the sweep does"
    tasks.sweep_owed_ratings()
    owed = OwedRating.objects.filter(structure=bridge).order_by("-id").first()
    assert owed.state == "done" and owed.cause == "Rating settings changed: rounding of tons"
    assert OwedRating.objects.filter(structure=theirs).count() == 1
    assert not OwedRating.objects.filter(structure=never).exists()
    assert Rating.objects.filter(structure=bridge).count() == 2
    again = Rating.objects.get(pk=before.pk)
    assert (again.snapshot, again.results) == (before.snapshot, before.results)
    tasks.sweep_owed_ratings()
    assert OwedRating.objects.filter(structure=bridge).count() == 2, "once"


def test_the_request_asks_as_often_for_thirty_structures_as_for_one(county, now, bridge):
    """A law: the count of queries of a change does not grow with the structures."""

    def count(value):
        with CaptureQueriesContext(connection) as asked:
            change(county, now, deflection_ratio=value)
        return len(asked)

    count(400.0)
    one = count(410.0)
    for number in range(30):
        make_stringer_bridge(county.agency, number=f"Q-{number + 100}")
    assert count(420.0) <= one


def test_a_change_is_told_with_reason_before_and_after(county, now):
    change(county, now, transition_in=0.5, reason="two spans opened in May showed half an inch")
    event = Event.objects.get(verb="change_rating_settings")
    assert "half an inch" in event.sentence and event.by == county.people["engineer"]
    assert event.detail == {"before": {"transition_in": 0.25}, "after": {"transition_in": 0.5}}


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"posting_level": 1.2}, "posting_level"),
        ({"posting_level": float("nan")}, "posting_level"),
        ({"rounding": "up"}, "rounding"),
        ({"pressure_floor_psi": 30.0}, "pressure_reason"),
        ({"closing_pressure_psi": 10.0}, "pressure_reason"),
        ({"closing_pressure_psi": 60.0, "pressure_floor_psi": 50.0}, "closing_pressure_psi"),
        ({"drilled_void_below": 0.8}, "drilled_sound_from"),
        ({"drilled_void_below": 0.75}, "drilled_sound_from"),
        ({"wave_half_ratio": 1.2}, "wave_half_ratio"),
        ({"wave_void_ratio": 1.4}, "wave_void_ratio"),
        ({"standard_vehicles": ["HS20", "EV2"]}, "standard_vehicles"),
        ({"standard_vehicles": ["WAGON"]}, "standard_vehicles"),
        ({"reason": " "}, "reason"),
    ],
)
def test_refused_beside_the_setting(county, now, changed, field):
    reason = changed.pop("reason", "tried")
    with pytest.raises(Refused) as refused:
        change(county, now, reason=reason, **(changed or {"transition_in": 0.5}))
    assert field in refused.value.faults
    assert not Event.objects.filter(verb="change_rating_settings").exists()


def test_a_named_reason_allows_a_lower_pressure_and_nothing_allows_under_three_tons(county, now):
    change(county, now, pressure_floor_psi=30.0, pressure_reason="load test of May 2026, report 7")
    assert rating_policy(county.agency).pressure_floor_psi == 30.0
    assert rating_policy(county.agency).close_below_tons == 3.0  # 23 CFR 650.313 (memory)
    assert "close_below_tons" not in SETTINGS


def test_two_engineers_do_not_save_over_each_other(county, now):
    change(county, now, transition_in=0.5)
    with pytest.raises(Stale):
        rating_settings.change_rating_settings(
            agency=county.agency, values=values_of(county.agency, transition_in=0.6), reason="x", revision=0,
            by=county.people["engineer"], at=now,
        )  # fmt: skip


def test_the_page_says_what_was_chosen_beside_the_default(county, now):
    change(county, now, transition_in=0.5, posting_method="LRFR", reason="as our manual asks")
    page = county.client("reviewer").get("/rating/").content.decode()
    for words in ("0.5 in", "0.25 in", "Load and resistance factor", "cannot be set lower here", "as our manual asks"):
        assert words in page
    assert county.client("office").get("/rating/change/").status_code == 403


def test_the_form_keeps_what_was_typed_where_it_is_refused(county):
    client = county.client("engineer")
    form = client.get("/rating/change/").context["form"]
    typed = {name: "" if value is None else value for name, value in form.initial.items() if value is not False}
    answer = client.post("/rating/change/", typed | {"transition_in": "lots", "reason": "why not"})
    page = answer.content.decode()
    assert answer.status_code == 422 and "Enter a number in digits" in page and 'value="lots"' in page
    answer = client.post("/rating/change/", typed | {"transition_in": "0.5", "reason": "why not"})
    assert answer.status_code == 302 and RatingSettings.objects.get().transition_in == 0.5


# A vehicle of the State in the snapshot.


def test_a_state_vehicle_is_rated_with_all_its_numbers_kept(county, now, bridge):
    rating_vehicles.add_vehicle(agency=county.agency, values=vehicle_values(), by=county.people["engineer"], at=now)
    tasks.sweep_owed_ratings()
    rating = Rating.objects.filter(structure=bridge).first()
    assert (
        OwedRating.objects.filter(structure=bridge).order_by("-id").first().cause.startswith("Rating vehicle entered")
    )
    kept = next(v for v in rating.snapshot["vehicles"] if isinstance(v, dict))
    assert kept["id"] == "ST-4" and kept["axles_kip"] == [14, 16, 17, 17]
    row = next(row for row in rating.results["governing"] if row["vehicle"] == "ST-4")
    assert row["gross_tons"] == 32.0 and row["vehicle_class"] == "legal"
    # The vehicle is changed afterwards: the rating is made again from its row as it was made.
    rating_vehicles.edit_vehicle(
        vehicle=county.agency.rating_vehicles.get(),
        values=vehicle_values(axles_kip=[14.0, 10.0, 10.0, 10.0], gross_kip=44.0),
        revision=0,
        by=county.people["engineer"],
        at=now,
    )
    again = rate_snapshot(Snapshot.from_dict(rating.snapshot))
    assert again.results["governing"] == rating.results["governing"]
    assert assemble_snapshot(structure=bridge, as_of=DONE_ON).digest != rating.digest


def test_a_copy_of_a_standard_truck_rates_as_that_truck(county, now, bridge):
    """A law: the same axles give the same factors, whatever the vehicle is called."""
    truck = STANDARD_VEHICLES["TYPE3"]
    values = vehicle_values(
        key="T3-COPY",
        axles_kip=list(truck.axles_kip),
        spacings_ft=[list(gap) for gap in truck.spacings_ft],
        gross_kip=truck.gross_kip,
    )
    rating_vehicles.add_vehicle(agency=county.agency, values=values, by=county.people["engineer"], at=now)
    found = {row["vehicle"]: row for row in rate_snapshot(taken(bridge)).results["governing"]}
    for name in ("inventory_factor", "operating_factor", "posting_tons"):
        assert found["T3-COPY"][name] == found["TYPE3"][name]


def taken(structure):
    structure.refresh_from_db()
    return assemble_snapshot(structure=structure, as_of=DONE_ON)


def test_a_snapshot_older_than_all_this_is_still_read(bridge):
    plain = taken(bridge).as_dict()
    del plain["loss_policy"]
    plain["vehicles"] = ["TYPE3", "HS20"]
    back = Snapshot.from_dict(plain)
    assert back.loss_policy == {} and back.vehicles == ("TYPE3", "HS20")
    assert vehicle_from_dict({"id": "X", "name": "X", "axles_kip": [10], "spacings_ft": []}).gross_kip == 10


def test_the_day_alone_brings_a_vehicle_into_use_and_ratings_are_owed(county, now, bridge):
    start = date(2026, 7, 1)
    rating_vehicles.add_vehicle(
        agency=county.agency, values=vehicle_values(in_use_from=start), by=county.people["engineer"], at=now
    )
    settle_all(bridge, now)
    assert not rating_settings.see_vehicles_in_use(agency=county.agency, as_of=start - timedelta(days=1))
    revision = RatingSettings.objects.get().revision
    assert rating_settings.see_vehicles_in_use(agency=county.agency, as_of=start)
    assert RatingSettings.objects.get().revision == revision + 1
    assert "ST-4" in RatingSettings.objects.get().last_change
    assert not rating_settings.see_vehicles_in_use(agency=county.agency, as_of=start), "once"
