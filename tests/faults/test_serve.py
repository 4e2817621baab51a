"""ops/serve against a hostile machine: one clear sentence, and no process left behind. No outside source: these are
promises of the README."""

import json
import os
import re
import signal
import socket
import sqlite3
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from ops.launch import broker as brokers
from ops.launch import door, venv
from ops.launch.children import Child, keep, stop
from ops.launch.places import child_environment
from tests.house.tree import ROOT

SERVE = ROOT / "ops" / "serve"


def surroundings(state: Path, **more: str) -> dict[str, str]:
    dropped = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "SPANLEDGER_REQUIRE_ALL", "SPANLEDGER_BROKER")
    kept = {name: value for name, value in os.environ.items() if name not in dropped}
    return kept | {"SPANLEDGER_STATE": str(state), "SPANLEDGER_SWEEP_SECONDS": "2"} | more


def refused(state: Path, *words: str, **more: str) -> str:
    """Run a start that must refuse; its one sentence."""
    done = subprocess.run(
        [sys.executable, str(SERVE), *words],
        env=surroundings(state, **more), capture_output=True, text=True, timeout=120, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.returncode == 1, (done.returncode, done.stdout, done.stderr)
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1, done.stderr
    return done.stderr.strip()


def processes_of(state: Path) -> list[int]:
    """Every live process that carries this state folder in its surroundings."""
    found = []
    for entry in Path("/proc").glob("[0-9]*"):
        try:
            dead = ") Z " in (entry / "stat").read_text()
            if f"SPANLEDGER_STATE={state}\0".encode() in (entry / "environ").read_bytes() and not dead:
                found.append(int(entry.name))
        except OSError:
            continue
    return found


def gone(state: Path, seconds: float = 10) -> bool:
    end = time.monotonic() + seconds
    while processes_of(state) and time.monotonic() < end:
        time.sleep(0.1)
    return not processes_of(state)


class Site:
    def __init__(self, state: Path, *words: str, **more: str):
        self.state, self.out = state, state / "out"
        state.mkdir(parents=True, exist_ok=True)
        with open(self.out, "w") as out:
            self.process = subprocess.Popen(
                [sys.executable, str(SERVE), "--port", "0", *words],
                env=surroundings(state, **more), stdout=out, stderr=subprocess.STDOUT, stdin=subprocess.DEVNULL,
                start_new_session=True,
            )  # fmt: skip
        end = time.monotonic() + 120
        while "Stop everything with Ctrl-C" not in self.out.read_text():
            assert self.process.poll() is None and time.monotonic() < end, self.out.read_text()
            time.sleep(0.1)
        self.address = re.search(r"answers at (\S+)", self.out.read_text()).group(1)

    def stop(self, number: int = signal.SIGINT) -> int:
        self.process.send_signal(number)
        return self.process.wait(40)

    def page(self, path: str) -> str:
        with urllib.request.urlopen(self.address + path, timeout=20) as answer:
            return answer.read().decode()


@pytest.fixture
def site(tmp_path):
    running = []

    def start(*words, **more):
        running.append(Site(tmp_path / f"site{len(running)}", *words, **more))
        return running[-1]

    yield start
    for each in running:
        if each.process.poll() is None:
            each.stop()
            if each.process.poll() is None:
                os.killpg(each.process.pid, signal.SIGKILL)


def test_a_taken_port_is_one_sentence(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        sentence = refused(tmp_path, "--port", str(port), "--empty")
    assert str(port) in sentence and "taken" in sentence and "--port" in sentence


@pytest.mark.parametrize(
    ("words", "more", "told"),
    [
        (["--cert", "a.pem"], {}, "--key"),
        (["--cert", "/nowhere/a.pem", "--key", "/nowhere/b.pem"], {}, "/nowhere/a.pem"),
        (["--host", "no such host"], {}, "--host"),
        ([], {"DATABASE_URL": "mysql://x/y"}, "DATABASE_URL"),
        ([], {"DATABASE_URL": "nonsense"}, "DATABASE_URL"),
        ([], {"DATABASE_URL": "sqlite:////nowhere/at/all.sqlite3"}, "/nowhere/at/all.sqlite3"),
        ([], {"DATABASE_URL": "postgresql://nobody@127.0.0.1:1/none"}, "DATABASE_URL"),
        ([], {"REDIS_URL": "redis://127.0.0.1:1/0"}, "REDIS_URL"),
        ([], {"REDIS_URL": "nonsense"}, "REDIS_URL"),
    ],
    ids=lambda each: str(each)[:40],
)
def test_what_is_wrong_is_one_sentence_that_names_it(tmp_path, words, more, told):
    assert told in refused(tmp_path, "--port", "0", "--empty", *words, **more)


def test_a_database_of_a_newer_release_is_refused(tmp_path):
    database = sqlite3.connect(tmp_path / "newer.sqlite3")
    with database:
        database.execute(
            "CREATE TABLE django_migrations (id integer PRIMARY KEY, app text, name text, applied datetime)"
        )
        database.execute("INSERT INTO django_migrations VALUES (1, 'inventory', '9999_later', '2030-01-01')")
    database.close()
    url = f"sqlite:///{tmp_path / 'newer.sqlite3'}"
    assert "9999_later" in refused(tmp_path, "--port", "0", "--empty", DATABASE_URL=url)


def test_two_starts_one_site_and_ctrl_c_leaves_nothing(site):
    first = site("--empty")
    assert "Sign in" in first.page("sign-in/")
    assert "demonstration sign-ins" not in first.out.read_text().lower()
    assert "make_agency" in first.out.read_text()
    sentence = refused(first.state, "--port", "0")
    assert "already runs" in sentence and first.address in sentence
    assert len(processes_of(first.state)) >= 4  # supervisor, web server and its processes, worker
    assert first.stop(signal.SIGINT) == 0
    assert gone(first.state, 2)
    with pytest.raises(urllib.error.URLError):
        first.page("sign-in/")


def test_a_killed_web_server_comes_back_on_the_same_port_and_sigterm_stops_all(site):
    running = site("--empty")
    web = [
        int(entry.name)
        for entry in Path("/proc").glob("[0-9]*")
        if entry.name.isdigit() and int(entry.name) in processes_of(running.state)
        and b"gunicorn" in (entry / "cmdline").read_bytes()
    ]  # fmt: skip
    for number in web:
        os.kill(number, signal.SIGKILL)
    assert "Sign in" in running.page("sign-in/")
    assert running.stop(signal.SIGTERM) == 0
    assert "web server stopped" in running.out.read_text()
    assert gone(running.state, 2)


def test_a_killed_supervisor_leaves_no_orphan(site):
    running = site("--empty")
    running.process.kill()
    running.process.wait()
    assert gone(running.state, 30)


def test_database_url_is_honoured_and_the_first_administrator_signs_in(site, tmp_path):
    elsewhere = tmp_path / "elsewhere" / "county.sqlite3"
    elsewhere.parent.mkdir()
    url = f"sqlite:///{elsewhere}"
    running = site("--empty", DATABASE_URL=url)
    assert elsewhere.exists() and not (running.state / "spanledger.sqlite3").exists()
    database = sqlite3.connect(elsewhere)
    assert database.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    database.close()
    made = subprocess.run(
        [sys.executable, "manage.py", "make_agency", "Quill County", "clerk", "--print-password"],
        cwd=ROOT, env=surroundings(running.state, DATABASE_URL=url), capture_output=True, text=True,
    )  # fmt: skip
    assert made.returncode == 0, made.stderr
    password = re.search(r"this once: (\S+)", made.stdout).group(1)
    jar = urllib.request.HTTPCookieProcessor()
    opener = urllib.request.build_opener(jar)
    page = opener.open(running.address + "sign-in/", timeout=20).read().decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page).group(1)
    form = urllib.parse.urlencode({"username": "clerk", "password": password, "csrfmiddlewaretoken": token})
    opener.open(running.address + "sign-in/", form.encode(), timeout=20)
    assert "sessionid" in {cookie.name for cookie in jar.cookiejar}
    again = subprocess.run(
        [sys.executable, "manage.py", "make_agency", "Quill County", "clerk"],
        cwd=ROOT, env=surroundings(running.state, DATABASE_URL=url), capture_output=True, text=True,
    )  # fmt: skip
    assert again.returncode == 1 and "stands already" in again.stderr and "Traceback" not in again.stderr
    running.stop()
    assert "a demonstration is never put beside real records" in refused(
        running.state, "--port", "0", "--demo", DATABASE_URL=url
    )


def test_tls_speaks_and_marks_its_cookies(site, tmp_path):
    cert, key = tmp_path / "cert.pem", tmp_path / "key.pem"
    made = subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=localhost",
         "-keyout", str(key), "-out", str(cert)],
        capture_output=True,
    )  # fmt: skip
    assert made.returncode == 0
    running = site("--empty", "--cert", str(cert), "--key", str(key))
    assert running.address.startswith("https://")
    context = ssl.create_default_context(cafile=str(cert))
    context.check_hostname = False
    with urllib.request.urlopen(running.address + "sign-in/", timeout=20, context=context) as answer:
        cookies = answer.headers.get_all("Set-Cookie")
    assert cookies and all("secure" in cookie.lower() for cookie in cookies)


