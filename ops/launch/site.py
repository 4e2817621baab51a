"""The steps of ops/serve, from a bare checkout to a running site and back."""

import json
import os
import re
import signal
import subprocess
from dataclasses import dataclass, field
from pathlib import Path

from . import broker as brokers
from . import door, venv
from .children import Child, keep, stop
from .places import PYTHON, ROOT, Held, Lock, child_environment, state_folder
from .say import refuse, tell

START_WAIT_S = 90


@dataclass
class Asked:
    """What the command line asked for."""

    host: str
    port: int
    cert: str | None
    key: str | None
    demo: bool
    empty: bool


@dataclass
class Stopping:
    """Counts the requests to stop: the first stops in order, the second in a hurry."""

    count: int = 0
    children: list[Child] = field(default_factory=list)

    def listen(self) -> None:
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(number, self._heard)

    def _heard(self, number, frame) -> None:
        self.count += 1

    def is_asked(self) -> bool:
        return self.count > 0

    def is_urgent(self) -> bool:
        return self.count > 1


def take_site(state: Path) -> Lock:
    """One site from one state folder: the second says where the first is."""
    lock = Lock(state / "serve.lock")
    try:
        lock.take()
    except Held as held:
        refuse(f"Spanledger already runs from {state} ({held}): use that one, or stop it with Ctrl-C where it runs.")
    lock.write(f"process {os.getpid()}")
    return lock


def prepare(environment: dict[str, str]) -> dict:
    """Bring the database and the static files up to date; what the register holds."""
    asked = [str(PYTHON), "-m", "ops.prepare"]
    done = subprocess.run(asked, cwd=ROOT, env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True)
    if done.returncode != 0:
        lines = done.stderr.strip().splitlines() or ["it gave no reason"]
        refuse(lines[-1] if done.returncode == 2 else "The site could not be prepared:\n" + "\n".join(lines[-12:]))
    return json.loads(done.stdout.strip().splitlines()[-1])


def fill(asked: Asked, held: dict, environment: dict[str, str], state: Path) -> dict:
    """On the first run, the demonstration county, unless an empty register was asked for."""
    kept_empty = state / "kept-empty"
    if asked.empty:
        kept_empty.touch()
    if asked.demo:
        kept_empty.unlink(missing_ok=True)
    if held["agencies"]:
        if asked.empty and held["demonstration"]:
            refuse(
                "--empty was asked for, but this register holds a demonstration county: "
                "set SPANLEDGER_STATE to a new folder (or DATABASE_URL to a new database) for an empty one."
            )
        if asked.demo and not held["demonstration"]:
            refuse(
                f"--demo was asked for, but this register holds {held['agencies'][0]}: a demonstration is never put "
                "beside real records; set SPANLEDGER_STATE to a new folder to see it."
            )
        return held
    seed = ROOT / "ops" / "seed"
    if kept_empty.exists() or not seed.exists():
        return held
    tell("Making the demonstration county (first run only).")
    done = subprocess.run([str(PYTHON), str(seed)], cwd=ROOT, env=environment, stdin=subprocess.DEVNULL)
    if done.returncode != 0:
        refuse("The demonstration county could not be made (the reason stands above): start with --empty to go on.")
    return prepare(environment)


def site_environment(asked: Asked, tls: bool, chosen: brokers.Broker) -> dict[str, str]:
    environment = child_environment(SPANLEDGER_LOG=os.environ.get("SPANLEDGER_LOG", "WARNING"))
    environment.setdefault("SPANLEDGER_HOSTS", door.accepted_hosts(asked.host))
    if tls:
        environment["SPANLEDGER_TLS"] = "1"
    environment.pop("SPANLEDGER_BROKER", None)
    if chosen.url:
        environment["SPANLEDGER_BROKER"] = chosen.url
    return environment


def children_of(
    asked: Asked, tls: bool, fd: int, chosen: brokers.Broker, environment: dict, state: Path
) -> list[Child]:
    logs = state / "log"
    logs.mkdir(mode=0o700, exist_ok=True)
    workers = os.environ.get("SPANLEDGER_WEB_PROCESSES", "2")
    web = [str(PYTHON), "-m", "gunicorn", "ops.wsgi:application", "--bind", f"fd://{fd}", "--worker-class", "gthread"]
    web += ["--workers", workers, "--threads", "4", "--timeout", "120", "--graceful-timeout", "10"]
    web += ["--no-control-socket", "--log-level", "warning"]
    if tls:
        web += ["--certfile", asked.cert, "--keyfile", asked.key]
    worker = [str(PYTHON), "-m", "celery", "-A", "ops.celery", "worker", "--beat", "--concurrency", "2"]
    worker += ["--schedule", str(state / "beat-schedule"), "--loglevel", "WARNING"]
    worker += ["--without-gossip", "--without-mingle"]
    made = []
    if chosen.command:
        made.append(Child("private redis-server", chosen.command, environment, logs / "redis.log"))
    made.append(Child("web server", web, environment, logs / "web.log", (fd,)))
    made.append(Child("worker", worker, environment, logs / "worker.log"))
    return made


