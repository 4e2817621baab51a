"""A whole site for the browser: its own state folder, the demonstration county, web server, worker and beat."""

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest

from tests.conftest import absent

ROOT = Path(__file__).resolve().parent.parent.parent
PICTURES = ROOT / "ops" / "pictures"


def chromium() -> str:
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if found is None:
        absent("Chromium")
    return found


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@dataclass
class Site:
    address: str
    sign_ins: dict[str, dict]
    state: Path

    def person(self, role: str) -> dict:
        return next(entry for entry in self.sign_ins.values() if role in entry["role"])


@pytest.fixture(scope="session")
def site(tmp_path_factory) -> Site:
    """Started by the same command the README gives; stopped with Ctrl-C."""
    state = tmp_path_factory.mktemp("site")
    port = free_port()
    environment = {
        **{k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE")},
        "SPANLEDGER_STATE": str(state),
        "SPANLEDGER_SWEEP_SECONDS": "2",
    }
    log = (state / "serve.log").open("w")
    serve = subprocess.Popen(
        [sys.executable, str(ROOT / "ops" / "serve"), "--port", str(port), "--demo"],
        env=environment,
        stdout=log,
        stderr=subprocess.STDOUT,
        cwd=ROOT,
        start_new_session=True,
    )
    address = f"http://127.0.0.1:{port}"
    try:
        _wait_for(f"{address}/sign-in/", serve, state / "serve.log")
        sign_ins = {entry["name"]: entry for entry in json.loads((state / "demo-sign-ins.json").read_text())}
        yield Site(address, sign_ins, state)
    finally:
        serve.send_signal(signal.SIGINT)
        try:
            serve.wait(30)
        except subprocess.TimeoutExpired:
            os.killpg(serve.pid, signal.SIGKILL)
        log.close()


def _wait_for(address: str, serve: subprocess.Popen, log: Path) -> None:
    deadline = time.monotonic() + 600  # seeding on a machine that runs two other suites
    while time.monotonic() < deadline:
        if serve.poll() is not None:
            pytest.fail(f"ops/serve stopped with {serve.returncode}:\n{log.read_text()[-3000:]}")
        try:
            with urlopen(address, timeout=2):
                return
        except (URLError, OSError):
            time.sleep(0.5)
    pytest.fail(f"ops/serve did not answer in time:\n{log.read_text()[-3000:]}")


@pytest.fixture(scope="session")
def browser():
    playwright = pytest.importorskip("playwright.sync_api")
    path = chromium()
    with playwright.sync_playwright() as machine:
        found = machine.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-background-networking"])
        yield found
        found.close()


class Watched:
    """One person's browser window; what went wrong in it is kept and must be nothing at the end."""

    def __init__(self, browser, site: Site, role: str, width: int = 1280, height: int = 900):
        self.site = site
        self.context = browser.new_context(viewport={"width": width, "height": height})
        self.page = self.context.new_page()
        self.troubles: list[str] = []
        self.elsewhere: list[str] = []
        self.page.on("console", self._heard)
        self.page.on("pageerror", lambda problem: self.troubles.append(f"page error: {problem}"))
        self.page.on("response", self._answered)
        self.page.on("dialog", lambda dialog: dialog.accept())
        self.context.on("request", self._asked)
        self._sign_in(role)

    def _heard(self, message):
        if message.type in ("error", "warning"):
            self.troubles.append(f"{message.type} on {self.page.url}: {message.text}")

    def _answered(self, response):
        if response.status >= 500:
            self.troubles.append(f"{response.status} from {response.url}")

    def _asked(self, request):
        if not request.url.startswith((self.site.address, "data:", "blob:")):
            self.elsewhere.append(request.url)

    def _sign_in(self, role: str) -> None:
        person = self.site.person(role)
        self.go("/sign-in/")
        self.page.fill("#id_username", person["name"])
        self.page.fill("#id_password", person["password"])
        self.page.click("main button")
        self.page.wait_for_url(f"{self.site.address}/")

    def go(self, path: str):
        return self.page.goto(self.site.address + path)

    def close(self) -> None:
        self.context.close()
        assert self.troubles == [], self.troubles
        assert self.elsewhere == [], f"requests left the machine: {self.elsewhere}"


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport(item, call):
    """Keep the outcome where the window fixture finds it."""
    outcome = yield
    item.went_wrong = outcome.get_result().failed


@pytest.fixture
def window(request, browser, site):
    """`window(role, width)` opens a signed-in window; all are checked and closed at the end."""
    opened = []

    def open_for(role: str, width: int = 1280, height: int = 900) -> Watched:
        watched = Watched(browser, site, role, width, height)
        opened.append(watched)
        return watched

    yield open_for
    for number, watched in enumerate(opened):
        if getattr(request.node, "went_wrong", False):
            picture = site.state / f"{request.node.name}-{number}.png"
            watched.page.screenshot(path=picture, full_page=True)
            print(f"{watched.page.url}: {picture}", watched.page.locator("[role=alert]").all_inner_texts())
    for watched in opened:
        watched.close()


def keep_picture(page, name: str, **options) -> None:
    """Into ops/pictures when SPANLEDGER_PICTURES=1, so that the README's pictures are what the pages show."""
    if os.environ.get("SPANLEDGER_PICTURES") == "1":
        PICTURES.mkdir(exist_ok=True)
        page.screenshot(path=PICTURES / f"{name}.png", **options)