def test_without_any_redis_the_worker_runs_from_a_folder(tmp_path, monkeypatch):
    monkeypatch.delenv("REDIS_URL", raising=False)
    monkeypatch.setattr(brokers, "redis_server", lambda: None)
    assert brokers.choose(tmp_path).url == ""


def test_a_long_state_folder_gets_a_short_socket(tmp_path, monkeypatch):
    monkeypatch.delenv("REDIS_URL", raising=False)
    monkeypatch.setattr(brokers, "redis_server", lambda: "/bin/true")
    deep = tmp_path / ("d" * 60) / ("e" * 60)
    deep.mkdir(parents=True)
    chosen = brokers.choose(deep)
    # unix(7): sun_path holds 108 bytes, the closing zero among them.
    assert len(str(chosen.socket)) < 108
    assert chosen.socket.parent.stat().st_mode & 0o077 == 0
    chosen.clear()
    assert not chosen.socket.parent.exists()


def test_a_child_that_always_dies_stops_everything_with_a_sentence(tmp_path):
    dying = Child("worker", ["/bin/sh", "-c", "echo no luck; exit 3"], child_environment(), tmp_path / "log")
    dying.start()
    sentence = keep([dying], lambda: False)
    stop([dying])
    assert "worker stopped 4 times" in sentence and "no luck" in sentence


