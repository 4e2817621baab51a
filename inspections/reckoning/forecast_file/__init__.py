"""Rows of bars with their history in a file, forecast without the register: the form, reading, and the forecast.

``forecast.schema.json`` is the form as published; ``ops/stressing-file.md`` says it to people.
"""

from inspections.reckoning.json_file import BadFile

from .answer import CAUTIONS, forecast_rows
from .form import schema
from .read import Rows, RowToForecast, read_rows

__all__ = ["CAUTIONS", "BadFile", "RowToForecast", "Rows", "forecast_rows", "read_rows", "schema"]
