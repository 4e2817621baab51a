"""A setting from the delivery list to the opening, through the pages: order, holds, history, two people, bad input."""

import re
from datetime import date, timedelta

import pytest

from inventory.models import Event, MemberGroup, SettingRecord, SettingStep, SurfacingLayer, Work
from tests.app.inspection_pages.stressed import make_stressed_bridge
from tests.makers.county import make_county, make_stringer_bridge

BEGUN = date(2026, 5, 4)
MARKS = {0: "T1", 1: "T2", -1: "T3", 2: "T4"}


@pytest.fixture
def bridge(county):
    structure = make_stressed_bridge(county.agency)
    span = structure.spans.get()
    span.system = "stress_laminated_t"
    span.save()
    MemberGroup.objects.create(span=span, role="web", count=4, width_in=5.25, depth_in=30, spacing_ft=2)
    return structure


def words(response) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def lines(rows: list[dict], **more) -> dict:
    data = {"b-TOTAL_FORMS": len(rows), "b-INITIAL_FORMS": 0}
    for number, row in enumerate(rows):
        data |= {f"b-{number}-{name}": value for name, value in row.items()}
    return data | more


def beam_rows() -> list[dict]:
    return [
        {"mark": mark, "place": place, "length_ft": 30, "depth_in": 30, "weight_lb": 3000 + 100 * place,
         "lift_first_ft": 6, "lift_second_ft": 24}
        for place, mark in MARKS.items()
    ]  # fmt: skip


class Setting:
    """A record being filled through its pages by the crew."""

    def __init__(self, county, bridge):
        self.client, self.bridge = county.client("crew"), bridge
        self.post("new/", {"span": bridge.spans.get().pk, "started_on": BEGUN.isoformat(), "foreman": "R. Tew"})
        self.record = SettingRecord.objects.get()

    @property
    def base(self):
        return f"/structures/{self.bridge.pk}/setting/"

    def post(self, tail, data):
        return self.client.post(self.base + tail, data)

    def fresh(self):
        self.record.refresh_from_db()
        return self.record

    def deliver(self, rows=None):
        data = lines(rows or beam_rows(), revision=self.fresh().revision)
        data["b-INITIAL_FORMS"] = self.record.beams.count()
        return self.post(f"{self.record.pk}/beams/", data)

    def make_list(self, **more):
        data = {"passes": 2, "surfacing": "better", "revision": self.fresh().revision} | more
        return self.post(f"{self.record.pk}/checklist/", data)

    def step(self, key, day, **more):
        line = self.record.steps.get(key=key)
        data = {"stamp": self.fresh().revision, "done_on": day.isoformat()} | more
        return self.post(f"{self.record.pk}/steps/{line.order}/", data)

    def aim(self, **more):
        data = {"stamp": self.fresh().revision, "target_force_lb": 43200, "target_source": "design sheet 4"} | more
        return self.post(f"{self.record.pk}/edit/", data)


@pytest.fixture
def setting(county, bridge):
    return Setting(county, bridge)


HOLD = {"seen_by": "P. Stell"}
WALK = (
    ("delivered", {}),
    ("reference", HOLD),
    ("beams", {"value": 3}),
    ("tied", HOLD),
    ("aligned", HOLD),
    ("bars", {"value": 10}),
    ("pass-1", {"value": 20000}),
    ("pass-2", {"value": 43200}),
    ("stressed", HOLD),
    ("fastened", {}),
    ("rail", {}),
    ("tack", {}),
    ("thin_lift", {"value": 1, "unit_weight_pcf": 140}),
    ("membrane", {"value": 0.125, "unit_weight_pcf": 90}),
    ("final_lift", {"value": 2.5, "unit_weight_pcf": 140}),
    ("opening", HOLD),
)


