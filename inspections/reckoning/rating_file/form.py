"""The published form of a bridge in a file (JSON Schema 2020-12), made from the kernel's cases and their limits.

Written to ``bridge.schema.json`` (``manage.py rate --schema``), which is what a file is held against; a test refuses a
form that lags behind the cases.
"""

import typing

from inspections.reckoning.json_file import NOTE, dataclasses_in, name_of, object_form, range_form, reference
from inventory.mechanics.material import MakerWetFactors
from inventory.mechanics.rating import (
    BarState,
    DeadLayer,
    DesignValue,
    LaneLoad,
    MemberCase,
    RatingPolicy,
    SectionLoss,
    SpanCase,
)
from inventory.mechanics.rating.cases import (
    DECK_KINDS,
    DISTRIBUTIONS,
    FACES,
    LOSS_KINDS,
    ROLES,
    SUPPORTS,
    SURFACES,
    SYSTEMS,
    CapCase,
    DeckCase,
)
from inventory.mechanics.rating.limits import LIMITS
from inventory.mechanics.rating.policy import LOAD_FACTOR_TABLES, METHODS, ROUNDINGS
from inventory.mechanics.tables.design_values import KINDS
from inventory.mechanics.trace import MARKS
from inventory.mechanics.vehicle.trains import CLASSES, SIGN_CLASSES

VERSION = 1
MOST_BRIDGES = 5000
CHOICES: dict[tuple[type, str], tuple[str, ...]] = {
    (SpanCase, "system"): SYSTEMS,
    (SpanCase, "deck_kind"): DECK_KINDS,
    (SpanCase, "distribution"): DISTRIBUTIONS,
    (MemberCase, "role"): ROLES,
    (MemberCase, "shape"): ("rectangle", "round"),
    (SectionLoss, "kind"): LOSS_KINDS,
    (SectionLoss, "face"): (*FACES, "end", ""),
    (BarState, "surface"): SURFACES,
    (DeckCase, "kind"): DECK_KINDS,
    (DeckCase, "support"): SUPPORTS,
    (DesignValue, "kind"): KINDS,
    (DesignValue, "mark"): MARKS,
    (RatingPolicy, "rounding"): ROUNDINGS,
    (RatingPolicy, "posting_method"): METHODS,
    (RatingPolicy, "load_factor_table"): LOAD_FACTOR_TABLES,
}
OF_THEIR_OWN = (
    SpanCase,
    MemberCase,
    SectionLoss,
    DeadLayer,
    BarState,
    DeckCase,
    CapCase,
    MakerWetFactors,
    RatingPolicy,
)
SENTENCES = {"type": "array", "items": {"type": "string"}}
LOOKED_UP = ("species", "grade", "size_class")
IN_FULL = ("kind", "fb_psi", "fv_psi", "fc_perp_psi", "e_psi", "source")
OPTIONAL_LABELS = (SpanCase,)


def schema() -> dict:
    """The whole form."""
    defs = {name_of(cls): _object(cls) for cls in (*OF_THEIR_OWN, *_nested())}
    defs["DesignValue"] = _design_value()
    defs["Vehicle"] = _vehicle()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Bridge to rate, form {VERSION}",
        "description": "One bridge, or an object with a list of them under 'bridges'. Units stand in the names.",
        "anyOf": [{"$ref": "#/$defs/Bridge"}, {"$ref": "#/$defs/Bridges"}],
        "$defs": {"Bridge": _bridge(), "Bridges": _bridges(), **dict(sorted(defs.items()))},
    }


def _nested() -> list[type]:
    """Cases that only stand inside others, such as the bars' hardware."""
    found: list[type] = []
    for cls in OF_THEIR_OWN:
        for hint in typing.get_type_hints(cls).values():
            found += [part for part in dataclasses_in(hint) if part not in (*OF_THEIR_OWN, *found, DesignValue)]
    return found


def _object(cls: type) -> dict:
    optional = ("label",) if cls in OPTIONAL_LABELS else ()
    return object_form(cls, limits=LIMITS, choices=CHOICES, optional=optional)


