"""Newer formulas and tables: what they touch, by how much, and that nothing follows before somebody says so."""

import csv
import io
import json
from dataclasses import replace

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from inspections import tasks
from inspections.actions import rate, recalculate
from inspections.models import OwedRating, Rating, Recalculation, Recommendation
from inspections.queries.recalculations import ratings_as_values, standing_rating_ids
from inspections.reckoning import recalculation
from inspections.reckoning.rating import rate_snapshot
from inspections.rules import recalculation as rules
from inspections.rules.refusals import Refused
from inventory.mechanics.tables import adjustment
from inventory.models import MemberGroup, Posting, Span
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import make_stressed_deck, settle_all

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def rated(structure, at):
    rate.owe_rating(structure=structure, cause="first", at=at)
    return settle_all(structure, at)


@pytest.fixture
def by_table(county, now):
    """A stringer bridge whose design values come from the table, rated."""
    structure = make_stringer_bridge(county.agency)
    MemberGroup.objects.update(fb_psi=None, fv_psi=None, fc_perp_psi=None, e_psi=None, value_source="")
    rated(structure, now)
    return structure


def with_table_value(monkeypatch, factor: float):
    """Every bending value of the table times `factor`, in the place the comparison reads."""
    rows = tuple(replace(row, fb_psi=row.fb_psi * factor) for row in rules.DESIGN_VALUES)
    monkeypatch.setattr(rules, "DESIGN_VALUES", rows)


def worked_through(agency, by, at) -> Recalculation:
    asked = recalculate.ask_recalculation(agency=agency, by=by, at=at)
    while recalculate.work_on_recalculation(recalculation_id=asked.pk, at=at, most=1):
        pass
    asked.refresh_from_db()
    return asked


def test_nothing_changed_touches_nothing(county, now, by_table):
    asked = worked_through(county.agency, county.people["engineer"], now)
    assert (asked.state, asked.standing_count, asked.lines.count()) == ("ready", 1, 0)


def test_a_changed_design_value_touches_only_who_uses_it(county, now, by_table, monkeypatch):
    """Law: RF is linear in F_b with the dead load held, so capacity x 1.1 gives RF x 1.1 + 0.1 D / L."""
    entered = make_stringer_bridge(county.agency, number="Q-9")
    MemberGroup.objects.filter(span__structure=entered).update(fb_psi=1300)
    rated(entered, now)
    with_table_value(monkeypatch, 1.1)
    asked = worked_through(county.agency, county.people["engineer"], now)
    (line,) = asked.lines.all()
    assert line.rating.structure == by_table and line.state == "done" and line.is_changed
    assert any("Douglas fir-larch No.1" in cause and "1350" in cause and "1485" in cause for cause in line.causes)
    assert line.change["new"]["least_factor"] > line.change["old"]["least_factor"] * 1.1
    assert Rating.objects.count() == 2, "looking makes no rating"
    assert not OwedRating.objects.filter(state="owed").exists()


def test_a_new_kernel_touches_everything_and_a_table_only_its_readers(county, now, by_table, monkeypatch):
    deck = make_stressed_deck(county.agency)
    rated(deck, now)
    ids = standing_rating_ids(county.agency)
    assert len(ids) == 2
    assert not any(recalculation.causes_of(row) for row in ratings_as_values(ids))
    kernel, tables = recalculation.present_versions()
    monkeypatch.setattr(recalculation, "present_versions", lambda: ("99.0", tables))
    assert all("kernel" in recalculation.causes_of(row)[0] for row in ratings_as_values(ids))
    newer = tables | {"wheel_lines": "wheel-lines 9.9"}
    monkeypatch.setattr(recalculation, "present_versions", lambda: (kernel, newer))
    told = {row["structure_id"]: recalculation.causes_of(row) for row in ratings_as_values(ids)}
    assert any("wheel lines" in cause for cause in told[by_table.pk])
    is_rated = Rating.objects.get(structure=deck).is_rated
    assert not is_rated or told[deck.pk] == []


def test_a_standing_rating_computed_again_by_the_same_kernel_is_the_same(county, now, by_table):
    """Law: same inputs, same calculation, same answer."""
    for row in ratings_as_values(standing_rating_ids(county.agency)):
        change = recalculation.rate_again(row)
        assert change["old"] == change["new"]
        assert not rules.is_changed(change)