def test_the_whole_way_writes_the_first_lines_of_the_history(setting, bridge, county):
    assert setting.deliver().status_code == 302
    assert setting.make_list().status_code == 302
    assert setting.aim().status_code == 302
    before = bridge.revision
    for number, (key, more) in enumerate(WALK):
        assert setting.step(key, BEGUN + timedelta(days=number), **more).status_code == 302, key
    assert setting.fresh().finished_on == BEGUN + timedelta(days=15)
    found = {(work.kind, work.done_on) for work in Work.objects.filter(structure=bridge)}
    # set when the last beam stood (third step), stressed on the day of the last pass (eighth step)
    assert found == {("setting", BEGUN + timedelta(days=2)), ("stressing", BEGUN + timedelta(days=7))}
    assert "43,200 lb a bar (design sheet 4), 2 passes" in Work.objects.get(kind="stressing").summary
    layers = [(layer.material, layer.thickness_in, layer.laid_on) for layer in bridge.surfacing.all()]
    assert layers == [
        ("tack", 0, BEGUN + timedelta(days=11)),
        ("asphalt", 1, BEGUN + timedelta(days=12)),
        ("membrane", 0.125, BEGUN + timedelta(days=13)),
        ("asphalt", 2.5, BEGUN + timedelta(days=14)),
    ]
    bridge.refresh_from_db()
    assert bridge.revision == before + 4, "each layer is dead load: a new rating follows"
    assert bridge.installed_on is None, "the opening date is offered, not taken"
    page = setting.client.get(f"{setting.base}{setting.record.pk}/")
    assert "can take over 19 May 2026" in words(page)
    office = county.client("office")
    office.post(f"{setting.base}{setting.record.pk}/opening/", {"revision": setting.fresh().revision})
    bridge.refresh_from_db()
    assert bridge.installed_on == BEGUN + timedelta(days=15) and "installed_on" in bridge.hand_entered


def test_the_page_and_the_sheet_show_order_weights_and_holds(setting):
    setting.deliver()
    setting.make_list()
    page = words(setting.client.get(f"{setting.base}{setting.record.pk}/"))
    # weights 3000, 3100, 2900, 3200: together 12,200
    assert "Together 12,200 lb; the heaviest lift is 3,200 lb (beam T4)" in page
    places = re.findall(r'data-label="Place">(-?\+?\d)', page)
    assert places == ["0", "+1", "-1", "+2"]
    assert page.count("▮ Hold:</span>") == 5
    assert "It is not taken over by itself" in page and "not entered" in page
    sheet = words(setting.client.get(f"{setting.base}{setting.record.pk}/sheet/"))
    assert (
        sheet.count("▮ HOLD:") == 5 and "not entered: no stressing" in sheet and "Nobody under a lifted beam" in sheet
    )


def test_a_hold_is_not_passed_without_a_named_persons_reason_and_that_is_told(setting):
    setting.deliver()
    setting.make_list()
    setting.aim()
    for key, more in WALK[:8]:
        setting.step(key, BEGUN, **more)
    refused = setting.step("fastened", BEGUN + timedelta(days=1), note="bolts are here")
    assert refused.status_code == 422
    assert "Stressing done and forces read" in words(refused) and "bolts are here" in words(refused)
    only_reason = setting.step("fastened", BEGUN + timedelta(days=1), passed_over_reason="flood warning")
    assert only_reason.status_code == 422 and "Name the person" in words(only_reason)
    assert not SettingStep.objects.get(key="fastened").done_on
    given = {"passed_over_by": "E. Marl, PE", "passed_over_reason": "flood warning for the night"}
    assert setting.step("fastened", BEGUN + timedelta(days=1), **given).status_code == 302
    hold = SettingStep.objects.get(key="stressed")
    assert (hold.passed_over_by, hold.passed_over_reason) == ("E. Marl, PE", "flood warning for the night")
    told = Event.objects.filter(verb="finish_setting_step").order_by("-pk").first()
    assert "Passed over by E. Marl, PE (flood warning for the night): Stressing done" in told.sentence
    assert told.detail["passed_over"] == [hold.order]
    for tail in ("", "sheet/"):
        assert "Passed over by E. Marl, PE: flood warning for the night" in words(
            setting.client.get(f"{setting.base}{setting.record.pk}/{tail}")
        )
    # what was passed over can still be done, and writes its line then
    assert setting.step("stressed", BEGUN + timedelta(days=2), **HOLD).status_code == 302
    assert Work.objects.filter(kind="stressing").count() == 1


