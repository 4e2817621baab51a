"""The steps of ops/check: each runs whatever the others did, and the end says what failed and what could not run."""

import os
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor, as_completed
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

from . import broker, machine, venv
from .places import PYTHON, ROOT, child_environment, state_folder
from .postgres import NoPostgres, private_postgres
from .say import refuse, tell


@dataclass
class Asked:
    require_all: bool
    long: bool
    fast: bool


@dataclass
class Outcome:
    name: str
    word: str
    seconds: float
    note: str = ""


@dataclass
class Step:
    name: str
    folder: str
    command: list[str]
    environment: dict[str, str]


@dataclass
class Run:
    """One run of the checks."""

    asked: Asked
    outcomes: list[Outcome] = field(default_factory=list)

    def environment(self, folder: str = "check", **more: str) -> dict[str, str]:
        state = state_folder() / folder
        # The static files' server warns of a missing folder at every request.
        (state / "static").mkdir(parents=True, exist_ok=True)
        own = child_environment(SPANLEDGER_STATE=str(state), SPANLEDGER_LOG="WARNING")
        # The checks bring their own databases and brokers; a named one of a running site is never touched.
        for name in ("DATABASE_URL", "REDIS_URL", "SPANLEDGER_BROKER", "SPANLEDGER_TLS", "SPANLEDGER_HOSTS"):
            own.pop(name, None)
        if self.asked.require_all:
            own["SPANLEDGER_REQUIRE_ALL"] = "1"
        if self.asked.long:
            own["SPANLEDGER_LONG"] = "1"
        return own | more

    def step(self, name: str, command: list[str], **more: str) -> bool:
        tell(f"\n== {name}")
        begun = time.monotonic()
        done = subprocess.run(command, cwd=ROOT, env=self.environment(**more), stdin=subprocess.DEVNULL)
        return self._ended(name, done.returncode, time.monotonic() - begun)

    def at_once(self, steps: list["Step"], most: int = 3) -> None:
        """Steps that do not touch each other, each told when it ends; one more at a time than there are processors, for
        the first named mostly wait for servers and a browser."""
        with ThreadPoolExecutor(max_workers=min(most, 1 + (os.cpu_count() or 1))) as workers:
            running = {workers.submit(self._quietly, each): each for each in steps}
            for done in as_completed(running):
                code, seconds, said = done.result()
                tell(f"\n== {running[done].name} ({seconds:.0f} s)")
                tell(said.rstrip())
                self._ended(running[done].name, code, seconds)

    def _quietly(self, step: "Step") -> tuple[int, float, str]:
        begun = time.monotonic()
        done = subprocess.run(
            step.command,
            cwd=ROOT,
            env=self.environment(folder=f"check-{step.folder}", **step.environment),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
        )
        return done.returncode, time.monotonic() - begun, done.stdout

    def _ended(self, name: str, code: int, seconds: float) -> bool:
        word = "ok" if code == 0 else f"FAILED ({code})"
        self.outcomes.append(Outcome(name, word, seconds))
        return code == 0

    def left_out(self, name: str, why: str) -> None:
        word = "FAILED (required)" if self.asked.require_all else "not run"
        self.outcomes.append(Outcome(name, word, 0, why))
        tell(f"\n== {name}: not run, {why}")

    def close(self) -> int:
        tell("\n== Summary")
        for each in self.outcomes:
            tell(f"{each.word:>18}  {each.seconds:6.1f} s  {each.name}{': ' + each.note if each.note else ''}")
        bad = [each.name for each in self.outcomes if each.word.startswith("FAILED")]
        missing = [each.name for each in self.outcomes if each.word == "not run"]
        if missing:
            tell(f"Not run on this machine: {'; '.join(missing)}.")
        tell(f"ops/check: {len(bad)} of {len(self.outcomes)} steps failed." if bad else "ops/check: every step passed.")
        return 1 if bad else 0


PAGES = "tests of pages and actions, on SQLite"
ASKED_OF_POSTGRES = (
    "test_forms_never_break.py",
    "test_bar_forms_never_break.py",
    "test_addresses_never_break.py",
    "test_stressing_log.py",
)
ON_POSTGRES = "faults and an eighth of the database suite (whole with --long), on PostgreSQL"


def in_venv(program: str, *words: str) -> list[str]:
    return [str(Path(PYTHON).parent / program), *words]


