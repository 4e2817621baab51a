"""The table is the queue: a rating owed is settled once, whatever is lost, repeated, killed or down.

The faults are those a message queue has by nature: a message lost, delivered twice, two workers at once, a worker
killed in the middle (what a broker with late acknowledgement promises is at least once, not once; memory).
"""

import json
import os
import signal
import subprocess
import sys
import threading
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import connection

from inspections import tasks
from inspections.actions import rate, receive
from inspections.models import Inspection, OwedRating, Rating, Recommendation
from inspections.queries.ratings import last_failure
from inspections.rules.refusals import Stale
from inventory.models import Event, Standing, Structure
from tests.conftest import absent
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import DONE_ON, bar_readings, draft, make_stressed_deck, rated, submitted

pytestmark = pytest.mark.database
ROOT = Path(__file__).resolve().parent.parent.parent


@pytest.fixture
def owed(county, now):
    bridge = make_stringer_bridge(county.agency)
    submitted(bridge, county.people["inspector"], now)
    return OwedRating.objects.get()


def settled_once(structure):
    """One rating, told once, one proposal, the inspection rated."""
    assert Rating.objects.filter(structure=structure).count() == 1
    assert Event.objects.filter(structure=structure, verb="rate").count() == 1
    assert Recommendation.objects.filter(structure=structure).count() == 1
    assert Inspection.objects.get(structure=structure).state == "rated"
    return True


def test_the_tasks_bear_the_names_the_clock_calls():
    names = {task.name for task in (tasks.settle_rating, tasks.sweep_owed_ratings, tasks.sweep_reminders)}
    assert names == {"inspections.settle_rating", "inspections.sweep_owed_ratings", "inspections.sweep_reminders"}


def test_a_message_delivered_twice_settles_once(owed):
    for _ in range(2):
        tasks.settle_rating(owed.pk)
    owed.refresh_from_db()
    assert (owed.state, owed.attempts) == ("done", 1) and settled_once(owed.structure)


def test_a_lost_message_costs_one_sweep(owed):
    assert tasks.sweep_owed_ratings() == 1
    assert settled_once(owed.structure)
    assert tasks.sweep_owed_ratings() == 0


def test_a_message_for_a_row_that_is_gone_is_nothing(db):
    tasks.settle_rating(123456)
    assert not Rating.objects.exists()


def test_a_broker_that_is_down_does_not_hold_the_page(owed, monkeypatch, caplog, django_capture_on_commit_callbacks):
    def refuse(*_):
        raise ConnectionError("no broker here")

    monkeypatch.setattr(tasks.settle_rating, "delay", refuse)
    with django_capture_on_commit_callbacks(execute=True):
        tasks.nudge(owed.pk)
    assert "the sweep will find it" in caplog.text
    assert tasks.sweep_owed_ratings() == 1


def test_a_nudge_waits_for_the_commit(owed, monkeypatch, django_capture_on_commit_callbacks):
    told = []
    monkeypatch.setattr(tasks.settle_rating, "delay", told.append)
    with django_capture_on_commit_callbacks(execute=True):
        tasks.nudge(owed.pk)
        assert told == []
    assert told == [owed.pk]


@pytest.mark.parametrize(
    "where", ["_keep_rating", "_inspection_rated", "_tell", "recommend", "_mark_seen", "refresh_standing"]
)
def test_stopped_anywhere_in_the_middle_nothing_is_half_done(owed, monkeypatch, where):
    with monkeypatch.context() as patch:

        def stop(*_, **__):
            raise SystemExit("stopped")

        patch.setattr(rate, where, stop)
        with pytest.raises(SystemExit):
            tasks.settle_rating(owed.pk)
    owed.refresh_from_db()
    assert (owed.state, owed.attempts, owed.rating) == ("owed", 1, None)
    assert not Rating.objects.exists() and not Recommendation.objects.exists()
    assert Inspection.objects.get().state == "submitted"
    assert tasks.sweep_owed_ratings() == 1 and settled_once(owed.structure)


