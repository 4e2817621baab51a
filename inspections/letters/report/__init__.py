"""The report of one inspection: one content for the page and for the PDF that is kept and signed."""

from .content import report_content
from .printing import file_name, inspection_report_pdf

__all__ = ["file_name", "inspection_report_pdf", "report_content"]
