"""The due lists as people use them: scope, filter, order, actions, messages, and a steady number of queries."""

import csv
import io
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from inspections.actions import remind
from inspections.models import OwedMessage, Reminder
from inspections.queries.reminders import late_reminders
from inspections.rules.clocks import lateness
from tests.makers.county import make_county

from .made import inspect, make_late_bridge, make_stringer_bridge


@pytest.fixture
def bridge(county):
    return make_owing(county.agency, "Q-1", 40)


def make_owing(agency, number, days_late, **fields):
    """A bridge whose inspection fell due `days_late` days ago (two years and that after the last), of today's date."""
    structure = make_late_bridge(agency, number, is_bridge_length=False, **fields)
    structure.inspections.all().delete()
    today = timezone.localdate()
    last = today - timedelta(days=days_late)
    inspect(structure, last.replace(year=last.year - 2, day=min(last.day, 28)))
    remind.refresh_reminders(structure_ids=[structure.pk], as_of=today, at=timezone.now())
    return structure


def listed(response):
    return [(row.reminder.structure.number, row.reminder.kind) for row in response.context["rows"]]


def test_stranger_is_sent_to_sign_in(client, bridge):
    for address in ("/due/", "/due/late/", "/due/csv/", "/due/print/", "/messages/", f"/due/{first(bridge).pk}/"):
        assert client.get(address).status_code == 302


def first(structure) -> Reminder:
    return structure.reminders.get(kind="inspection")


def test_everybody_reads_but_only_those_who_manage_see_the_overdue_list(county, bridge):
    for role, person in county.people.items():
        client = county.client(role)
        assert client.get("/due/").status_code == 200
        manages = role in ("supervisor", "engineer", "office")
        assert client.get("/due/late/").status_code == (200 if manages else 403), person


def test_another_agency_sees_and_moves_nothing(bridge):
    other = make_county("Marrow County", "003").client("supervisor")
    pk = first(bridge).pk
    assert listed(other.get("/due/")) == [] and other.get(f"/due/{pk}/").status_code == 404
    assert other.post(f"/due/{pk}/acknowledge/", {f"revision-{pk}": 0}).status_code == 404
    assert other.post("/due/assign/", {"chosen": [pk], "to": "nobody", f"revision-{pk}": 0}).status_code == 409
    assert first(bridge).state == "open"


def test_filter_narrows_and_an_unreadable_one_lists_nothing(county, bridge):
    make_owing(county.agency, "Q-2", -100, road_name="Plover Road")
    client = county.client("office")
    assert listed(client.get("/due/?kind=inspection")) == [("Q-1", "inspection"), ("Q-2", "inspection")]
    assert listed(client.get("/due/?kind=inspection&road=plover")) == [("Q-2", "inspection")]
    assert listed(client.get("/due/?q=sedge+q-1&kind=treatment")) == [("Q-1", "treatment")]
    assert listed(client.get("/due/?late=on")) == [("Q-1", "inspection")]
    assert listed(client.get(f"/due/?due_before={timezone.localdate()}")) == [("Q-1", "inspection")]
    assert listed(client.get("/due/?kind=inspection&sort=-structure")) == [("Q-2", "inspection"), ("Q-1", "inspection")]
    assert listed(client.get("/due/?person=nobody&kind=sign")) == []
    for bad in ("due_before=soon", "kind=parade", "person=99999999", "state=lost"):
        response = client.get(f"/due/?{bad}")
        assert listed(response) == [] and "Nothing is listed until it is corrected" in response.content.decode()
        assert client.get(f"/due/csv/?{bad}").status_code == 400


def test_database_and_rule_agree_on_what_is_late(county):
    """Two methods: the list asks the database, the row asks the rule. Every grade of lateness stands here."""
    today = timezone.localdate()
    structure = make_stringer_bridge(county.agency)
    for n, days in enumerate((-400, -130, -100, -60, -31, -10, -1, 0, 1, 10, 40)):
        due_on = today + timedelta(days=days)
        for kind, tolerance in (("inspection", 92), ("inspection", 0), ("bar_check", 28), ("sign", 0)):
            Reminder.objects.get_or_create(
                structure=structure,
                kind=kind,
                due_on=due_on + timedelta(days=1 if kind == "inspection" and not tolerance else 0),
                defaults={
                    "late_after": due_on + timedelta(days=max(tolerance, 1)),
                    "reason": f"case {n}",
                    "created_at": timezone.now(),
                },
            )
    by_rule = {
        row.pk
        for row in Reminder.objects.all()
        if lateness(kind=row.kind, due_on=row.due_on, late_after=row.late_after, as_of=today).is_late
    }
    by_database = set(late_reminders(county.people["office"], today).values_list("pk", flat=True))
    assert by_rule == by_database and 0 < len(by_rule) < Reminder.objects.count()


def test_late_list_has_the_longest_late_first_and_what_was_put_off_last(county, bridge):
    make_owing(county.agency, "Q-2", 90)
    make_owing(county.agency, "Q-3", 60)
    row = first_of(county, "Q-2")
    today = timezone.localdate()
    Reminder.objects.filter(pk=row.pk).update(state="deferred", deferred_to=today + timedelta(days=9))
    response = county.client("supervisor").get("/due/late/")
    assert [number for number, _ in listed(response)] == ["Q-3", "Q-1", "Q-2"]


def first_of(county, number):
    return Reminder.objects.get(structure__agency=county.agency, structure__number=number, kind="inspection")