def test_what_fails_each_time_is_given_up_where_a_person_sees_it(owed, monkeypatch):
    def broken(*_, **__):
        raise RuntimeError("a fault nobody thought of")

    with monkeypatch.context() as patch:
        patch.setattr(rate, "assemble_snapshot", broken)
        for attempt in range(1, rate.ATTEMPTS + 1):
            owed.refresh_from_db()
            assert (owed.state, owed.attempts) == ("owed", attempt - 1)
            tasks.sweep_owed_ratings()
    owed.refresh_from_db()
    assert (owed.state, owed.attempts) == ("failed", rate.ATTEMPTS) and "nobody thought of" in owed.problem
    assert Inspection.objects.get().state == "rated"
    assert last_failure(owed.structure).pk == owed.pk
    assert "must rate by hand" in Event.objects.get(verb="rating_failed").sentence
    assert tasks.sweep_owed_ratings() == 0


def test_what_kills_the_worker_each_time_is_given_up_too(owed, monkeypatch):
    with monkeypatch.context() as patch:

        def killed(*_, **__):
            raise SystemExit

        patch.setattr(rate, "assemble_snapshot", killed)
        for _ in range(rate.ATTEMPTS):
            with pytest.raises(SystemExit):
                tasks.settle_rating(owed.pk)
    tasks.sweep_owed_ratings()
    owed.refresh_from_db()
    assert owed.state == "failed" and "without an answer" in owed.problem


def test_one_row_that_fails_does_not_hold_up_the_others(owed, county, now, monkeypatch):
    second = make_stringer_bridge(county.agency, "Q-5")
    submitted(second, county.people["inspector"], now)
    real = rate.assemble_snapshot

    def picky(*, structure, as_of):
        if structure.pk == owed.structure_id:
            raise RuntimeError("only this one")
        return real(structure=structure, as_of=as_of)

    monkeypatch.setattr(rate, "assemble_snapshot", picky)
    tasks.sweep_owed_ratings()
    assert settled_once(second) and not Rating.objects.filter(structure=owed.structure).exists()


def test_a_changed_structure_is_found_once(owed, now):
    tasks.sweep_owed_ratings()
    bridge = owed.structure
    Structure.objects.filter(pk=bridge.pk).update(revision=3, roadway_width_ft=17.0)
    assert tasks.sweep_owed_ratings() == 1
    assert Standing.objects.get(structure=bridge).rated_revision == 3
    assert OwedRating.objects.filter(structure=bridge).latest("id").cause.startswith("Members, bars or surfacing")
    assert tasks.sweep_owed_ratings() == 0


def test_a_changed_structure_without_a_standing_row_is_found_too(owed):
    tasks.sweep_owed_ratings()
    Structure.objects.filter(pk=owed.structure_id).update(revision=1)
    Standing.objects.all().delete()
    assert tasks.sweep_owed_ratings() == 1 and Standing.objects.get().rated_revision == 1


def test_a_failure_is_not_owed_again_until_something_changes(owed, monkeypatch):
    Structure.objects.filter(pk=owed.structure_id).update(revision=2)
    with monkeypatch.context() as patch:
        patch.setattr(rate, "assemble_snapshot", lambda **_: 1 / 0)
        for _ in range(rate.ATTEMPTS):
            tasks.sweep_owed_ratings()
    assert tasks.sweep_owed_ratings() == 0
    Structure.objects.filter(pk=owed.structure_id).update(revision=3)
    assert tasks.sweep_owed_ratings() == 1 and Rating.objects.filter(structure=owed.structure_id).count() == 1


def test_readings_that_go_out_of_date_are_noticed_once(county, now, monkeypatch):
    """Owner policy of 24 months: read on 14 June 2026, current through 14 June 2028, owed on the 15th."""
    deck = make_stressed_deck(county.agency)
    rated(deck, county.people["inspector"], now, bar_readings(deck, 57600.0))
    clock = [now.replace(year=2028, day=14)]
    monkeypatch.setattr(tasks.timezone, "now", lambda: clock[0])
    assert tasks.sweep_owed_ratings() == 0
    clock[0] += timedelta(days=1)
    assert tasks.sweep_owed_ratings() == 1
    assert Standing.objects.get(structure=deck).bar_state == "unknown"
    assert Recommendation.objects.get(structure=deck, state="proposed").restriction == "closed"
    clock[0] += timedelta(days=1)
    assert tasks.sweep_owed_ratings() == 0
    assert DONE_ON.year == 2026


