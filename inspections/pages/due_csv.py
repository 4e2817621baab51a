"""The due list as CSV, for any spreadsheet; no cell is taken for a formula."""

from collections.abc import Iterable

from defusedcsv import csv

from .owed import DueRow

# Some spreadsheets take these for their narrow forms [memory: OWASP, "CSV injection"].
WIDE_SIGNS = ("＝", "＋", "－", "＠")
HEADINGS = (
    "structure",
    "road",
    "feature",
    "agency",
    "what",
    "due on",
    "late after",
    "stands",
    "days late",
    "reason",
    "state",
    "put off to",
    "state reason",
    "assigned to",
)


def due_csv(handle, rows: Iterable[DueRow]) -> None:
    """Write headings and one line per reminder; dates as year-month-day."""
    writer = csv.writer(handle)
    writer.writerow(HEADINGS)
    for row in rows:
        reminder, structure = row.reminder, row.reminder.structure
        cells = (
            structure.number,
            structure.road_name,
            structure.feature_crossed,
            structure.agency.name,
            reminder.get_kind_display(),
            reminder.due_on.isoformat(),
            reminder.late_after.isoformat(),
            row.lateness.words,
            row.lateness.days_late,
            reminder.reason,
            reminder.get_state_display(),
            reminder.deferred_to.isoformat() if reminder.deferred_to else "",
            reminder.state_reason,
            str(reminder.assigned_to or ""),
        )
        writer.writerow([_plain(cell) if isinstance(cell, str) else cell for cell in cells])


def _plain(text: str) -> str:
    """Without blanks at the ends; the full-width signs of a formula, which defusedcsv lets through, made text."""
    text = text.strip()
    return f"'{text}" if text.startswith(WIDE_SIGNS) else text