def test_row_actions_of_the_overdue_list(county, bridge):
    client, row = county.client("supervisor"), first(bridge)
    response = client.post(
        f"/due/{row.pk}/acknowledge/?road=heron", {f"revision-{row.pk}": row.revision, "from_list": "1"}
    )
    assert response.status_code == 302 and response.url == "/due/late/?road=heron"
    row.refresh_from_db()
    assert row.state == "acknowledged"
    stale = client.post(f"/due/{row.pk}/acknowledge/", {f"revision-{row.pk}": 0, "from_list": "1"})
    assert stale.status_code == 409 and "Someone else changed" in stale.content.decode()


def test_ticked_rows_are_assigned_together_and_ticks_survive_a_refusal(county, bridge):
    second = make_owing(county.agency, "Q-2", 10)
    rows = [first(bridge), first(second)]
    inspector = county.people["inspector"]
    sent = {"chosen": [row.pk for row in rows], **{f"revision-{row.pk}": row.revision for row in rows}}
    client = county.client("supervisor")
    refused = client.post("/due/assign/", {**sent, "to": ""})
    assert refused.status_code == 400 and refused.context["ticked"] == {row.pk for row in rows}
    assert client.post("/due/assign/", {**sent, "to": inspector.pk}).status_code == 302
    assert set(Reminder.objects.filter(assigned_to=inspector)) == set(rows)
    assert listed(county.client("inspector").get("/due/?person=me")) == [("Q-1", "inspection"), ("Q-2", "inspection")]


def test_deferral_page_says_the_legal_date_stays_and_keeps_what_was_typed(county, bridge):
    bridge.is_bridge_length = True
    bridge.save()
    remind.refresh_reminders(structure_ids=[bridge.pk], as_of=timezone.localdate(), at=timezone.now())
    row, client = first(bridge), county.client("supervisor")
    assert "does not move the legal due date" in client.get(f"/due/{row.pk}/").content.decode()
    far = (row.late_after + timedelta(days=1)).isoformat()
    sent = {"defer-revision": row.revision, "defer-to": far, "defer-reason": "Bridge under water until autumn"}
    response = client.post(f"/due/{row.pk}/defer/", sent)
    body = response.content.decode()
    assert response.status_code == 409 and "no later" in body
    assert "Bridge under water until autumn" in body and far in body
    no_reason = client.post(f"/due/{row.pk}/defer/", sent | {"defer-reason": ""})
    assert no_reason.status_code == 400 and "Give the reason" in no_reason.content.decode()


def test_done_by_hand_and_the_refusal_for_an_inspection(county, bridge):
    client, today = county.client("supervisor"), timezone.localdate()
    row = first(bridge)
    sent = {"done-revision": row.revision, "done-on": today.isoformat(), "done-note": ""}
    refused = client.post(f"/due/{row.pk}/done/", sent)
    assert refused.status_code == 409 and "submit the inspection" in refused.content.decode()
    treatment = bridge.reminders.get(kind="treatment")
    done = client.post(f"/due/{treatment.pk}/done/", sent | {"done-revision": treatment.revision})
    assert done.status_code == 302 and bridge.works.get().kind == "treatment"


def test_moves_need_the_role(county, bridge):
    client, pk = county.client("crew"), first(bridge).pk
    for move in ("assign", "defer", "done"):
        assert client.post(f"/due/{pk}/{move}/", {}).status_code == 403
    assert client.post(f"/due/{pk}/acknowledge/", {f"revision-{pk}": 0}).status_code == 409
    assert first(bridge).state == "open"


def test_csv_holds_the_list_and_no_formula(county):
    make_owing(county.agency, "Q-1", 40, road_name="=cmd()")
    text = county.client("office").get("/due/csv/?late=on").content.decode()
    (row,) = list(csv.DictReader(io.StringIO(text)))
    assert row["structure"] == "Q-1" and row["what"] == "Inspection" and int(row["days late"]) >= 40
    assert not row["road"].startswith("=")


def test_paper_list_and_structure_section(county, bridge):
    client = county.client("crew")
    assert "Routine inspection" in client.get("/due/print/").content.decode()
    body = client.get(f"/structures/{bridge.pk}/").content.decode()
    assert "Owed on this structure" in body and "Routine inspection: 24 months" in body


def test_messages_are_ones_own_and_can_be_marked_read(county, bridge):
    client = county.client("supervisor")
    page = client.get("/messages/")
    assert page.context["unread"] == 1 and "Messages (1" in page.content.decode()
    assert county.client("office").get("/messages/").context["unread"] == 0
    message = OwedMessage.objects.get()
    assert county.client("office").post("/messages/read/", {"message": message.pk}).status_code == 302
    assert client.get("/messages/").context["unread"] == 1
    client.post("/messages/read/", {"message": message.pk})
    assert client.get("/messages/").context["unread"] == 0


@pytest.mark.parametrize("address", ["/due/", "/due/late/", "/due/print/", "/due/csv/", "/messages/"])
def test_queries_do_not_grow_with_rows(county, address):
    client = county.client("supervisor")

    def count():
        with CaptureQueriesContext(connection) as seen:
            assert client.get(address).status_code == 200
        return len(seen)

    for n in range(2):
        make_owing(county.agency, f"F-{n}", 20 + n)
    few = count()
    for n in range(12):
        make_owing(county.agency, f"M-{n}", 20 + n)
    assert count() == few


def test_date_of_a_leap_day_is_not_a_trap(county):
    """29 Feb 2024 + 24 months = 28 Feb 2026 (hand arithmetic), and the page shows it."""
    structure = make_late_bridge(county.agency)
    structure.inspections.all().delete()
    inspect(structure, date(2024, 2, 29))
    remind.refresh_reminders(structure_ids=[structure.pk], as_of=date(2026, 2, 1), at=timezone.now())
    assert "28 Feb 2026" in county.client("office").get("/due/?kind=inspection").content.decode()