# --- two at once: these need a database that two connections can open


@pytest.fixture
def shared_database(transactional_db):
    if connection.vendor == "sqlite" and "memory" in str(connection.settings_dict["NAME"]):
        absent("a database that two connections can open (SPANLEDGER_TEST_SQLITE=<file> or PostgreSQL)")


def run_together(*calls):
    """Run the calls in threads that start as one; each returns its answer or its exception."""
    gate, answers = threading.Barrier(len(calls)), [None] * len(calls)

    def run(index, call):
        try:
            gate.wait(timeout=20)
            answers[index] = call()
        except Exception as problem:
            answers[index] = problem
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(i, call)) for i, call in enumerate(calls)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return answers


def make_county_here():
    from tests.makers.county import make_county

    return make_county()


def test_two_workers_at_once_settle_once(shared_database, now):
    county = make_county_here()
    bridge = make_stringer_bridge(county.agency)
    submitted(bridge, county.people["inspector"], now)
    row = OwedRating.objects.get()
    run_together(*[lambda: rate.settle_owed_rating(owed_id=row.pk, at=now)] * 3)
    row.refresh_from_db()
    assert row.state == "done" and settled_once(bridge)


def test_two_savings_at_once_one_wins_and_one_reads_a_sentence(shared_database, now):
    county = make_county_here()
    bridge = make_stringer_bridge(county.agency)
    inspection = draft(bridge, county.people["inspector"], now)

    def save(who, note):
        return receive.save_draft(
            inspection=inspection,
            revision=inspection.revision,
            fields={"notes": note},
            findings=[{"kind": "other", "note": note}],
            elements=[],
            by=county.people[who],
            at=now,
        )

    answers = run_together(lambda: save("inspector", "mine"), lambda: save("engineer", "theirs"))
    assert sorted(type(answer).__name__ for answer in answers) == [Inspection.__name__, Stale.__name__]
    kept = Inspection.objects.get()
    assert kept.findings.get().note == kept.notes


# --- a worker killed outright


CHILD = """
import json, os, signal, sys
import django
django.setup()
from datetime import datetime, UTC
from inspections import tasks
from inspections.actions import rate
from inspections.models import Inspection, OwedRating, Rating, Recommendation
what = sys.argv[1]
if what == "make":
    from tests.makers.county import make_county, make_stringer_bridge
    from tests.makers.inspected import submitted
    county = make_county()
    submitted(make_stringer_bridge(county.agency), county.people["inspector"], datetime(2026, 6, 15, 12, tzinfo=UTC))
elif what == "die":
    def die(**_):
        assert Rating.objects.count() == 1, "the rating is written, not committed"
        os.kill(os.getpid(), signal.SIGKILL)
    rate.recommend = die
    tasks.settle_rating(OwedRating.objects.get().pk)
elif what == "sweep":
    tasks.sweep_owed_ratings()
print(json.dumps({"ratings": Rating.objects.count(), "proposals": Recommendation.objects.count(),
                  "owed": OwedRating.objects.get().state, "inspection": Inspection.objects.get().state}))
"""


def test_a_worker_killed_outright_with_the_rating_written_loses_nothing(tmp_path):
    """SIGKILL between the write and the commit, on a database file of its own."""
    env = os.environ | {
        "DATABASE_URL": f"sqlite:///{tmp_path / 'county.sqlite3'}",
        "SPANLEDGER_STATE": str(tmp_path / "state"),
        "DJANGO_SETTINGS_MODULE": "ops.settings",
        "PYTHONPATH": str(ROOT),
    }

    def run(*words):
        return subprocess.run(
            [sys.executable, *words], env=env, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False
        )

    assert run("manage.py", "migrate", "-v0").returncode == 0
    made = run("-c", CHILD, "make")
    assert made.returncode == 0, made.stderr
    assert run("-c", CHILD, "die").returncode == -signal.SIGKILL
    after = run("-c", CHILD, "look")
    assert json.loads(after.stdout) == {"ratings": 0, "proposals": 0, "owed": "owed", "inspection": "submitted"}
    swept = run("-c", CHILD, "sweep")
    assert json.loads(swept.stdout) == {"ratings": 1, "proposals": 1, "owed": "done", "inspection": "rated"}