def _design_value() -> dict:
    made = _object(DesignValue)
    made["description"] = (
        "Reference stresses before any factor. Species, grade and size class alone are looked up in the published "
        "table; or everything is given in full with its source."
    )
    made["required"] = list(LOOKED_UP)
    given = [name for name in made["properties"] if name not in ("note", *LOOKED_UP)]
    made["dependentRequired"] = {name: [other for other in IN_FULL if other != name] for name in given}
    return made


def _vehicle() -> dict:
    spacing = {"type": ["number", "array"], "exclusiveMinimum": 0, "maximum": 200, "minItems": 2, "maxItems": 2}
    spacing["items"] = {"type": "number", "exclusiveMinimum": 0, "maximum": 200}
    spacing["description"] = "Feet to the next axle; a pair is the least and the most of a spacing that varies."
    axle = {"type": "number", "exclusiveMinimum": 0, "maximum": 200, "description": "Axle weight, above 0, to 200 kip."}
    lane = {name: {"type": "number", **range_form(limit)} for name, limit in LIMITS[LaneLoad].items()}
    properties = {
        "note": NOTE,
        "id": {"type": "string", "minLength": 1, "maxLength": 40},
        "name": {"type": "string", "minLength": 1, "maxLength": 120},
        "vehicle_class": {"type": "string", "enum": list(CLASSES)},
        "axles_kip": {"type": "array", "items": axle, "minItems": 1, "maxItems": 20},
        "spacings_ft": {"type": "array", "items": spacing, "maxItems": 19},
        "lane": {
            "type": ["object", "null"],
            "additionalProperties": False,
            "required": list(lane),
            "properties": {"note": NOTE} | lane,
        },
        "relieving_axles_dropped": {"type": "boolean"},
        "together_plf": {"type": "number", "minimum": 0, "maximum": 5000},
        "instead_kip": {"type": "array", "items": axle, "maxItems": 20},
        "instead_spacings_ft": {"type": "array", "items": spacing, "maxItems": 19},
        "sign_class": {"type": "string", "enum": list(SIGN_CLASSES)},
        "source": {"type": "string", "minLength": 1},
        "mark": {"type": "string", "enum": list(MARKS)},
    }
    return {
        "description": "The id of a standard vehicle, or axles front to rear with their spacings and a source.",
        "type": ["string", "object"],
        "additionalProperties": False,
        "required": ["id", "axles_kip", "spacings_ft", "source"],
        "properties": properties,
    }


def _bridge() -> dict:
    pressure = {
        "type": "object",
        "additionalProperties": False,
        "required": ["span", "least_local_pressure_psi"],
        "properties": {
            "span": {"type": "integer"},
            "least_local_pressure_psi": {"type": ["number", "null"], "minimum": 0, "maximum": 500},
        },
    }
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["name", "spans"],
        "properties": {
            "note": NOTE,
            "form": {"type": "integer", "enum": [VERSION], "description": "Number of this form."},
            "name": {"type": "string", "minLength": 1, "maxLength": 200},
            "as_of": {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "description": "Year-month-day."},
            "spans": {"type": "array", "items": reference(SpanCase), "maxItems": 100},
            "caps": {"type": "array", "items": reference(CapCase), "maxItems": 200},
            "vehicles": {"type": "array", "items": {"$ref": "#/$defs/Vehicle"}, "minItems": 1, "maxItems": 60},
            "policy": reference(RatingPolicy),
            "loss_policy": {
                "type": "object",
                "description": "What readings of decay meant; the losses hold it already.",
            },
            "missing": SENTENCES | {"description": "What the record lacked, as the register told it."},
            "closing": SENTENCES | {"description": "What calls for closing whatever the factors."},
            "critical": SENTENCES | {"description": "What calls for the engineer at once."},
            "assumed": SENTENCES | {"description": "Assumptions, printed with the result."},
            "relied_on": SENTENCES | {"description": "Readings and findings behind the inputs, with their dates."},
            "pressures": {"type": "array", "items": pressure, "description": "Bar pressure by span, as read."},
        },
    }


def _bridges() -> dict:
    listed = {"type": "array", "items": {"$ref": "#/$defs/Bridge"}, "minItems": 1, "maxItems": MOST_BRIDGES}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["bridges"],
        "properties": {"note": NOTE, "bridges": listed},
    }
