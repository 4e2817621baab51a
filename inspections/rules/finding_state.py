"""One finding held against the member it is on: shares of the section, the condition state they suggest, its words.

The thresholds stand in rules/condition (published, memory). Where a check counts as in a tension zone is our own choice
[model]: on the bottom face anywhere, on a side face in the middle half of the span, because the height on the side is
not recorded, and on the top face within a quarter of the span of a pier over which the member runs through.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from inspections.vocabulary.findings import Face, FindingKind
from inventory.vocabulary.structures import MemberRole

from .condition import ProposedState, proposed_state
from .loss_policy import DEFAULT

SIDES = (Face.LEFT, Face.RIGHT)
LEAST_SHARE = 1e-6
HOLES = (FindingKind.INTERNAL_VOID, FindingKind.DRILLING, FindingKind.STRESS_WAVE)


@dataclass(frozen=True, kw_only=True)
class OnMember:
    """The member a finding is on: actual sizes in inches, span in feet, and over which of its ends it runs through."""

    role: str
    width_in: float
    depth_in: float
    span_ft: float
    count: int = 1
    through_near: bool = False
    through_far: bool = False


@dataclass(frozen=True, kw_only=True)
class Shares:
    """What a finding takes, as shares of the member (0 to 1, a split's length as multiples of its depth).

    None is not known: no size, or no member on record.
    """

    loss_ratio: float | None = None
    depth_ratio: float | None = None
    length_ratio: float | None = None
    in_tension_zone: bool = False


def shares_of(finding: Mapping, member: OnMember | None) -> Shares:
    """Shares of the member for a finding given by its columns. Sizes beyond the member count as the whole of it."""
    if member is None:
        return Shares()
    kind, depth_in = finding.get("kind"), finding.get("depth_in")
    if kind == FindingKind.SURFACE_DECAY and finding.get("face") == Face.END:
        # The end is decayed through its whole section, however deep: no share of the section is published for it.
        return Shares(loss_ratio=None if depth_in is None else float(depth_in > 0))
    if kind in (FindingKind.SURFACE_DECAY, FindingKind.WEAR):
        return Shares(loss_ratio=_share(depth_in, _thickness(finding, member)))
    if kind in HOLES:
        return Shares(loss_ratio=_hole_share(finding, member))
    if kind == FindingKind.CHECK:
        return Shares(
            depth_ratio=_share(depth_in, _thickness(finding, member)), in_tension_zone=in_tension_zone(finding, member)
        )
    if kind == FindingKind.SPLIT and finding.get("extent_ft") is not None:
        return Shares(length_ratio=finding["extent_ft"] * 12.0 / member.depth_in)
    return Shares()


def _thickness(finding: Mapping, member: OnMember) -> float:
    """In the direction of the damage; where the face is not known, the smaller size."""
    face = finding.get("face") or ""
    if face in (Face.TOP, Face.BOTTOM):
        return member.depth_in
    if face in SIDES or face == Face.END:
        return member.width_in
    return min(member.width_in, member.depth_in)


def _share(size: float | None, whole: float) -> float | None:
    return None if size is None else min(1.0, max(0.0, size) / whole)


def _hole_share(finding: Mapping, member: OnMember) -> float | None:
    """Area of a hole over the section. What drilling or a stress wave calls sound takes nothing."""
    kind = finding["kind"]
    if kind == FindingKind.DRILLING:
        resistance = finding.get("resistance_pct")
        if resistance is None:
            return None
        if resistance / 100.0 >= DEFAULT.drilled_sound_from:
            return 0.0
    if kind == FindingKind.STRESS_WAVE:
        time = finding.get("wave_time_us_per_ft")
        step = DEFAULT.wave_step(time) if time is not None else None
        if step in (None, "", "sound"):
            return None if step is None else 0.0
        if step == "grade":
            return None
    width, height = finding.get("width_in"), finding.get("height_in")
    width = member.width_in if width is None else min(width, member.width_in)
    height = member.depth_in if height is None else min(height, member.depth_in)
    if kind == FindingKind.INTERNAL_VOID and (finding.get("width_in") is None or finding.get("height_in") is None):
        return None
    # A reading that is not sound means that something is there, whatever size was given.
    return max(width * height / (member.width_in * member.depth_in), LEAST_SHARE)


def in_tension_zone(finding: Mapping, member: OnMember) -> bool:
    """Whether a check may lie where the member is pulled [model, see above]; a place not known counts as such."""
    face, station_ft, span_ft = finding.get("face") or "", finding.get("station_ft"), member.span_ft
    if face == Face.END:
        return False
    if face == Face.TOP:
        if not (member.through_near or member.through_far):
            return False
        if station_ft is None:
            return True
        low, high = _reach(finding)
        near = member.through_near and low <= span_ft / 4.0
        return bool(near or (member.through_far and high >= span_ft * 3.0 / 4.0))
    if face in SIDES and station_ft is not None:
        low, high = _reach(finding)
        return high >= span_ft / 4.0 and low <= span_ft * 3.0 / 4.0
    return True


def _reach(finding: Mapping) -> tuple[float, float]:
    start = finding["station_ft"]
    return start, start + (finding.get("extent_ft") or 0.0)


def state_of(finding: Mapping, member: OnMember | None) -> ProposedState | None:
    """The published condition state a finding suggests, None where nothing published can be said of it."""
    kind = finding.get("kind") or ""
    shares = shares_of(finding, member)
    value_in, depth_in = finding.get("value_in"), finding.get("depth_in")
    if kind == FindingKind.STRESS_WAVE and shares.loss_ratio is None and finding.get("wave_time_us_per_ft") is not None:
        return ProposedState(state=2, reason="The stress wave is slow: decay is suspected, drill to know its size.")
    if kind == FindingKind.CAMBER:
        depth_in = None if value_in is None else max(0.0, -value_in)
        if depth_in is None:
            return None
    elif kind in (FindingKind.SETTLEMENT, FindingKind.SCOUR, FindingKind.POTHOLE):
        depth_in = None if value_in is None else abs(value_in)
    return proposed_state(
        kind=kind,
        loss_ratio=shares.loss_ratio,
        depth_ratio=shares.depth_ratio,
        in_tension_zone=shares.in_tension_zone,
        length_ratio=shares.length_ratio,
        depth_in=depth_in,
        width_in=value_in if kind == FindingKind.SURFACE_CRACK else None,
    )


def place_words(finding: Mapping, member: OnMember | None) -> str:
    """'Decay on a face, span 1, stringer 3, at 7 ft' for the reasons of a proposal."""
    said = [FindingKind.label_of(finding.get("kind"))]
    if finding.get("span_index"):
        said.append(f"span {finding['span_index']}")
    if member is not None:
        number = finding.get("member_number")
        said.append(f"{MemberRole.label_of(member.role).lower()}{f' {number}' if number else ''}")
    if finding.get("station_ft") is not None:
        said.append(f"at {finding['station_ft']:g} ft")
    return ", ".join(said)
