"""The published form of rows of bars to be forecast (JSON Schema 2020-12), made from its terms and their limits.

Written to ``forecast.schema.json`` (``manage.py forecast_force --schema``); a test refuses a form that lags behind.
"""

from inspections.reckoning.json_file import NOTE, object_form, range_form, reference
from inventory.mechanics.bars.loss.terms import LossPolicy

from .limits import LIMITS, YEARS_AHEAD
from .terms import METHODS, BarInRow, FileForces, FileReading, FileRow, FileStressing

VERSION = 1
MOST_ROWS, MOST_BARS, MOST_STRESSINGS, MOST_READINGS, MOST_LEVELS = 5000, 400, 60, 1000, 10
CHOICES = {(FileReading, "method"): METHODS}
DAY = {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "description": "Year-month-day."}
NAME = {"type": "string", "minLength": 1, "maxLength": 40}
LABEL = {"type": "string", "minLength": 1, "maxLength": 200}
DAYS_OF = {FileStressing: ("on",), FileReading: ("on",)}
NAMES_OF = {BarInRow: ("name",), FileForces: ("bar",), FileReading: ("bar",)}
MOST_OF = {
    FileRow: {"bars": MOST_BARS, "stressed": MOST_STRESSINGS, "readings": MOST_READINGS, "levels_psi": MOST_LEVELS},
    FileStressing: {"left": MOST_BARS},
}
OF_A_ROW = (FileRow, BarInRow, FileStressing, FileForces, FileReading)


def schema() -> dict:
    """The whole form."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Rows of bars to be forecast, form {VERSION}",
        "description": "Rows of bars, each one span at one level, with their history. Units stand in the names.",
        "$ref": "#/$defs/Rows",
        "$defs": {
            "Rows": _rows(),
            **{cls.__name__: _object(cls) for cls in OF_A_ROW},
            "LossPolicy": object_form(LossPolicy, limits=LIMITS, choices=CHOICES),
        },
    }


def _object(cls: type) -> dict:
    made = object_form(cls, limits=LIMITS, choices=CHOICES)
    properties = made["properties"]
    properties |= {name: DAY for name in DAYS_OF.get(cls, ())}
    properties |= {name: NAME for name in NAMES_OF.get(cls, ())}
    for name, most in MOST_OF.get(cls, {}).items():
        properties[name]["maxItems"] = most
    if cls is FileRow:
        properties |= {"name": LABEL, "kind": LABEL}
        properties["bars"]["minItems"] = 1
    return made


def _rows() -> dict:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["as_of", "rows"],
        "properties": {
            "note": NOTE,
            "form": {"type": "integer", "enum": [VERSION], "description": "Number of this form."},
            "as_of": DAY | {"description": "First day of the forecast, year-month-day. What is later does not enter."},
            "years_ahead": {"type": "number", **range_form(YEARS_AHEAD)},
            "policy": reference(LossPolicy),
            "rows": {"type": "array", "items": reference(FileRow), "minItems": 1, "maxItems": MOST_ROWS},
        },
    }
