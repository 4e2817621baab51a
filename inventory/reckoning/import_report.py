"""What an import did or would do: counts, and every refusal by line, column, value and sentence."""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any, Protocol

from inventory.rules.record import Fault

KEPT_IN_HISTORY = 200


class FileColumns(Protocol):
    """The columns of a file: those left aside, and those of the record that it lacks."""

    ignored: tuple[str, ...]
    absent: tuple[str, ...]


@dataclass(frozen=True)
class HeldValue:
    """A value of the record that waits for a person because the county entered its own."""

    line: int
    number: str
    field: str
    county_value: Any
    record_value: Any


@dataclass
class ImportReport:
    """Every line read is counted once: new, changed, same, held, refused, under another route, or not asked for."""

    file_name: str = ""
    sha256: str = ""
    is_preview: bool = False
    read: int = 0
    new: int = 0
    changed: int = 0
    same: int = 0
    held: int = 0
    refused_rows: int = 0
    refused_values: int = 0
    under_routes: int = 0
    not_asked: int = 0
    unassigned: int = 0
    faults: list[Fault] = field(default_factory=list)
    held_values: list[HeldValue] = field(default_factory=list)
    agencies: Counter = field(default_factory=Counter)
    new_agencies: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    notes_by_line: list[tuple[int, str, str]] = field(default_factory=list)
    ignored_columns: tuple[str, ...] = ()
    absent_columns: tuple[str, ...] = ()

    @property
    def changes_nothing(self) -> bool:
        return not (self.new or self.changed or self.held)

    def refuse(self, faults: list[Fault]) -> None:
        """Take over the faults of one line."""
        self.faults.extend(faults)
        if any(fault.whole_row for fault in faults):
            self.refused_rows += 1
        else:
            self.refused_values += len(faults)

    def as_json(self, *, most: int | None = None) -> dict[str, Any]:
        """The whole report as plain values; `most` shortens the long lists for keeping."""
        return {
            "file": self.file_name,
            "sha256": self.sha256,
            "preview": self.is_preview,
            "read": self.read,
            "new": self.new,
            "changed": self.changed,
            "same": self.same,
            "held": self.held,
            "refused_rows": self.refused_rows,
            "refused_values": self.refused_values,
            "under_routes": self.under_routes,
            "not_asked": self.not_asked,
            "unassigned": self.unassigned,
            "refused": [
                {
                    "line": fault.line,
                    "column": fault.column,
                    "item": fault.item,
                    "structure": fault.number,
                    "value": fault.value,
                    "reason": fault.reason,
                    "refused": "line" if fault.whole_row else "value",
                }
                for fault in self.faults[:most]
            ],
            "held_values": [
                {
                    "line": value.line,
                    "structure": value.number,
                    "field": value.field,
                    "county": value.county_value,
                    "record": value.record_value,
                }
                for value in self.held_values[:most]
            ],
            "agencies": dict(self.agencies),
            "new_agencies": self.new_agencies,
            "notes": self.notes,
            "notes_by_line": [
                {"line": line, "structure": number, "note": note} for line, number, note in self.notes_by_line[:most]
            ],
            "ignored_columns": list(self.ignored_columns),
            "absent_columns": list(self.absent_columns),
        }


def report_of(header: FileColumns, file_name: str, sha256: str) -> ImportReport:
    """An empty report that already knows its file and the columns found there."""
    return ImportReport(
        file_name=file_name, sha256=sha256, ignored_columns=header.ignored, absent_columns=header.absent
    )
