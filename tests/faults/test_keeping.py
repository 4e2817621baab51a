"""Backup and restore. The law: what is restored equals what was kept, or nothing is changed."""

import sqlite3
import subprocess
import sys
import tarfile

import pytest

from tests.house.tree import ROOT


def run(command: str, state, *words) -> subprocess.CompletedProcess:
    environment = {"PATH": "/usr/bin:/bin", "SPANLEDGER_STATE": str(state)}
    return subprocess.run(
        [sys.executable, str(ROOT / "ops" / command), *map(str, words)],
        env=environment, capture_output=True, text=True, stdin=subprocess.DEVNULL,
    )  # fmt: skip


@pytest.fixture
def state(tmp_path):
    """A state folder with a database in WAL and one received file."""
    folder = tmp_path / "state"
    (folder / "files").mkdir(parents=True)
    (folder / "files" / "photo").write_bytes(b"received bytes")
    (folder / "secret-key").write_text("key")
    with sqlite3.connect(folder / "spanledger.sqlite3") as database:
        database.execute("PRAGMA journal_mode=WAL")
        database.execute("CREATE TABLE bars (force_lb REAL)")
        database.execute("INSERT INTO bars VALUES (60000)")
    database.close()
    return folder


def forces(folder) -> list[float]:
    database = sqlite3.connect(folder / "spanledger.sqlite3")
    found = [row[0] for row in database.execute("SELECT force_lb FROM bars ORDER BY 1")]
    database.close()
    return found


def test_a_backup_made_while_a_writer_is_connected_comes_back_whole(state, tmp_path):
    writer = sqlite3.connect(state / "spanledger.sqlite3", isolation_level=None)
    writer.execute("INSERT INTO bars VALUES (55000)")
    writer.execute("BEGIN IMMEDIATE")
    writer.execute("INSERT INTO bars VALUES (1)")  # not committed: must not be in the backup
    kept = run("backup", state, tmp_path / "kept.tar")
    writer.rollback()
    writer.close()
    assert kept.returncode == 0, kept.stderr
    other = tmp_path / "other"
    back = run("restore", other, tmp_path / "kept.tar")
    assert back.returncode == 0, back.stderr
    assert forces(other) == [55000, 60000]
    assert (other / "files" / "photo").read_bytes() == b"received bytes"
    assert (tmp_path / "kept.tar").stat().st_mode & 0o077 == 0


def test_restore_over_records_needs_a_word_and_moves_them_aside(state, tmp_path):
    assert run("backup", state, tmp_path / "kept.tar").returncode == 0
    database = sqlite3.connect(state / "spanledger.sqlite3")
    with database:
        database.execute("INSERT INTO bars VALUES (2)")
    database.close()
    refused = run("restore", state, tmp_path / "kept.tar")
    assert refused.returncode == 1 and "--replace" in refused.stderr and forces(state) == [2, 60000]
    assert run("restore", state, tmp_path / "kept.tar", "--replace").returncode == 0
    assert forces(state) == [60000]
    (aside,) = (state / "aside").iterdir()
    assert forces(aside) == [2, 60000]


@pytest.mark.parametrize("damage", ["cut", "changed", "missing"])
def test_a_damaged_backup_changes_nothing(state, tmp_path, damage):
    kept = tmp_path / "kept.tar"
    assert run("backup", state, kept).returncode == 0
    if damage == "cut":
        kept.write_bytes(kept.read_bytes()[:2000])
    elif damage == "missing":
        kept.unlink()
    else:
        with tarfile.open(kept) as archive:
            offset = archive.getmember("files/photo").offset_data
        whole = bytearray(kept.read_bytes())
        whole[offset] ^= 1
        kept.write_bytes(bytes(whole))
    refused = run("restore", state, kept, "--replace")
    assert refused.returncode == 1 and refused.stderr.count("\n") == 1 and "Traceback" not in refused.stderr
    assert forces(state) == [60000] and not (state / "aside").exists()


def test_photographs_still_arriving_and_small_copies_stay_out(state, tmp_path):
    """Pieces vanish while a copy is made, and small copies are drawn anew; what was put aside is kept."""
    for folder in ("arriving", "small", "aside"):
        (state / "files" / folder).mkdir()
        (state / "files" / folder / "one").write_bytes(b"x")
    assert run("backup", state, tmp_path / "kept.tar").returncode == 0
    names = {name for name in tarfile.open(tmp_path / "kept.tar").getnames() if name.startswith("files/")}
    assert names == {"files/photo", "files/aside", "files/aside/one"}
