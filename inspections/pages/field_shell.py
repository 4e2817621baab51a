"""The app for the field as files: what the worker keeps on the device, and one digest of all of it.

Static files are named without the digest that the site's storage puts into names for other pages: the modules import
one another by plain relative names, which then hold with and without collected files, and the worker's version decides
what is fresh. The shell holds nothing of any person: it is the same for everybody, signed in or not.
"""

import hashlib
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string

from inspections.vocabulary.findings import InspectionKind

FOLDER = "inspections/field"
BESIDE = ("inventory/mark.svg",)
KINDS_OF_FILE = {".js", ".css", ".svg"}
SHELL = "inspections/field/shell.html"
WORKER = "inspections/field/worker.js"


def shell_file_names() -> list[str]:
    """The app's static files by name, in the order of the alphabet."""
    folder = Path(finders.find(FOLDER))
    found = (path for path in folder.rglob("*") if path.is_file() and path.suffix in KINDS_OF_FILE)
    return sorted(f"{FOLDER}/{path.relative_to(folder).as_posix()}" for path in found) + list(BESIDE)


def shell_version() -> str:
    """A digest of everything the app consists of: one changed byte makes another worker. 16 hex digits."""
    return _version() if settings.DEBUG else _version_kept()


def shell_addresses() -> list[str]:
    """What the worker fetches before it is installed: the shell itself and its files."""
    return ["/field/", *(f"{settings.STATIC_URL}{each}" for each in shell_file_names())]


def shell_page() -> str:
    """The page of the app."""
    return _shell(shell_version())


def worker_script(*, sends: bool) -> str:
    """The worker with its list of files and its version; as a module it `sends` by itself where no window is open."""
    return _worker(shell_version(), shell_addresses(), sends=sends)


def manifest() -> dict:
    """What a device needs to install the app on its start screen (W3C Web Application Manifest)."""
    return {
        "name": "Spanledger in the field",
        "short_name": "Spanledger",
        "id": "/field/",
        "start_url": "/field/",
        "scope": "/field/",
        "display": "standalone",
        "background_color": "#f7f5ef",
        "theme_color": "#fdfcf8",
        "icons": [
            {
                "src": f"{settings.STATIC_URL}{FOLDER}/icon.svg",
                "sizes": "any",
                "type": "image/svg+xml",
                "purpose": purpose,
            }
            for purpose in ("any", "maskable")
        ],
    }


def _shell(version: str) -> str:
    styles = [name for name in shell_file_names() if name.endswith(".css")]
    given = {
        "version": version,
        "static": settings.STATIC_URL,
        "styles": styles,
        "kinds": dict(InspectionKind.choices()),
    }
    return render_to_string(SHELL, given)


def _worker(version: str, files: list[str], *, sends: bool) -> str:
    sender = f"{settings.STATIC_URL}{FOLDER}/sender.js"
    return render_to_string(WORKER, {"version": version, "files": files, "sends": sends, "sender": sender})


def _version() -> str:
    digest = hashlib.sha256(_shell("").encode())
    digest.update(_worker("", [], sends=True).encode())
    for each in shell_file_names():
        content = Path(finders.find(each)).read_bytes()
        digest.update(f"{each} {len(content)} ".encode() + content)
    return digest.hexdigest()[:16]


@lru_cache(maxsize=1)
def _version_kept() -> str:
    """A running site's files do not change under it."""
    return _version()