def test_a_day_before_an_earlier_step_is_out_of_order_too(setting):
    setting.deliver()
    setting.make_list()
    setting.step("delivered", BEGUN + timedelta(days=3))
    refused = setting.step("reference", BEGUN + timedelta(days=2), **HOLD)
    assert refused.status_code == 422 and "was not done" in words(refused)
    assert setting.step("reference", BEGUN + timedelta(days=3), **HOLD).status_code == 302


@pytest.mark.parametrize(
    ("key", "more", "sentence"),
    [
        ("delivered", {"done_on": "2026-05-01"}, "The setting began on 04 May 2026"),
        ("delivered", {"done_on": ""}, "Enter the day it was done"),
        ("delivered", {"done_on": "2999-01-01"}, "lies after today"),
        ("reference", {}, "enter who saw it"),
        ("beams", {"value": ""}, "Enter the number this step asks for"),
        ("beams", {"value": "-3"}, "must be from 1"),
        ("pass-1", {"value": "many"}, "Enter a number in digits"),
        ("pass-1", {"value": "20000"}, "No force per bar is entered"),
        ("thin_lift", {"value": "1"}, "Enter the weight of the layer"),
    ],
)
def test_a_refused_step_says_why_and_saves_nothing(setting, key, more, sentence):
    setting.deliver()
    setting.make_list()
    given = {"passed_over_by": "P. Stell", "passed_over_reason": "trial"} | more
    day = more.get("done_on", BEGUN.isoformat())
    response = setting.step(key, BEGUN, **(given | {"done_on": day}))
    assert response.status_code == 422 and sentence in words(response)
    assert not SettingStep.objects.filter(done_on__isnull=False).exists()
    assert not Work.objects.exists() and not SurfacingLayer.objects.exists()


def test_a_force_needs_its_source(setting):
    refused = setting.aim(target_source=" ")
    assert refused.status_code == 422 and "It has no default" in words(refused) and "43200" in words(refused)
    assert setting.fresh().target_force_lb is None
    assert setting.aim(target_force_lb="-1").status_code == 422


def test_the_delivery_list_keeps_what_was_typed(setting):
    rows = beam_rows()
    rows[1]["place"], rows[2]["weight_lb"], rows[3]["lift_second_ft"] = 0, "heavy", 99
    response = setting.deliver(rows)
    assert response.status_code == 422
    page = words(response)
    assert 'value="heavy"' in page and 'value="99"' in page and "Enter a number in digits" in page
    rows[2]["weight_lb"] = 2900
    page = words(setting.deliver(rows))
    assert "has the place 0 too" in page and "off a beam of 30 ft" in page and 'value="99"' in page
    assert not setting.record.beams.exists()


def test_proposed_lines_left_alone_are_no_beams(setting):
    address = f"{setting.base}{setting.record.pk}/beams/"
    page = setting.client.get(address)
    # four webs on record: four lines proposed, four spare ones, no mark guessed
    assert len(page.context["lines"].forms) == 8 and "proposed from the members" in words(page)
    rows = [{"place": p, "kind": "T-beam", "length_ft": 30, "depth_in": 30} for p in (0, 1, -1, 2)]
    rows[0]["mark"] = "T1"
    data = lines(rows, revision=setting.record.revision) | {"b-INITIAL_FORMS": 4}
    assert setting.client.post(address, data).status_code == 302
    assert [beam.mark for beam in setting.record.beams.all()] == ["T1"]
    # a line the person filled in without a mark is asked about, not dropped
    rows[1]["weight_lb"] = 3000
    data = lines(rows, revision=setting.fresh().revision) | {"b-INITIAL_FORMS": 1}
    response = setting.client.post(address, data)
    assert response.status_code == 422 and "Enter the mark as it is painted" in words(response)


