"""A row of bars in a file of its own, planned without the register: the form, reading, and the plan.

``plan.schema.json`` is the form as published; ``ops/stressing-file.md`` says it to people.
"""

from inspections.reckoning.json_file import BadFile

from .answer import CAUTIONS, plan_row
from .form import schema
from .read import RowToStress, read_row

__all__ = ["CAUTIONS", "BadFile", "RowToStress", "plan_row", "read_row", "schema"]
