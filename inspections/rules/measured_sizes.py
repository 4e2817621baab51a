"""Whether what was measured on a member can be on it: sizes of a finding against the sizes on its record.

Geometry only: nobody probes deeper than the wood. Where the measurement is right, the record of the member is wrong,
and the sentence says so. Which size of the member limits which field stands in the evidence table (`Fits`).
"""

from collections.abc import Mapping

from inventory.vocabulary.structures import MemberRole

from .evidence_kinds import EVIDENCE
from .evidence_terms import Fits, in_figures, number

SLACK_IN = 0.25
"""Rough sawn timber is seldom just as wide as its record says (common practice, no source)."""
SIDE_BY_SIDE = frozenset({MemberRole.LAMINATION, MemberRole.FLANGE, MemberRole.BOTTOM_FLANGE, MemberRole.DECK})
"""Members whose recorded width is that of one of many side by side: damage may run across several."""
NEXT = "measure again, or have the office correct the member's record first."


def size_faults(finding: Mapping, *, role: str, width_in: float, depth_in: float) -> dict[str, str]:
    """Field -> sentence for every size of a finding that its member has no room for; empty where all fit.

    `role`, `width_in` and `depth_in` of the member as recorded.
    """
    row = EVIDENCE.get(finding.get("kind"))
    if row is None:
        return {}
    member = {"width_in": width_in, "depth_in": depth_in}
    faults = {}
    for fits in row.fits:
        if not (fits.unless_side_by_side and role in SIDE_BY_SIDE):
            faults |= _larger(fits, finding, max(member[size] for size in fits.sizes))
    if row.within_member and "height_in" not in faults:
        faults |= _outside(finding, depth_in)
    return faults


def _larger(fits: Fits, finding: Mapping, most_in: float) -> dict[str, str]:
    value = number(finding.get(fits.field))
    if value is None or value <= most_in + SLACK_IN or (fits.faces and finding.get("face") not in fits.faces):
        return {}
    most = in_figures(most_in)
    return {
        fits.field: f"{fits.name} is {in_figures(value)} in, but the member is {most} in {fits.word} on record "
        f"(0 to {most}); {NEXT}"
    }


def _outside(finding: Mapping, depth_in: float) -> dict[str, str]:
    """A hole that reaches out of the top or the bottom of the member."""
    offset, height = number(finding.get("offset_in")), number(finding.get("height_in")) or 0.0
    if offset is None or abs(offset) + height / 2.0 <= depth_in / 2.0 + SLACK_IN:
        return {}
    room = max(0.0, (depth_in - height) / 2.0)
    return {
        "offset_in": f"A hole {in_figures(height)} in high with its centre {in_figures(offset)} in from mid-depth "
        f"reaches out of a member {in_figures(depth_in)} in deep (the centre lies from {in_figures(-room)} to "
        f"{in_figures(room)}); {NEXT}"
    }