def test_marks_and_places_stay_once_steps_are_recorded(setting):
    setting.deliver()
    setting.make_list()
    setting.step("delivered", BEGUN)
    rows = beam_rows()
    rows[0]["weight_lb"] = 3333
    assert setting.deliver(rows).status_code == 302
    assert setting.record.beams.get(place=0).weight_lb == 3333 and setting.record.steps.exists()
    rows[0]["mark"] = "X9"
    assert "already recorded for these beams" in words(setting.deliver(rows))
    assert "stays as it is" in words(setting.make_list())


def test_an_old_page_is_refused_with_what_was_typed(setting, county):
    setting.deliver()
    setting.make_list()
    order = setting.record.steps.get(key="delivered").order
    address = f"{setting.base}{setting.record.pk}/steps/{order}/"
    stale = {"stamp": setting.fresh().revision, "done_on": BEGUN.isoformat(), "note": "all dry"}
    setting.aim()
    response = setting.client.post(address, stale)
    assert response.status_code == 422 and "changed after you opened it" in words(response)
    assert "all dry" in words(response)
    assert setting.client.post(address, {"done_on": BEGUN.isoformat()}).status_code == 422


def test_a_line_of_the_history_is_never_written_twice(setting, bridge):
    """A stressing day of that day and a layer of that day may stand on record already."""
    setting.deliver()
    setting.make_list()
    setting.aim()
    work = Work.objects.create(structure=bridge, kind="stressing", done_on=BEGUN, summary="Stressing day 1")
    SurfacingLayer.objects.create(
        structure=bridge, material="asphalt", thickness_in=1, unit_weight_pcf=140, laid_on=BEGUN
    )
    for key, more in WALK:
        assert setting.step(key, BEGUN, **more).status_code == 302, key
    assert Work.objects.filter(kind="stressing").count() == 1
    assert SettingStep.objects.get(key="stressed").work == work
    assert bridge.surfacing.filter(thickness_in=1).count() == 1
    again = setting.step("stressed", BEGUN, **HOLD)
    assert again.status_code == 422 and "already recorded as done" in words(again)


def test_a_step_recorded_in_error_is_opened_again_but_not_one_in_the_history(setting):
    setting.deliver()
    setting.make_list()
    for key, more in WALK[:3]:
        setting.step(key, BEGUN, **more)

    def back(key):
        order = setting.record.steps.get(key=key).order
        data = {"revision": setting.fresh().revision}
        return setting.client.post(f"{setting.base}{setting.record.pk}/steps/{order}/back/", data, follow=True)

    assert "take those back first" in words(back("delivered"))
    assert "stands in the structure" in words(back("beams"))
    setting.step("tied", BEGUN, **HOLD)
    assert "open again" in words(back("tied"))
    assert setting.record.steps.get(key="tied").done_on is None
    assert Event.objects.filter(verb="take_back_setting_step").count() == 1


def test_one_record_at_a_time_for_a_span(setting):
    response = setting.post("new/", {"span": setting.record.span_id, "started_on": BEGUN.isoformat()})
    assert response.status_code == 422 and "already being recorded" in words(response)


def test_a_bridge_without_a_record_is_not_nagged(county, bridge):
    page = words(county.client("engineer").get(f"/structures/{bridge.pk}/setting/"))
    assert "needs none" in page


@pytest.mark.parametrize("role", ["office", "inspector", "crew", "supervisor", "engineer", "administrator", "reviewer"])
def test_who_may_record_and_who_may_read(county, setting, role):
    client = county.client(role)
    record = f"{setting.base}{setting.record.pk}/"
    for tail in ("", "sheet/"):
        assert client.get(record + tail).status_code == 200
    may = role in {"office", "crew", "supervisor", "engineer"}
    for tail in ("edit/", "beams/"):
        assert client.get(record + tail).status_code == (200 if may else 403)
    assert client.get(f"{setting.base}new/").status_code == (200 if may else 403)
    stranger = make_county("Marrow County", "003").client("engineer")
    assert stranger.get(record).status_code == 404


def test_records_of_one_structure_are_not_reached_through_another(county, setting):
    other = make_county("Marrow County", "004")
    theirs = make_stringer_bridge(other.agency)
    assert other.client("crew").get(f"/structures/{theirs.pk}/setting/{setting.record.pk}/").status_code == 404
