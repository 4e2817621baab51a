"""The sheet a jack crew holds on a stressing day: one content for the page and its print as PDF."""

from .content import sheet_content
from .printing import file_name, stressing_sheet_pdf

__all__ = ["file_name", "sheet_content", "stressing_sheet_pdf"]
