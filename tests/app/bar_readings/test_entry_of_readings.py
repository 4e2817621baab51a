"""Readings typed on the entry sheet: lb or gauge pressure, repeats, questions answered "as read", nothing lost."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from inspections.actions.receive import open_inspection, save_draft, submit_inspection
from inspections.models import Finding
from inspections.rules.clocks.terms import day
from inspections.rules.refusals import Refused
from inventory.actions.equipment import add_jack
from inventory.models import Bar, BarPolicy, Work
from tests.app.inspection_pages.stressed import make_stressed_bridge
from tests.app.jacks.test_jacks import VALUES
from tests.makers.county import make_county

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county):
    return make_stressed_bridge(county.agency)


@pytest.fixture
def jack(county, now):
    """12.8 in2, efficiency 1: 4,500 psi is 57,600 lb; calibrated to 1 Mar 2027."""
    return add_jack(agency=county.agency, values=VALUES | {"efficiency": 1.0}, by=county.people["crew"], at=now)


@pytest.fixture
def bars(bridge):
    return list(Bar.objects.filter(system__span__structure=bridge).order_by("number"))


@pytest.fixture
def draft(county, bridge, now):
    return open_inspection(structure=bridge, kind="bar_check", by=county.people["inspector"], at=now)


def read_on(days=10):
    """So many days ago: the site itself refuses a day to come, and after the interval a reading counts no more."""
    return timezone.localdate() - timedelta(days=days)


def row(bar, force, **more):
    typed = {"force_lb": force, "force_method": "lift_off"} | more
    return {f"b-{bar.pk}-{name}": str(value) for name, value in typed.items()}


def send(county, draft, *parts, **more):
    draft.refresh_from_db()
    data = {"revision": str(draft.revision), "then": "save", "field_completed_on": str(read_on()), "notes": ""} | more
    for part in parts:
        data |= part
    answer = county.client("inspector").post(f"/inspections/{draft.pk}/edit/", data)
    return answer, answer.content.decode()


def read_before(county, bridge, bar, force, on=None, method="lift_off", **more):
    by, at = county.people["inspector"], timezone.now()
    old = open_inspection(structure=bridge, kind="bar_check", by=by, at=at)
    finding = {"kind": "bar_force", "span_index": 1, "bar": bar, "force_lb": force, "force_method": method, **more}
    old = save_draft(
        inspection=old,
        revision=0,
        fields={"field_completed_on": on or read_on(60)},
        findings=[finding],
        elements=[],
        by=by,
        at=at,
    )
    return submit_inspection(inspection=old, revision=old.revision, by=by, at=at)


def test_a_pressure_with_its_jack_becomes_a_force(county, draft, bars, jack):
    answer, _page = send(
        county,
        draft,
        row(bars[0], "4,500", typed_in="psi", jack=jack.pk, wood_temp_f="51", moisture_pct="18"),
    )
    assert answer.status_code == 302
    finding = Finding.objects.get()
    assert finding.force_lb == pytest.approx(57_600), "4,500 psi x 12.8 in2"
    assert (finding.gauge_psi, finding.jack, finding.repeats_lb) == (4500.0, jack, [])
    assert (finding.wood_temp_f, finding.moisture_pct, finding.station_ft) == (51.0, 18.0, bars[0].station_ft)
    page = county.client("inspector").get(f"/inspections/{draft.pk}/edit/").content.decode()
    assert 'value="4500"' in page and '<option value="psi" selected>' in page, "shown again as it was typed"


def test_three_repeats_are_kept_and_their_mean_counts(county, draft, bars, jack):
    """(3,500 + 3,600 + 3,550)/3 = 3,550 psi x 12.8 = 45,440 lb; spread 100/3,550 = 2.8 percent."""
    send(county, draft, row(bars[0], 3500, read_2=3600, read_3=3550, typed_in="psi", jack=jack.pk))
    finding = Finding.objects.get()
    assert finding.force_lb == pytest.approx(45_440) and finding.gauge_psi == pytest.approx(3550)
    assert finding.repeats_lb == pytest.approx([44_800, 46_080, 45_440])
    page = county.client("reviewer").get(f"/inspections/{draft.pk}/").content.decode()
    for said in ("read 3 times", "mean 45,440", "lowest 44,800", "spread 2.8 %", "3,550 psi on Jack 1"):
        assert said in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"force": "-40000"}, "below zero"),
        ({"force": "127501"}, "above what the bar can carry"),
        ({"force": "999999999"}, "beyond any bar or gauge"),
        ({"force": "4500", "typed_in": "psi"}, "Choose the jack"),
        ({"force": "57600", "typed_in": "psi", "jack": True}, "beyond the end of the gauge"),
        ({"force": "4500", "typed_in": "psi", "jack": True, "force_method": "load_cell"}, "A load cell shows lb"),
        ({"force": "forty"}, "is not a number"),
        ({"force": "40000", "force_method": ""}, "Say how the force was read"),
        ({"force": "40000", "jack": "999999"}, "choose one of the list"),
        ({"force": "40000", "read_2": "50000"}, "percent apart"),
        ({"force": "90000"}, "0.70 of its strength"),
        ({"force": "40000", "moisture_pct": "400"}, "outside 5 to 60"),
    ],
)
def test_bad_input_gets_a_sentence_and_nothing_is_lost(county, draft, bars, jack, typed, said):
    typed = dict(typed)
    if typed.get("jack") is True:
        typed["jack"] = jack.pk
    force = typed.pop("force")
    other = row(bars[5], "41234", method="x")
    answer, page = send(county, draft, row(bars[0], force, **typed), other)
    assert answer.status_code == 200 and not Finding.objects.exists()
    assert said in page, "the sentence"
    assert f'value="{force}"' in page and 'value="41234"' in page, "what was typed"
    assert f'href="#id_b-{bars[0].pk}-' in page, "where it is"


def test_a_pressure_typed_as_a_force_is_asked_about_and_kept_when_answered(county, draft, bars, jack):
    answer, page = send(county, draft, row(bars[0], "4500"))
    assert answer.status_code == 200 and "57,600 lb: is it a pressure?" in page
    assert f'name="b-{bars[0].pk}-as_read"' in page
    answer, _page = send(county, draft, row(bars[0], "4500", as_read="on"))
    assert answer.status_code == 302 and Finding.objects.get().force_lb == 4500
    answer, _page = send(county, draft, row(bars[0], "4500"))
    assert answer.status_code == 302, "saved so before: not asked again"
    answer, page = send(county, draft, row(bars[0], "4400"))
    assert answer.status_code == 200 and "is it a pressure?" in page, "another number is another question"


def test_a_jump_against_the_last_reading_is_asked_about(county, bridge, draft, bars):
    read_before(county, bridge, bars[0], 60_000.0)
    answer, page = send(county, draft, row(bars[0], "28000"))
    assert answer.status_code == 200 and f"53% less than the last reading of {day(read_on(60))}" in page
    answer, _page = send(county, draft, row(bars[0], "28000", as_read="on"))
    assert answer.status_code == 302


def test_a_rise_after_a_pull_is_no_question(county, bridge, draft, bars):
    read_before(county, bridge, bars[0], 25_000.0)
    answer, page = send(county, draft, row(bars[0], "50000"))
    assert answer.status_code == 200 and "100% more" in page
    Work.objects.create(structure=bridge, kind="retension", done_on=read_on(30))
    answer, _page = send(county, draft, row(bars[0], "50000"))
    assert answer.status_code == 302


def test_the_countys_own_limit_for_repeats_is_used(county, draft, bars):
    BarPolicy.objects.create(agency=county.agency, repeat_within_pct=15)
    answer, _page = send(county, draft, row(bars[0], "40000", read_2="45000"))
    assert answer.status_code == 302


def test_expired_calibration_is_told_on_the_form_and_wherever_the_reading_stands(county, bridge, draft, bars, now):
    old = add_jack(
        agency=county.agency,
        values=VALUES | {"calibrated_on": date(2024, 3, 1)},
        by=county.people["crew"],
        at=now,
    )
    page = county.client("inspector").get(f"/inspections/{draft.pk}/edit/").content.decode()
    assert "Not in calibration" in page and "calibration expired 1 Mar 2025" in page
    answer, _page = send(county, draft, *[row(bar, "40000", jack=old.pk) for bar in bars], then="submit")
    assert answer.status_code == 302, "accepted all the same"
    for address in (f"/inspections/{draft.pk}/", f"/structures/{bridge.pk}/"):
        assert "alibration expired 1 Mar 2025" in county.client("reviewer").get(address).content.decode()


def test_a_reading_at_lock_off_is_no_standing_force_anywhere(county, bridge, draft, bars, jack):
    parts = [row(bar, "40000") for bar in bars[1:]]
    lock_off = row(bars[0], "3906", typed_in="psi", jack=jack.pk, force_method="lock_off")
    assert send(county, draft, lock_off, *parts)[0].status_code == 302
    form = county.client("inspector").get(f"/inspections/{draft.pk}/edit/").content.decode()
    assert "not a standing force: counts nowhere" in form
    assert send(county, draft, lock_off, *parts, then="submit")[0].status_code == 302
    page = county.client("reviewer").get(f"/inspections/{draft.pk}/").content.decode()
    assert "not a standing force: counts nowhere" in page
    page = county.client("reviewer").get(f"/structures/{bridge.pk}/").content.decode()
    assert "gauge at lock-off: no standing force" in page, "in the drawing"
    assert f"49,997 lb, {day(read_on())}: no standing force" in page, "3,906 psi x 12.8 in2, in the table"
    assert "no reading in date" in page.lower(), "the bar itself counts as absent"


def test_a_set_aside_bar_is_not_lifted_off_without_asking(county, draft, bars):
    Bar.objects.filter(pk=bars[0].pk).update(is_usable=False, set_aside_reason="bent at the nut")
    answer, page = send(county, draft, row(bars[0], "40000"))
    assert answer.status_code == 200 and "bent at the nut" in page and "only the engineer releases it" in page
    answer, _page = send(county, draft, row(bars[0], "40000", force_method="load_cell"))
    assert answer.status_code == 302, "a load cell puts no jack on it"


def test_the_form_says_which_bars_to_read(county, draft, bars):
    BarPolicy.objects.create(agency=county.agency, sample_near_ft=0)
    page = county.client("inspector").get(f"/inspections/{draft.pk}/edit/").content.decode()
    assert "At least 4 of 10 bars: every third bar" in page, "bars 1, 4, 7 and 10"
    assert page.count("to be read</span>") == 4


def test_the_date_of_a_reading_may_not_lie_in_the_future(county, draft, bars):
    answer, page = send(county, draft, row(bars[0], "40000"), then="submit", field_completed_on=str(read_on(-9)))
    assert answer.status_code == 200 and "still to come" in page and Finding.objects.count() == 1


def test_the_action_itself_refuses_what_a_bar_cannot_hold(county, bridge, draft, bars, now):
    """A reading may come by another door than the form."""
    by = county.people["inspector"]
    for bad in ({"force_lb": 200_000.0}, {"force_lb": 40_000.0, "repeats_lb": [40_000.0, 200_000.0]},
                {"force_lb": -1.0}, {"force_lb": 40_000.0, "repeats_lb": ["many"]}):  # fmt: skip
        finding = {"kind": "bar_force", "span_index": 1, "bar": bars[0], "force_method": "lift_off", **bad}
        with pytest.raises(Refused):
            save_draft(inspection=draft, revision=0, fields={}, findings=[finding], elements=[], by=by, at=now)


def test_a_jack_of_another_county_is_refused(county, draft, bars, now):
    other = make_county("Reed County", "003")
    foreign = add_jack(agency=other.agency, values=VALUES, by=other.people["crew"], at=now)
    finding = {"kind": "bar_force", "bar": bars[0], "force_method": "lift_off", "force_lb": 4e4, "jack": foreign}
    by = county.people["inspector"]
    with pytest.raises(Refused, match="jack"):
        save_draft(inspection=draft, revision=0, fields={}, findings=[finding], elements=[], by=by, at=now)


def test_a_second_reading_of_a_bar_has_a_row_of_its_own_and_loses_nothing(county, bridge, draft, bars, jack, now):
    by = county.people["inspector"]
    common = {"kind": "bar_force", "span_index": 1, "bar": bars[0], "jack": jack}
    first = common | {"force_method": "lift_off", "force_lb": 40_000.0}
    second = common | {
        "force_method": "lock_off",
        "force_lb": 50_500.0,
        "gauge_psi": 3945.3125,
        "repeats_lb": [50_000.0, 51_000.0],
        "note": "at lock-off",
    }
    save_draft(inspection=draft, revision=0, fields={}, findings=[first, second], elements=[], by=by, at=now)
    page = county.client("inspector").get(f"/inspections/{draft.pk}/edit/").content.decode()
    assert 'value="50000 51000"' in page
    own = {
        "kind": "bar_force",
        "span_index": "1",
        "bar": bars[0].pk,
        "force_lb": "50500",
        "force_method": "lock_off",
        "jack": jack.pk,
        "gauge_psi": "3945.3125",
        "repeats_lb": "50000 51000",
        "note": "at lock-off",
    }
    sent = {f"f-0-{name}": str(value) for name, value in own.items()}
    answer, _page = send(county, draft, sent, row(bars[0], "40000", jack=jack.pk))
    assert answer.status_code == 302
    kept = Finding.objects.get(force_method="lock_off")
    assert (kept.force_lb, kept.gauge_psi, kept.repeats_lb, kept.jack) == (
        50_500.0,
        3945.3125,
        [50_000.0, 51_000.0],
        jack,
    )
