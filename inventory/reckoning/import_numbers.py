"""Which structure a line stands for, by State and structure number.

The number is text and one bridge in the whole State (guide p. 6). A copy saved by a spreadsheet has lost leading zeros
and blanks; such a bare number is matched without them only where that fits exactly one structure, and never guessed.
"""

from collections.abc import Iterable

from inventory.queries.records import (
    Known,
    bare_numbers,
    has_structures,
    numbers_in_state,
    structures_numbered,
)
from inventory.rules.record import Row
from inventory.rules.record.identity import NUMBER_WIDTH, without_zeros

from .import_report import ImportReport

Shelf = dict[str, list[int]]


class NumberBook:
    """Remembers the lines of one file and the structures they stand for."""

    def __init__(self):
        self._lines: dict[tuple[str, str], int] = {}
        self._bare_lines: dict[tuple[str, str], int] = {}
        self._claimed: dict[int, int] = {}
        self._by_number: dict[tuple[str, str], Known] = {}
        self._by_id: dict[int, Known] = {}
        self._has_structures: dict[str, bool] = {}
        self._all: dict[str, Shelf] = {}
        self._bare: dict[str, Shelf] = {}
        self._bare_new: list[int] = []

    def look_up(self, rows: Iterable[Row]) -> None:
        """Fetch the structures that the next rows may stand for."""
        self._by_number.clear()
        self._by_id.clear()
        rows = [row for row in rows if self._holds_any(row.state_code)]
        if not rows:
            return
        ids: set[int] = set()
        for row in rows:
            shelf = self._all_of(row.state_code) if row.number_is_bare else self._bare_of(row.state_code)
            if shelf:
                ids.update(shelf.get(without_zeros(row.number), ()))
        for known in structures_numbered({row.state_code for row in rows}, {row.number for row in rows}, ids):
            self._by_id[known.pk] = known
            self._by_number[known.state_code, known.number] = known

    def match(self, row: Row) -> tuple[Known | None, str]:
        """The structure of a row, None for a new one, or the sentence that refuses the row."""
        key = (row.state_code, row.number)
        if key in self._lines:
            return None, f"line {self._lines[key]} already has this structure number: the second line is not taken"
        bare_key = (row.state_code, without_zeros(row.number))
        if row.number_is_bare and bare_key in self._bare_lines:
            line = self._bare_lines[bare_key]
            return None, f"without its leading zeros this number is the same as on line {line}: use the original file"
        known, refusal = self._find(row, key, bare_key[1])
        if not refusal and known is not None and known.pk in self._claimed:
            line = self._claimed[known.pk]
            refusal = f"line {line} already stands for this structure; leading zeros make them two: settle it by hand"
        if refusal:
            return None, refusal
        self._lines[key] = row.line
        self._bare_lines[bare_key] = row.line
        if known is not None:
            self._claimed[known.pk] = row.line
        elif row.number_is_bare:
            self._bare_new.append(row.line)
        return known, ""

    def tell(self, report: ImportReport) -> None:
        """Say plainly that numbers may have lost their zeros."""
        if self._bare_new:
            lines = ", ".join(str(line) for line in self._bare_new[:5])
            more = f" and {len(self._bare_new) - 5} more" if len(self._bare_new) > 5 else ""
            report.notes.append(
                f"{len(self._bare_new)} new structure numbers (lines {lines}{more}) are digits only and shorter than "
                f"{NUMBER_WIDTH} characters, as in a copy saved by a spreadsheet: leading zeros may be lost. They are "
                "kept as they stand; import the original file to set them right."
            )

    def _find(self, row: Row, key: tuple[str, str], stripped: str) -> tuple[Known | None, str]:
        exact = self._by_number.get(key)
        if not row.number_is_bare:
            if exact is not None:
                return exact, ""
            ids = self._bare_of(row.state_code).get(stripped, ())
            return (self._by_id.get(ids[0]) if len(ids) == 1 else None), ""
        ids = self._all_of(row.state_code).get(stripped, ())
        if len(ids) > 1:
            return None, (
                f"a spreadsheet has dropped leading zeros, and {len(ids)} structures of the register could be meant: "
                "use the original file"
            )
        return (self._by_id.get(ids[0]) if ids else exact), ""

    def _holds_any(self, state_code: str) -> bool:
        if state_code not in self._has_structures:
            self._has_structures[state_code] = has_structures(state_code)
        return self._has_structures[state_code]

    def _all_of(self, state_code: str) -> Shelf:
        """Every structure of the State as it stood when the file was opened, by number without zeros."""
        if state_code not in self._all:
            known = numbers_in_state(state_code) if self._holds_any(state_code) else []
            self._all[state_code] = _shelf(known)
        return self._all[state_code]

    def _bare_of(self, state_code: str) -> Shelf:
        """Structures whose number came from such a copy."""
        if state_code not in self._bare:
            known = bare_numbers(state_code) if self._holds_any(state_code) else []
            self._bare[state_code] = _shelf(known)
        return self._bare[state_code]


def _shelf(known: Iterable[tuple[int, str]]) -> Shelf:
    shelf: Shelf = {}
    for pk, number in known:
        shelf.setdefault(without_zeros(number), []).append(pk)
    return shelf
