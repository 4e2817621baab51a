"""A pull is logged once and a day finished once, whoever taps twice, at once, or is cut off in the middle.

The faults are those of a telephone at a bridge: the answer lost after the save, two crews with one sheet, a worker or
web process killed between the write and the commit.
"""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from uuid import uuid4

import pytest

from inspections.actions.stressing import finish as finishing
from inspections.actions.stressing import log_pull as logging_
from inspections.actions.stressing.finish import finish
from inspections.models import Inspection, LoggedPull, OwedRating, StressingDay
from inspections.rules.refusals import Refused
from inventory.models import Event, Work
from tests.faults.test_rating_queue import make_county_here, run_together, shared_database  # noqa: F401
from tests.makers.stressing import drafted, make_deck_to_stress, make_jack, released
from tests.makers.stressing_log import coming, log_all, log_one

pytestmark = pytest.mark.database
ROOT = Path(__file__).resolve().parent.parent.parent


def day_of_six_bars(county, now) -> StressingDay:
    deck = make_deck_to_stress(county, now)
    return released(county, drafted(county, deck, [make_jack(county.agency)], now), now)


@pytest.fixture
def day(county, now):
    return day_of_six_bars(county, now)


def logged_once():
    return LoggedPull.objects.count() == 1 and Event.objects.filter(verb="log_pull").count() == 1


@pytest.mark.parametrize("where", ["_write", "_tell", "put_on_hold", "save_day"])
def test_cut_off_anywhere_in_the_middle_nothing_is_half_logged(day, county, now, monkeypatch, where):
    """A pull that holds the day writes entry, event, hold and day; stopped at any of them, none stands."""

    def stop(*_arguments, **_named):
        raise SystemExit("cut off")

    identity, slot = uuid4(), coming(day)
    with monkeypatch.context() as patch:
        patch.setattr(logging_, where, stop)
        with pytest.raises(SystemExit):
            log_one(day, county.people["crew"], now, slot, identity, plate_sunk_in=0.4)
    day.refresh_from_db()
    assert day.state == "released" and not LoggedPull.objects.exists()
    assert not Event.objects.filter(verb__in=("log_pull", "stressing_held")).exists()
    # The telephone sends the same entry again.
    log_one(day, county.people["crew"], now, slot, identity, plate_sunk_in=0.4)
    day.refresh_from_db()
    assert day.state == "held" and logged_once()


@pytest.mark.parametrize("where", ["_record", "learn_for_next_time", "write_bar_check", "refresh_standing", "tell"])
def test_cut_off_while_finishing_nothing_is_half_finished(day, county, now, monkeypatch, where):
    log_all(day, county.people["crew"], now)
    day.refresh_from_db()
    owed, checks = OwedRating.objects.count(), Inspection.objects.count()

    def stop(*_arguments, **_named):
        raise SystemExit("cut off")

    def end():
        return finish(day=day, revision=day.revision, readings={0: 56_000.0}, by=county.people["engineer"], at=now)

    with monkeypatch.context() as patch:
        patch.setattr(finishing, where, stop)
        with pytest.raises(SystemExit):
            end()
    day.refresh_from_db()
    assert day.state == "under_way" and day.final == [] and not Work.objects.exists()
    assert (OwedRating.objects.count(), Inspection.objects.count()) == (owed, checks)
    assert end().state == "finished" and Work.objects.count() == 1


# --- two at once: these need a database that two connections can open


def test_one_entry_sent_twice_at_once_is_kept_once(shared_database, now):  # noqa: F811
    county = make_county_here()
    day = day_of_six_bars(county, now)
    identity, slot = uuid4(), coming(day)
    answers = run_together(*[lambda: log_one(day, county.people["crew"], now, slot, identity)] * 2)
    assert sorted(answer.is_new for answer in answers) == [False, True], answers
    assert logged_once()


def test_two_telephones_log_the_same_pull_at_once(shared_database, now):  # noqa: F811
    county = make_county_here()
    day = day_of_six_bars(county, now)
    slot = coming(day)
    answers = run_together(
        lambda: log_one(day, county.people["crew"], now, slot),
        lambda: log_one(day, county.people["supervisor"], now, slot),
    )
    refused = [answer for answer in answers if isinstance(answer, Refused)]
    assert len(refused) == 1 and "logged already" in refused[0].sentence, answers
    assert logged_once()


def test_two_finish_at_once_and_one_work_is_written(shared_database, now):  # noqa: F811
    county = make_county_here()
    day = day_of_six_bars(county, now)
    log_all(day, county.people["crew"], now)
    day.refresh_from_db()
    revision = day.revision
    answers = run_together(*[lambda: finish(day=day, revision=revision, by=county.people["crew"], at=now)] * 2)
    refused = [answer for answer in answers if isinstance(answer, Refused)]
    assert len(refused) == 1 and "finished already" in refused[0].sentence, answers
    assert Work.objects.count() == 1 and Event.objects.filter(verb="finish_stressing").count() == 1


# --- a process killed outright


CHILD = """
import json, os, signal, sys
import django
django.setup()
from datetime import datetime, UTC
from uuid import UUID
from inspections.actions.stressing import log_pull
from inspections.models import LoggedPull, StressingDay
from inventory.models import Event, Person
from tests.makers.stressing_log import coming, log_one
what, now = sys.argv[1], datetime(2026, 6, 15, 12, tzinfo=UTC)
identity = UUID("00000000-0000-4000-8000-00000000000a")
if what == "make":
    from tests.faults.test_stressing_log import day_of_six_bars
    from tests.makers.county import make_county
    day_of_six_bars(make_county(), now)
elif what in ("die", "send"):
    if what == "die":
        def die(*_, **__):
            assert LoggedPull.objects.count() == 1, "the entry is written, not committed"
            os.kill(os.getpid(), signal.SIGKILL)
        log_pull.save_day = die
    day = StressingDay.objects.get()
    log_one(day, Person.objects.get(username="crew-001"), now, coming(day) if what == "die" else None, identity)
print(json.dumps({"pulls": LoggedPull.objects.count(), "state": StressingDay.objects.get().state,
                  "events": Event.objects.filter(verb="log_pull").count()}))
"""


def test_killed_with_the_pull_written_and_sent_again(tmp_path):
    """SIGKILL between the write and the commit, on a database file of its own; the telephone sends the entry again."""
    env = os.environ | {
        "DATABASE_URL": f"sqlite:///{tmp_path / 'county.sqlite3'}",
        "SPANLEDGER_STATE": str(tmp_path / "state"),
        "DJANGO_SETTINGS_MODULE": "ops.settings",
        "PYTHONPATH": str(ROOT),
    }

    def run(*words):
        return subprocess.run(
            [sys.executable, *words], env=env, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
        )

    assert run("manage.py", "migrate", "-v0").returncode == 0
    made = run("-c", CHILD, "make")
    assert made.returncode == 0, made.stderr
    assert run("-c", CHILD, "die").returncode == -signal.SIGKILL
    assert json.loads(run("-c", CHILD, "look").stdout) == {"pulls": 0, "state": "released", "events": 0}
    sent = run("-c", CHILD, "send")
    assert json.loads(sent.stdout) == {"pulls": 1, "state": "under_way", "events": 1}, sent.stderr