def start(children: list[Child], chosen: brokers.Broker) -> None:
    for child in children:
        child.start()
        if child.command == chosen.command and not brokers.wait_until_ready(chosen.socket):
            stop(children)
            refuse(f"The private redis-server did not answer; the end of {child.log}:\n{child.last_lines()}")


def sign_ins(state: Path, held: dict) -> list[dict]:
    """The demonstration's sign-ins; none where the county is real, whatever files lie about."""
    if not held["demonstration"]:
        return []
    try:
        listed = json.loads((state / "demo-sign-ins.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    return [each for each in listed if isinstance(each, dict) and "name" in each and "password" in each]


def announce(asked: Asked, tls: bool, held: dict, chosen: brokers.Broker, state: Path) -> None:
    tell()
    tell(f"Spanledger answers at {door.shown_address(asked.host, asked.port, tls)}")
    tell(f"  database: {held['database']}")
    tell(f"  nudges: {chosen.kind}")
    tell(f"  what it logs: {state / 'log'}")
    if listed := sign_ins(state, held):
        tell(f"Demonstration sign-ins ({held['agencies'][0]}; invented records, made for this site only):")
        width = max(len(each["name"]) for each in listed)
        for each in listed:
            tell(f"  {each['name']:<{width}}  {each['password']}  {each.get('role', '')}".rstrip())
    elif not held["agencies"]:
        tell("The register is empty. Make your agency and its first administrator in another terminal:")
        tell('  .venv/bin/python manage.py make_agency "Your County" your-sign-in-name')
    if not door.is_loopback(asked.host):
        if not tls:
            tell("Caution: without --cert and --key, passwords cross the network readable by others.")
        if held["demonstration"]:
            tell("Caution: everyone who can reach this machine can try the demonstration's sign-ins.")
    tell("Stop everything with Ctrl-C.")


def require_whole_database_address() -> None:
    """A mistyped DATABASE_URL is named before anything is made."""
    url = os.environ.get("DATABASE_URL", "")
    if url and not re.match(r"(sqlite|postgres|postgresql)://", url):
        refuse("DATABASE_URL is not understood: write sqlite:////path/to/file or postgresql://user@host/name.")


def serve(asked: Asked) -> int:
    """Run the site until asked to stop; 0 after an orderly stop."""
    os.umask(0o077)
    require_whole_database_address()
    tls = door.check_certificate(asked.cert, asked.key)
    state = state_folder()
    lock = take_site(state)
    opened = door.open_door(asked.host, asked.port)
    asked.port = opened.getsockname()[1]
    lock.write(f"process {os.getpid()}, {door.shown_address(asked.host, asked.port, tls)}")
    venv.ensure()
    chosen = brokers.choose(state)
    environment = site_environment(asked, tls, chosen)
    held = fill(asked, prepare(environment), environment, state)
    stopping = Stopping()
    stopping.listen()
    children = children_of(asked, tls, opened.fileno(), chosen, environment, state)
    try:
        return _run(asked, tls, held, chosen, state, children, stopping)
    finally:
        stop(children, stopping.is_urgent)
        chosen.clear()
        opened.close()
        lock.release()


def _run(asked, tls, held, chosen, state, children, stopping) -> int:
    start(children, chosen)

    def over() -> bool:
        return stopping.is_asked() or not all(child.is_alive for child in children)

    ready = door.answers(asked.host, asked.port, tls, START_WAIT_S, over)
    if not ready and not stopping.is_asked():
        silent = next((child for child in children if not child.is_alive), children[-2])
        refuse(f"The {silent.name} did not start; the end of {silent.log}:\n{silent.last_lines(12)}")
    if ready:
        announce(asked, tls, held, chosen, state)
    trouble = keep(children, stopping.is_asked)
    if trouble:
        refuse(trouble)
    tell("Stopping.")
    return 0


def interrupted_early(*_) -> None:
    """Ctrl-C or a stop while the site is still being made."""
    raise KeyboardInterrupt
