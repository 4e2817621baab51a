"""Whether the locks resolve to wheels on another Python. Runs inside .venv (it reads markers with `packaging`)."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from packaging.markers import default_environment
from packaging.requirements import Requirement

PYTHONS = ("3.11", "3.13")


def pins(text: str) -> list[tuple[Requirement, list[str]]]:
    """The lock's lines: a requirement with one exact version, and its hashes."""
    found = []
    for block in text.replace("\\\n", " ").splitlines():
        words = block.split(" --hash=")
        if not words[0].strip() or words[0].lstrip().startswith("#"):
            continue
        found.append((Requirement(words[0].strip()), [word.strip() for word in words[1:]]))
    return found


def on_python(text: str, version: str) -> list[str]:
    """The lines that count on this version, with the markers decided; pip decides them for its own version only."""
    surroundings = default_environment() | {"python_version": version, "python_full_version": f"{version}.9"}
    lines = []
    for requirement, hashes in pins(text):
        if requirement.marker is None or requirement.marker.evaluate(surroundings):
            line = f"{requirement.name}{requirement.specifier}"
            lines.append(" ".join([line, *(f"--hash={each}" for each in hashes)]))
    return lines


def resolves(lock: Path, version: str) -> tuple[bool, str]:
    """Ask pip, with the user's own configuration, whether every pin has a wheel whose hash stands in the lock."""
    with tempfile.TemporaryDirectory(prefix="spl-lock-") as folder:
        chosen = Path(folder) / "chosen.txt"
        chosen.write_text("\n".join(on_python(lock.read_text(encoding="utf-8"), version)) + "\n", encoding="utf-8")
        command = [sys.executable, "-m", "pip", "install", "--dry-run", "--quiet", "--no-input", "--no-deps"]
        command += ["--disable-pip-version-check", "--ignore-installed", "--target", f"{folder}/target"]
        command += ["--python-version", version, "--implementation", "cp", "--only-binary", ":all:"]
        command += ["--require-hashes", "-r", str(chosen)]
        # pip holds Requires-Python against the Python it runs on; the tags of the wheels still count for the asked one.
        command += ["--ignore-requires-python"]
        done = subprocess.run(
            command, capture_output=True, text=True, stdin=subprocess.DEVNULL, env={**os.environ, "LC_ALL": "C.UTF-8"}
        )
    lines = [line for line in done.stderr.splitlines() if line.startswith("ERROR")]
    return done.returncode == 0, lines[-1] if lines else ""


def main() -> int:
    """Exit code 1 where a pin has no wheel."""
    root = Path(__file__).resolve().parent.parent
    failures = 0
    for version in PYTHONS:
        for name in ("requirements.lock", "requirements-check.lock"):
            good, reason = resolves(root / name, version)
            print(f"{name} on Python {version}: {'wheels for every pin' if good else reason}", flush=True)
            failures += not good
    return 1 if failures else 0


if __name__ == "__main__":
    raise SystemExit(main())
