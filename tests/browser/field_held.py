"""What the office holds after the field, read from its own table and folder and not from what the app says."""

import hashlib
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


@dataclass
class Held:
    """One inspection as the office holds it."""

    pk: int
    state: str
    revision: int
    completed_on: str | None
    notes: str
    findings: list[str]
    photos: list[str]


class Records:
    """The site's database and files, only read."""

    def __init__(self, site):
        self.database = site.state / "spanledger.sqlite3"
        self.files = Path(site.state) / "files"

    def rows(self, sql: str, *given) -> list[tuple]:
        with closing(sqlite3.connect(f"file:{self.database}?mode=ro", uri=True, timeout=60)) as open_one:
            return open_one.execute(sql, given).fetchall()

    def inspections(self, identity: str) -> list[Held]:
        """Every inspection of this identity: one, if the law holds. Findings and photographs repeat if kept twice."""
        found = self.rows(
            "select id, state, revision, field_completed_on, notes from inspections_inspection where identity = ?",
            identity.replace("-", ""),
        )
        return [Held(*row, self._findings(row[0]), self._photos(row[0])) for row in found]

    def one(self, identity: str) -> Held:
        found = self.inspections(identity)
        assert len(found) == 1, f"{len(found)} inspections of one identity at the office"
        return found[0]

    def count(self) -> int:
        """Inspections at the office in all: a second one under another identity would show here."""
        (count,) = self.rows("select count(*) from inspections_inspection")[0]
        return count

    def receipts(self, identity: str) -> list[str]:
        """The state of every record received for an inspection, oldest first."""
        sql = "select state, body from inspections_receipt order by id"
        return [state for state, body in self.rows(sql) if f'"{identity}"' in body]

    def _findings(self, pk: int) -> list[str]:
        return [kind for (kind,) in self.rows("select kind from inspections_finding where inspection_id = ?", pk)]

    def _photos(self, pk: int) -> list[str]:
        """sha256 of the received bytes of each photograph, worked out from the file itself."""
        sql = (
            "select d.received from inspections_inspectionphoto p join inventory_document d on d.id = p.document_id "
            "where p.inspection_id = ?"
        )
        return sorted(sha256((self.files / name).read_bytes()) for (name,) in self.rows(sql, pk))
