"""What a look at the whole structure would take out of the rating without a word about it."""

from inspections.models import Finding, Inspection
from inspections.queries.condition import findings_before
from inspections.rules.completeness import FULL_KINDS
from inspections.rules.finding_change import NOT_FOLLOWED, changes_between
from inspections.rules.losses import BY_INSTRUMENT, LOOKS_INSIDE
from inspections.vocabulary.findings import FindingKind

from .condition_facts import as_mapping
from .snapshot import place_words


def unanswered(inspection: Inspection) -> list[str]:
    """A sentence for each earlier finding that this inspection replaces and says nothing of.

    A routine, in-depth or initial inspection replaces what stood before it (`losses.which_stand`). Where somebody was
    asked of each finding and left one open, it must not vanish: as before, grown, less or gone is an answer.
    """
    if inspection.kind not in FULL_KINDS:
        return []
    before = {row.pk: row for row in findings_before(inspection) if _is_replaced(row, inspection)}
    steps = changes_between(
        [as_mapping(row) for row in inspection.findings.all()], [as_mapping(row) for row in before.values()]
    )
    return [_sentence(before[step.before["id"]]) for step in steps if step.row is None]


def _is_replaced(finding: Finding, inspection: Inspection) -> bool:
    """A look at the surface leaves standing what instruments found."""
    if finding.kind in NOT_FOLLOWED:
        return False
    return inspection.kind in LOOKS_INSIDE or finding.kind not in BY_INSTRUMENT


def _sentence(finding: Finding) -> str:
    on = finding.inspection.field_completed_on
    place = place_words(finding)
    where = f", {place}" if place else ""
    return (
        f"{FindingKind.label_of(finding.kind)}{where}, found on {on.day} {on:%b %Y}, is not answered: say whether it "
        "is as before, grown, less or gone. Until then it counts as it stood."
    )