def test_two_processes_say_what_one_says(county, now, by_table):
    rows = list(ratings_as_values(standing_rating_ids())) * 3
    alone = [change for _row, change in recalculation.rate_all_again(rows)]
    together = [change for _row, change in recalculation.rate_all_again(rows, workers=2)]
    assert alone == together and all(isinstance(change, dict) for change in alone)


def test_owing_makes_new_ratings_and_proposals_and_no_posting(county, now, by_table, monkeypatch):
    with_table_value(monkeypatch, 0.6)
    engineer = county.people["engineer"]
    asked = worked_through(county.agency, engineer, now)
    old = Rating.objects.get(structure=by_table)
    assert recalculate.decide_recalculation(recalculation=asked, is_taken=True, by=engineer, at=now) == 1
    owed = OwedRating.objects.get(structure=by_table, state="owed")
    assert owed.cause.startswith("Recalculated:")
    settle_all(by_table, now)
    assert Rating.objects.filter(pk=old.pk, least_factor=old.least_factor).exists()
    assert not Posting.objects.exists()
    assert set(Recommendation.objects.values_list("state", flat=True)) <= {"proposed", "withdrawn"}
    asked.refresh_from_db()
    assert (asked.state, asked.decided_by) == ("owed", engineer)
    with pytest.raises(Refused):
        recalculate.decide_recalculation(recalculation=asked, is_taken=False, by=engineer, at=now)


def test_the_same_inputs_under_another_table_are_another_rating(county, now, by_table, monkeypatch):
    """A table may change while kernel and inputs stay: the old rating is kept, the new one stands beside it."""
    first = Rating.objects.get(structure=by_table)
    assert rated(by_table, now) == first, "the same inputs, kernel and tables are the same rating"
    monkeypatch.setattr(adjustment, "VERSION", "adjustment 99")
    second = rated(by_table, now)
    assert second != first and second.digest == first.digest
    assert second.kernel_version.startswith(f"{first.kernel_version}+")
    assert second.table_versions["adjustment"] == "adjustment 99"
    assert rated(by_table, now) == second


def test_a_look_is_asked_for_once_and_only_by_those_who_may(county, now, by_table):
    engineer = county.people["engineer"]
    first = recalculate.ask_recalculation(agency=county.agency, by=engineer, at=now)
    assert recalculate.ask_recalculation(agency=county.agency, by=engineer, at=now) == first
    with pytest.raises(Refused, match="supervisor"):
        recalculate.ask_recalculation(agency=county.agency, by=county.people["inspector"], at=now)


def test_a_line_that_kills_its_worker_is_given_up_and_told(county, now, by_table, monkeypatch):
    with_table_value(monkeypatch, 1.1)
    asked = recalculate.ask_recalculation(agency=county.agency, by=county.people["engineer"], at=now)
    recalculate.work_on_recalculation(recalculation_id=asked.pk, at=now, most=1)
    asked.lines.update(attempts=recalculate.ATTEMPTS)
    assert not recalculate.work_on_recalculation(recalculation_id=asked.pk, at=now, most=1)
    line = asked.lines.get()
    assert (line.state, line.problem) == ("failed", recalculate.KILLED)


def test_a_calculation_that_fails_stands_beside_the_others(county, now, by_table, monkeypatch):
    with_table_value(monkeypatch, 1.1)

    def broken(_rating):
        raise ArithmeticError("no such luck")

    monkeypatch.setattr(recalculation, "rate_again", broken)
    asked = worked_through(county.agency, county.people["engineer"], now)
    line = asked.lines.get()
    assert line.state == "failed" and "no such luck" in line.problem and asked.state == "ready"


def test_the_pages_lead_from_asking_to_owing(county, now, by_table, monkeypatch, django_capture_on_commit_callbacks):
    with_table_value(monkeypatch, 0.6)
    client = county.client("engineer")
    assert "Look at every standing rating" in client.get(reverse("inspections:recalculations")).content.decode()
    heard = []
    monkeypatch.setattr(tasks.recalculate, "delay", heard.append)
    with django_capture_on_commit_callbacks(execute=True):
        answer = client.post(reverse("inspections:recalculation_ask", args=[county.agency.pk]))
    asked = Recalculation.objects.get()
    assert answer.url == reverse("inspections:recalculation", args=[asked.pk]) and heard == [asked.pk]
    page = client.get(answer.url).content.decode()
    assert "Waiting for the worker" in page and "nothing gets lost" in page
    for _ in range(3):
        tasks.recalculate(asked.pk)
    progress = client.get(reverse("inspections:recalculation_progress", args=[asked.pk]))
    assert progress.headers["HX-Refresh"] == "true"
    page = client.get(answer.url).content.decode()
    assert by_table.number in page and "▼" in page and "Owe the changed structures a rating" in page
    rows = list(csv.DictReader(io.StringIO(client.get(answer.url + "csv/").content.decode())))
    assert [row["structure"] for row in rows] == [by_table.number]
    old, new = (float(rows[0][f"{which} least factor"]) for which in ("old", "new"))
    assert new < old and float(rows[0]["difference"]) == pytest.approx(new - old, abs=2e-4)
    assert client.post(answer.url + "decide/", {"decision": "perhaps"}).status_code == 400
    client.post(answer.url + "decide/", {"decision": "owe"})
    assert OwedRating.objects.filter(structure=by_table, state="owed").count() == 1
    assert client.post(answer.url + "decide/", {"decision": "owe"}).status_code == 409


