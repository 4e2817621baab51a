"""Whether moisture readings show wet service on a member that the record calls dry."""

from collections.abc import Iterable

from inspections.models import Finding
from inspections.vocabulary.findings import FindingKind

from .members import WET_OVER_PCT, WET_OVER_SAWN_PCT


def found_wet(*, findings: Iterable[Finding], product: str, is_wet: bool, where: str) -> tuple[bool | None, list[str]]:
    """True and the sentence where a reading on the member is over the limit; None follows the span."""
    most = WET_OVER_PCT.get(product, WET_OVER_SAWN_PCT)
    readings = [
        finding.moisture_pct
        for finding in findings
        if finding.kind == FindingKind.MOISTURE and finding.moisture_pct and finding.moisture_pct > most
    ]
    if is_wet or not readings:
        return None, []
    return True, [
        f"{where}: recorded as dry, but moisture of {max(readings):g} % was read, over {most:g} %: rated as wet."
    ]