def test_a_stamp_of_another_lock_does_not_count(tmp_path, monkeypatch):
    lock = tmp_path / "a.lock"
    lock.write_text("django==5.2\n")
    monkeypatch.setattr(venv, "STAMP", tmp_path / "stamp.json")
    monkeypatch.setattr(venv, "_runs", lambda: True)
    assert not venv.holds(lock)
    (tmp_path / "stamp.json").write_text("half made")
    assert not venv.holds(lock)
    (tmp_path / "stamp.json").write_text(json.dumps({"locks": [venv.fingerprint(lock)]}))
    assert venv.holds(lock)
    lock.write_text("django==5.3\n")
    assert not venv.holds(lock)


@pytest.mark.parametrize("root", [True, False])
def test_a_python_that_makes_no_environment_is_mended_as_root_or_named(monkeypatch, capsys, root):
    """Debian keeps `ensurepip` in a package of its own, python3-venv."""
    installed = []
    monkeypatch.setattr(venv, "_can_make", lambda: bool(installed))
    monkeypatch.setattr(venv.machine, "can_install", lambda: root)
    monkeypatch.setattr(venv.machine, "install", lambda *names: installed.extend(names) or True)
    if root:
        venv._ensure_venv_module()
        assert installed == ["python3-venv"]
    else:
        with pytest.raises(SystemExit):
            venv._ensure_venv_module()
        told = capsys.readouterr().err
        assert "python3-venv" in told and told.count("\n") == 1


def test_the_site_answers_to_its_own_names_only():
    assert door.accepted_hosts("10.1.2.3").split(",") == ["localhost", "127.0.0.1", "[::1]", "10.1.2.3"]
    assert "*" not in door.accepted_hosts("0.0.0.0")