def pytest(*words: str) -> list[str]:
    return [str(PYTHON), "-m", "pytest", "-q", "-p", "no:cacheprovider", "--durations=10", *words]


def gather(run: Run) -> None:
    """Bring what the tests need from outside Python; name what cannot be had."""
    wanted = []
    if not machine.chromium():
        wanted += ["chromium", "fonts-dejavu-core"]
    if broker.redis_server() is None:
        wanted.append("redis-server")
    if not wanted:
        return
    if machine.can_install() and machine.install(*wanted):
        return
    run.left_out("what the machine lacks", f"install {', '.join(wanted)} (as root: apt-get install {' '.join(wanted)})")


def look_at_the_text(run: Run) -> None:
    run.step("ruff check", in_venv("ruff", "check", "--no-cache", "."))
    run.step("ruff format", in_venv("ruff", "format", "--check", "--no-cache", "."))
    run.step("import contracts", in_venv("lint-imports", "--no-cache"))
    run.step("migrations say what the models say", [str(PYTHON), "manage.py", "makemigrations", "--check", "--dry-run"])
    run.step(
        "settings of a running site",
        [str(PYTHON), "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        SPANLEDGER_TLS="1",
        SPANLEDGER_HSTS="1",
    )


def look_at_the_lock() -> Step:
    return Step("the locks resolve to wheels (Python 3.11, 3.13)", "lock", [str(PYTHON), "-m", "ops.launch.lock"], {})


def benches() -> list[Step]:
    """Ratios against general tools doing the same work in the same run, printed so that a slide is seen; in two halves,
    each with a processor of its own."""
    every = sorted(path.name for path in (ROOT / "tests/bench").glob("test_*.py"))
    halves = (every[::2], every[1::2])
    return [
        Step(f"benches, half {number}", f"bench-{number}", pytest("-m", "bench", "-s", *half), {})
        for number, half in enumerate(([f"tests/bench/{name}" for name in each] for each in halves), start=1)
    ]


def suites(run: Run) -> None:
    if run.asked.fast:
        run.step("tests that need no server", pytest("tests/unit", "tests/house", "-m", "not browser and not broker"))
        return
    # A file, so that two connections can meet in it; in memory where the machine offers that, for it is thrown away.
    memory = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    with ExitStack() as held:
        held_in = held.enter_context(tempfile.TemporaryDirectory(prefix="spl-check-", dir=memory))

        def on_sqlite(name: str, folder: str, *places: str) -> Step:
            return Step(name, folder, pytest(*places), {"SPANLEDGER_TEST_SQLITE": f"{held_in}/{folder}.sqlite3"})

        faults = on_sqlite("tests of faults", "faults", "tests/faults")
        steps = [
            look_at_the_lock(),
            on_sqlite("tests in a browser", "browser", "tests/browser"),
            faults,
            on_sqlite(PAGES, "app", "tests/app"),
            on_sqlite("tests of kernel and rules", "unit", "tests/unit", "tests/published"),
            on_sqlite("tests against other methods, and of the house", "house", "tests/outside", "tests/house"),
        ]
        try:
            url = held.enter_context(private_postgres())
        except NoPostgres as missing:
            run.left_out(ON_POSTGRES, str(missing))
        else:
            # The rules of the house ask the same of every database.
            again = pytest("tests", "--ignore=tests/house", "-m", "database and not browser")
            if not run.asked.long:
                again += ["--share=8", "--ignore=tests/app/demo"]
                # Hostile entries are asked of PostgreSQL, which refuses more; of SQLite too in the long run.
                faults.command.extend(f"--ignore=tests/faults/{name}" for name in ASKED_OF_POSTGRES)
            steps.insert(2, Step(ON_POSTGRES, "postgres", again, {"DATABASE_URL": url}))
        run.at_once(steps)
    run.at_once(benches(), most=2)


def check(asked: Asked) -> int:
    """Run every step; 0 where all passed."""
    venv.ensure(venv.CHECK_LOCK)
    run = Run(asked)
    if not asked.fast:
        gather(run)
    look_at_the_text(run)
    suites(run)
    return run.close()


def require_from_environment() -> bool:
    return os.environ.get("SPANLEDGER_REQUIRE_ALL") == "1"


def interrupted() -> None:
    refuse(f"{Path(sys.argv[0]).name}: stopped before the end; nothing is left running.", 130)
