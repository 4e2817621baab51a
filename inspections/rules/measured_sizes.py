"""Whether what was measured on a member can be on it: sizes of a finding against the sizes on its record.

Geometry only: nobody probes deeper than the wood. Where the measurement is right, the record of the member is wrong,
and the sentence says so.
"""

from collections.abc import Mapping

from inspections.vocabulary.findings import Face, FindingKind
from inventory.vocabulary.structures import MemberRole

SLACK_IN = 0.25
"""Rough sawn timber is seldom just as wide as its record says (common practice, no source)."""
SIDE_BY_SIDE = frozenset({MemberRole.LAMINATION, MemberRole.FLANGE, MemberRole.BOTTOM_FLANGE, MemberRole.DECK})
"""Members whose recorded width is that of one of many side by side: damage may run across several."""
FROM_A_FACE = (FindingKind.SURFACE_DECAY, FindingKind.WEAR, FindingKind.CRACK, FindingKind.CHECK)
HOLES = (FindingKind.INTERNAL_VOID, FindingKind.DRILLING)
NEXT = "measure again, or have the office correct the member's record first."


def size_faults(finding: Mapping, *, role: str, width_in: float, depth_in: float) -> dict[str, str]:
    """Field -> sentence for every size of a finding that its member has no room for; empty where all fit.

    `role`, `width_in` and `depth_in` of the member as recorded.
    """
    across = role not in SIDE_BY_SIDE
    kind, face = finding.get("kind"), finding.get("face") or ""
    if kind in FROM_A_FACE and face in (Face.TOP, Face.BOTTOM):
        return _larger(finding, "depth_in", "The depth", depth_in, "deep")
    if kind in FROM_A_FACE and face in (Face.LEFT, Face.RIGHT):
        return _larger(finding, "depth_in", "The depth", width_in, "wide") if across else {}
    if kind == FindingKind.SPLIT:
        return _larger(finding, "depth_in", "The depth", max(width_in, depth_in), "across") if across else {}
    if kind == FindingKind.CRUSHING:
        return _larger(finding, "depth_in", "The depth", depth_in, "deep")
    if kind in HOLES:
        wide = _larger(finding, "width_in", "The width", width_in, "wide") if across else {}
        high = _larger(finding, "height_in", "The height", depth_in, "deep")
        return wide | (high or _outside(finding, depth_in))
    return {}


def _larger(finding: Mapping, field: str, name: str, most_in: float, word: str) -> dict[str, str]:
    value = finding.get(field)
    if not isinstance(value, int | float) or value <= most_in + SLACK_IN:
        return {}
    return {
        field: f"{name} is {value:g} in, but the member is {most_in:g} in {word} on record (0 to {most_in:g}); {NEXT}"
    }


def _outside(finding: Mapping, depth_in: float) -> dict[str, str]:
    """A hole that reaches out of the top or the bottom of the member."""
    offset, height = finding.get("offset_in"), finding.get("height_in") or 0.0
    if not isinstance(offset, int | float) or abs(offset) + height / 2.0 <= depth_in / 2.0 + SLACK_IN:
        return {}
    room = max(0.0, (depth_in - height) / 2.0)
    return {
        "offset_in": f"A hole {height:g} in high with its centre {offset:g} in from mid-depth reaches out of a member "
        f"{depth_in:g} in deep (the centre lies from {-room:g} to {room:g}); {NEXT}"
    }
