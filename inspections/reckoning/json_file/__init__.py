"""Files of JSON as a door: read strictly, held against a published form, every fault a sentence with its place."""

from .digest import digest_of
from .faults import BadFile, form_faults, place
from .form import NOTE, dataclasses_in, name_of, object_form, range_form, reference
from .sizes import above, between
from .text import parsed_json

__all__ = [
    "NOTE",
    "BadFile",
    "above",
    "between",
    "dataclasses_in",
    "digest_of",
    "form_faults",
    "name_of",
    "object_form",
    "parsed_json",
    "place",
    "range_form",
    "reference",
]
