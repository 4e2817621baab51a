"""Backup and restore: one archive of the database, the received files and the site's key, with checksums."""

import hashlib
import json
import os
import shutil
import sqlite3
import subprocess
import tarfile
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import unquote, urlsplit

from .places import Held, Lock
from .say import refuse, tell

MANIFEST = "manifest.json"
# What a site cannot make again; the broker, logs and collected static files it can.
KEPT = ("files", "secret-key")
# Inside the files: pieces of photographs still arriving (the device has them whole, and they come and go while the copy
# is made) and small copies that are drawn anew when asked for.
NOT_KEPT = ("arriving", "small")


def database_url(state: Path) -> str:
    return os.environ.get("DATABASE_URL") or f"sqlite:///{state / 'spanledger.sqlite3'}"


def sqlite_path(url: str) -> Path | None:
    """The file of an SQLite address, or None for another kind."""
    parts = urlsplit(url)
    return Path(unquote(parts.path[1:])) if parts.scheme == "sqlite" else None


def _program(name: str) -> str:
    found = shutil.which(name)
    if not found:
        refuse(
            f"{name} is not on this machine: install PostgreSQL's client programs (apt-get install postgresql-client)."
        )
    return found


def _copy_sqlite(source: Path, target: Path) -> None:
    """A whole copy while the site runs (SQLite's own backup call), looked through before it counts."""
    if not source.exists():
        refuse(f"There is no database at {source}: start ops/serve once, or set SPANLEDGER_STATE or DATABASE_URL.")
    with sqlite3.connect(f"file:{source}?mode=ro", uri=True, timeout=30) as live, sqlite3.connect(target) as copy:
        live.backup(copy)
        # The copy travels as one file.
        copy.execute("PRAGMA journal_mode=DELETE")
        _look_through(copy, target)
    live.close()
    copy.close()


def _look_through(copy: sqlite3.Connection, name: Path) -> None:
    said = copy.execute("PRAGMA integrity_check").fetchone()[0]
    if said != "ok":
        refuse(f"The database copy {name} is damaged ({said}): nothing was kept; restore an older backup.")


def _digest(path: Path) -> str:
    with open(path, "rb") as handle:
        return hashlib.file_digest(handle, "sha256").hexdigest()


def make_backup(state: Path, target: Path | None) -> Path:
    """Write the archive; it appears under its name only when it is whole."""
    url = database_url(state)
    moment = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
    target = target or state / "backups" / f"spanledger-{moment}.tar"
    if target.exists():
        refuse(f"{target} exists already: give another name.")
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".making-") as folder:
        room = Path(folder)
        # The database first: files are only ever added, so every file it names is in the copy made after it.
        if source := sqlite_path(url):
            _copy_sqlite(source, room / "database.sqlite3")
        else:
            command = [
                _program("pg_dump"),
                "--format=custom",
                "--no-owner",
                "--file",
                str(room / "database.pgdump"),
                url,
            ]
            done = subprocess.run(command, capture_output=True, text=True)
            if done.returncode != 0:
                refuse(f"pg_dump could not copy the database ({done.stderr.strip().splitlines()[-1]}).")
        for each in KEPT:
            if (state / each).is_dir():
                shutil.copytree(state / each, room / each, ignore=_passing(state / each))
            elif (state / each).is_file():
                shutil.copy2(state / each, room / each)
        sums = {path.relative_to(room).as_posix(): _digest(path) for path in sorted(room.rglob("*")) if path.is_file()}
        (room / MANIFEST).write_text(json.dumps({"made": moment, "sha256": sums}, indent=1), encoding="utf-8")
        partial = target.with_suffix(".part")
        with tarfile.open(partial, "w") as archive:
            for path in sorted(room.iterdir()):
                archive.add(path, path.name)
        os.replace(partial, target)
    return target


def _passing(files: Path):
    return lambda folder, names: [name for name in names if Path(folder) == files and name in NOT_KEPT]


def _unpack(archive: Path, room: Path) -> None:
    """Unpack and hold every file against its checksum; anything amiss refuses before a thing is changed."""
    try:
        with tarfile.open(archive) as packed:
            packed.extractall(room, filter="data")
        sums = json.loads((room / MANIFEST).read_text(encoding="utf-8"))["sha256"]
    except (OSError, tarfile.TarError, ValueError, KeyError) as problem:
        refuse(f"{archive} is not a whole backup of this site ({problem}): nothing was changed.")
    for each, digest in sums.items():
        if not (room / each).is_file() or _digest(room / each) != digest:
            refuse(f"{archive} is damaged at {each}: nothing was changed; take an older backup.")


def restore_backup(state: Path, archive: Path, replace: bool) -> None:
    """Put a backup back. What stands is moved aside, never deleted, and only where `replace` says so."""
    if not archive.is_file():
        refuse(f"There is no file {archive}: name a backup made by ops/backup.")
    try:
        lock = Lock(state / "serve.lock").take()
    except Held as held:
        refuse(f"The site runs ({held}): stop it with Ctrl-C before restoring.")
    url = database_url(state)
    database = sqlite_path(url)
    with lock, tempfile.TemporaryDirectory(dir=state, prefix=".restoring-") as folder:
        room = Path(folder)
        _unpack(archive, room)
        kind = "database.sqlite3" if database else "database.pgdump"
        if not (room / kind).exists():
            refuse(f"{archive} was made from another kind of database than DATABASE_URL names: nothing was changed.")
        stands = [path for path in (database, *(state / each for each in KEPT)) if path and path.exists()]
        if stands and not replace:
            refuse(f"Records stand already at {stands[0]}: add --replace to move them aside and restore.")
        if database:
            with sqlite3.connect(room / kind) as copy:
                _look_through(copy, room / kind)
            copy.close()
        aside = _move_aside(state, database)
        if database:
            database.parent.mkdir(parents=True, exist_ok=True)
            os.replace(room / kind, database) if room.stat().st_dev == database.parent.stat().st_dev else shutil.move(
                room / kind, database
            )
        else:
            _restore_postgres(url, room / kind)
        for each in KEPT:
            if (room / each).exists():
                shutil.move(room / each, state / each)
    if aside:
        tell(f"What stood before lies in {aside}.")


def _move_aside(state: Path, database: Path | None) -> Path | None:
    old = [path for path in (state / each for each in KEPT) if path.exists()]
    if database:
        # The write-ahead log belongs to the old file: left behind, it would be read into the new one.
        old += [path for path in (database, Path(f"{database}-wal"), Path(f"{database}-shm")) if path.exists()]
    if not old:
        return None
    aside = state / "aside" / datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
    aside.mkdir(mode=0o700, parents=True)
    for path in old:
        shutil.move(path, aside / path.name)
    return aside


def _restore_postgres(url: str, dump: Path) -> None:
    command = [
        _program("pg_restore"),
        "--clean",
        "--if-exists",
        "--no-owner",
        "--exit-on-error",
        "--single-transaction",
    ]
    done = subprocess.run([*command, "--dbname", url, str(dump)], capture_output=True, text=True)
    if done.returncode != 0:
        refuse(f"pg_restore refused the backup ({done.stderr.strip().splitlines()[-1]}); the database is as it was.")