def test_another_county_sees_nothing_of_it(county, now, by_table):
    asked = recalculate.ask_recalculation(agency=county.agency, by=county.people["engineer"], at=now)
    other = make_county("Marrow County", "003").client("engineer")
    for name in ("recalculation", "recalculation_progress", "recalculation_file"):
        assert other.get(reverse(f"inspections:{name}", args=[asked.pk])).status_code == 404
    assert other.post(reverse("inspections:recalculation_ask", args=[county.agency.pk])).status_code == 404


def test_what_a_lost_message_left_is_swept_up(county, now, by_table, monkeypatch):
    asked = recalculate.ask_recalculation(agency=county.agency, by=county.people["engineer"], at=now)
    heard = []
    monkeypatch.setattr(tasks.recalculate, "delay", heard.append)
    Recalculation.objects.update(worked_at=now.replace(year=2020))
    assert tasks.sweep_recalculations() == 1 and heard == [asked.pk]


def told(*arguments) -> str:
    out = io.StringIO()
    call_command("recalculate", *arguments, stdout=out)
    return out.getvalue()


def test_the_command_reports_and_owes_only_when_told(county, now, by_table, monkeypatch, tmp_path):
    assert "0 touched" in told("--dry-run")
    with_table_value(monkeypatch, 0.6)
    report = tmp_path / "report.json"
    out = told("--dry-run", "--report", str(report), "--agency", county.agency.name)
    assert "1 touched" in out and by_table.number in out and "Nothing was owed" in out
    whole = json.loads(report.read_text())
    assert whole["structures"][0]["structure"] == by_table.number and whole["standing_ratings"] == 1
    assert not OwedRating.objects.filter(state="owed").exists()
    assert "--yes" in told()
    with pytest.raises(CommandError, match="cannot be written"):
        told("--dry-run", "--report", str(tmp_path / "none" / "report.csv"))
    assert "1 structures are owed" in told("--yes", "--report", str(tmp_path / "report.csv"))
    assert OwedRating.objects.get(state="owed").structure == by_table


def test_what_a_newer_kernel_rated_by_itself_is_shown_before_anyone_adopts(county, now, by_table, monkeypatch):
    """The sweep rates everything anew under a newer kernel; the look compares both stored ratings and owes nothing."""
    old = Rating.objects.get(structure=by_table)
    Span.objects.filter(structure=by_table).update(length_ft=20.0)
    newer = "99.0"
    with monkeypatch.context() as patch:
        patch.setattr(rate, "rate_snapshot", lambda snapshot: replace(rate_snapshot(snapshot), kernel_version=newer))
        new = rated(by_table, now)
    _kernel, tables = recalculation.present_versions()
    monkeypatch.setattr(recalculation, "present_versions", lambda: (newer, tables))
    engineer = county.people["engineer"]
    asked = worked_through(county.agency, engineer, now)
    line = asked.lines.get()
    assert (line.rating, line.state, line.is_changed) == (new, "done", True)
    assert line.change["old"]["least_factor"] == old.least_factor > line.change["new"]["least_factor"]
    assert "99.0" in line.causes[0]
    page = county.client("engineer").get(reverse("inspections:recalculation", args=[asked.pk])).content.decode()
    assert "rated anew already" in page
    assert "were just, rated otherwise" in told("--yes") and not OwedRating.objects.filter(state="owed").exists()
    assert recalculate.decide_recalculation(recalculation=asked, is_taken=True, by=engineer, at=now) == 0
    assert not OwedRating.objects.filter(state="owed").exists()
