"""The calculation sheet of a rating: shape, and its print as PDF.

``calculation_sheet_pdf(sheet)`` needs plain values only (``SheetData``); ``sheet_of_rating(rating)`` takes them from a
stored rating, ``sheet_of_answer`` from a bridge rated out of a file.
"""

from .content import sheet_content
from .from_file import sheet_of_answer
from .from_rating import sheet_of_rating
from .printing import calculation_sheet_pdf
from .sheet import SheetData

__all__ = ["SheetData", "calculation_sheet_pdf", "sheet_content", "sheet_of_answer", "sheet_of_rating"]
