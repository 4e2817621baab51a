"""The inspection report as a page: the same content as the PDF, its drawings ready to be shown."""

from django.utils.safestring import mark_safe

from inspections.letters.report import report_content
from inspections.models import Inspection


def report_context(inspection: Inspection) -> dict:
    """Content of the report for the template."""
    report = report_content(inspection)
    bars = report["bars"]["figures_of"] if report["bars"] else []
    for figure in [*report["drawings"]["figures"], *bars, *report["channel"]]:
        figure["drawing"] = mark_safe(figure["svg"])  # noqa: S308 the writer escapes every text
    return {"report": report, "inspection": inspection, "structure": inspection.structure}
