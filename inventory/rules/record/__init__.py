"""What a line of the 1995 federal record says: values read, faults named, changes told apart from what a county knows.

Source of formats and codes: Recording and Coding Guide, FHWA-PD-96-001, December 1995; pages stand beside each rule.
"""

from .changes import Merge, merge_fields
from .position import Position, read_position
from .row import Decoder, Fault, Row
from .standing import condition_class_of, restriction_of
from .values import reads_alike

__all__ = [
    "Decoder",
    "Fault",
    "Merge",
    "Position",
    "Row",
    "condition_class_of",
    "merge_fields",
    "read_position",
    "reads_alike",
    "restriction_of",
]
