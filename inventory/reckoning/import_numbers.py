"""Which structure a line stands for, by State and structure number.

The number is text and one bridge in the whole State (guide p. 6). A copy saved by a spreadsheet has lost leading zeros
and blanks; such a bare number is matched without them only where that fits exactly one structure, and never guessed.
"""

from collections.abc import Iterable

from inventory.models import Structure
from inventory.queries.records import numbers_as_read, numbers_in_state
from inventory.rules.record import Row
from inventory.rules.record.row import NUMBER_WIDTH

from .import_report import ImportReport


def _stripped(number: str) -> str:
    return number.strip().lstrip("0")


class NumberBook:
    """Remembers the lines of one file and the structures they stand for."""

    def __init__(self):
        self._lines: dict[tuple[str, str], int] = {}
        self._bare_lines: dict[tuple[str, str], int] = {}
        self._claimed: dict[int, int] = {}
        self._by_number: dict[tuple[str, str], Structure] = {}
        self._by_id: dict[int, Structure] = {}
        self._all: dict[str, dict[str, list[int]]] = {}
        self._bare: dict[str, dict[str, list[int]]] = {}
        self._bare_new: list[int] = []

    def candidates(self, rows: Iterable[Row]) -> set[int]:
        """Ids of structures whose number fits one of the rows but for leading zeros."""
        ids: set[int] = set()
        for row in rows:
            shelf = self._all_of(row.state_code) if row.number_is_bare else self._bare_of(row.state_code)
            ids.update(shelf.get(_stripped(row.number), ()))
        return ids

    def shelve(self, structures: Iterable[Structure]) -> None:
        """Take the structures of the next batch."""
        self._by_number.clear()
        self._by_id.clear()
        for structure in structures:
            self._by_id[structure.pk] = structure
            state = structure.state_code or structure.agency.state_code
            self._by_number[state, structure.number] = structure

    def match(self, row: Row) -> tuple[Structure | None, str]:
        """The structure of a row, None for a new one, or the sentence that refuses the row."""
        key = (row.state_code, row.number)
        bare_key = (row.state_code, _stripped(row.number))
        if key in self._lines:
            return None, f"line {self._lines[key]} already has this structure number: the second line is not taken"
        if row.number_is_bare and bare_key in self._bare_lines:
            line = self._bare_lines[bare_key]
            return None, f"without its leading zeros this number is the same as on line {line}: use the original file"
        structure, refusal = self._find(row, key, bare_key[1])
        if not refusal and structure is not None and structure.pk in self._claimed:
            line = self._claimed[structure.pk]
            refusal = f"line {line} already stands for this structure; leading zeros make them two: settle it by hand"
        if refusal:
            return None, refusal
        self._lines[key] = row.line
        self._bare_lines[bare_key] = row.line
        if structure is not None:
            self._claimed[structure.pk] = row.line
        elif row.number_is_bare:
            self._bare_new.append(row.line)
        return structure, ""

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

    def _find(self, row: Row, key: tuple[str, str], stripped: str) -> tuple[Structure | None, str]:
        exact = self._by_number.get(key)
        if not row.number_is_bare:
            if exact is not None:
                return exact, ""
            ids = self._bare_of(row.state_code).get(stripped, [])
            return (self._by_id.get(ids[0]), "") if len(ids) == 1 else (None, "")
        ids = self._all_of(row.state_code).get(stripped, [])
        if len(ids) > 1:
            return None, (
                f"a spreadsheet has dropped leading zeros, and {len(ids)} structures of the register could be meant: "
                "use the original file"
            )
        return (exact or self._by_id.get(ids[0]) if ids else exact), ""

    def _all_of(self, state_code: str) -> dict[str, list[int]]:
        if state_code not in self._all:
            shelf: dict[str, list[int]] = {}
            for pk, number in numbers_in_state(state_code):
                shelf.setdefault(_stripped(number), []).append(pk)
            self._all[state_code] = shelf
        return self._all[state_code]

    def _bare_of(self, state_code: str) -> dict[str, list[int]]:
        if state_code not in self._bare:
            shelf: dict[str, list[int]] = {}
            for pk, number, as_read in numbers_as_read(state_code):
                if as_read and as_read.isdigit() and len(as_read) < NUMBER_WIDTH:
                    shelf.setdefault(_stripped(number), []).append(pk)
            self._bare[state_code] = shelf
        return self._bare[state_code]
