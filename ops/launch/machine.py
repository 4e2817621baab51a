"""What the machine has, and what root may add to it with the system's own package client."""

import os
import shutil
import subprocess

from .say import tell


def is_root() -> bool:
    return os.geteuid() == 0


def can_install() -> bool:
    return is_root() and shutil.which("apt-get") is not None


_lists_are_fresh = False


def install(*packages: str) -> bool:
    """Install system packages as root; False where that failed. Says what it does."""
    global _lists_are_fresh
    surroundings = {**os.environ, "DEBIAN_FRONTEND": "noninteractive", "LC_ALL": "C.UTF-8"}
    tell(f"Installing {', '.join(packages)} on this machine with apt-get.")
    common = {"env": surroundings, "stdin": subprocess.DEVNULL, "capture_output": True, "text": True}
    if not _lists_are_fresh:
        subprocess.run(["apt-get", "update", "-qq"], **common)
        _lists_are_fresh = True
    command = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", "-o", "DPkg::Lock::Timeout=120", *packages]
    done = subprocess.run(command, **common)
    if done.returncode != 0:
        tell("\n".join((done.stdout + done.stderr).strip().splitlines()[-5:]))
    return done.returncode == 0


def chromium() -> str | None:
    """The browser the tests drive, or None."""
    named = os.environ.get("SPANLEDGER_CHROMIUM")
    return named or shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
