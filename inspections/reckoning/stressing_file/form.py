"""The published form of a row of bars to be stressed (JSON Schema 2020-12), made from the kernel's terms and limits.

Written to ``plan.schema.json`` (``manage.py plan_stressing --schema``); a test refuses a form that lags behind.
"""

from inspections.reckoning.json_file import NOTE, object_form, reference
from inventory.mechanics.bars.jacking.inputs import BARS_MOST
from inventory.mechanics.bars.jacking.orders import JACKS_MOST
from inventory.mechanics.bars.jacking.terms import METHODS, ORDERS, JackKit, PlanInput, PlannedBar, Squeezed

from .limits import LIMITS

VERSION = 1
CHOICES = {(PlanInput, "order"): ORDERS, (PlanInput, "method"): METHODS}
NAME = {"type": "string", "minLength": 1, "maxLength": 40}
NEIGHBOURS_MOST = 10
# Wishes that every plan may be made without; target and standing force are never among them.
OF_THE_ROW = ("deck", "bars", "jacks")


def schema() -> dict:
    """The whole form."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Row of bars to be stressed, form {VERSION}",
        "description": "One row of bars: one span, one level. Units stand in the names. Forces in lb.",
        "$ref": "#/$defs/Row",
        "$defs": {"Row": _row(), "Squeezed": _squeezed(), "PlannedBar": _bar(), "JackKit": _jack()},
    }


def _squeezed() -> dict:
    made = object_form(Squeezed, limits=LIMITS, choices=CHOICES)
    made["properties"]["neighbour_losses_ratio"]["maxItems"] = NEIGHBOURS_MOST
    return made


def _bar() -> dict:
    made = object_form(PlannedBar, limits=LIMITS, choices=CHOICES, optional=("target_lb",))
    made["properties"] |= {
        "name": NAME,
        "confirmed": {"type": "boolean", "description": "The standing force is right, however it looks."},
    }
    return made


def _jack() -> dict:
    made = object_form(JackKit, limits=LIMITS, choices=CHOICES)
    made["properties"]["name"] = NAME
    return made


def _row() -> dict:
    made = object_form(PlanInput, limits=LIMITS, choices=CHOICES)
    made["description"] = "Everything a plan depends on. A target force has no default: say where it comes from."
    made["required"] = ["name", "target_source", *OF_THE_ROW]
    made["properties"] |= {
        "note": NOTE,
        "form": {"type": "integer", "enum": [VERSION], "description": "Number of this form."},
        "name": {"type": "string", "minLength": 1, "maxLength": 200},
        "target_source": {
            "type": "string",
            "minLength": 1,
            "maxLength": 200,
            "description": "Where the target forces come from: the design, or the engineer by name and date.",
        },
        "bars": {"type": "array", "items": reference(PlannedBar), "minItems": 1, "maxItems": BARS_MOST},
        "jacks": {"type": "array", "items": reference(JackKit), "minItems": 1, "maxItems": JACKS_MOST},
        "given_order": {
            "type": "array",
            "items": {"type": "string"},
            "maxItems": BARS_MOST,
            "description": "Names of the bars in the order they are pulled; with order 'given'.",
        },
    }
    return made
