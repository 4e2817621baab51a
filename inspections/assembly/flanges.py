"""Flanges of T and box spans: what was found in them, which the kernel knows by their depth alone."""

from dataclasses import dataclass

from inspections.models import Finding
from inspections.rules.loss_policy import LossPolicy
from inspections.rules.losses import Found, section_loss
from inspections.vocabulary.findings import FindingKind
from inventory.mechanics.rating import SectionLoss
from inventory.models import MemberGroup, Span

NAMES = ("kind", "member_number", "face", "depth_in", "width_in", "height_in", "offset_in", "resistance_pct")
PLACES = ("station_ft", "extent_ft", "wave_time_us_per_ft")

WOOD_PCF = 50.0
"""Timber, treated or not, for design (EM 7700-8 chapter 6 [checked])."""


def as_found(finding: Finding) -> Found:
    """The part of a finding that bears on strength; what is not known stays not known."""
    return Found(**{name: getattr(finding, name) for name in NAMES + PLACES})


@dataclass(frozen=True, kw_only=True)
class Flanges:
    """The flange groups of a span; None where not on record."""

    top: MemberGroup | None
    bottom: MemberGroup | None
    policy: LossPolicy

    @property
    def ids(self) -> frozenset[int]:
        return frozenset(group.pk for group in (self.top, self.bottom) if group is not None)

    def depth_in(self, group: MemberGroup, findings: list[Finding], span: Span) -> float:
        """Depth left along the whole span behind the deepest decay or wear of top and bottom, transition included."""
        return max(0.0, group.depth_in - _lost_in(group, findings, span, self.policy))

    def lost_psf(self, findings: list[Finding], span: Span) -> float:
        """Weight of the wood that decay took from the count, lb/ft2: it still hangs there."""
        groups = [group for group in (self.top, self.bottom) if group is not None]
        return sum(
            min(group.depth_in, _lost_in(group, findings, span, self.policy)) / 12.0 * WOOD_PCF for group in groups
        )

    def uncounted(self, findings: list[Finding], span: Span, where: str) -> list[str]:
        """Sentences on damage in a flange that only the engineer can weigh."""
        told = []
        for group in (self.top, self.bottom):
            if group is None:
                continue
            broken = any(f.kind == FindingKind.BROKEN and f.member_id == group.pk for f in findings)
            if broken or not all(_is_counted(loss) for loss in _losses(group, findings, span, self.policy)):
                told.append(
                    f"{where}: damage was found in the flange that a rating here cannot count (anything but decay or "
                    "wear from its top or bottom); have the engineer rate the span."
                )
        return list(dict.fromkeys(told))


def _lost_in(group: MemberGroup, findings: list[Finding], span: Span, policy: LossPolicy) -> float:
    lost = {"top": 0.0, "bottom": 0.0}
    for loss in _losses(group, findings, span, policy):
        if _is_counted(loss):
            lost[loss.face] = max(lost[loss.face], loss.depth_in + policy.transition_in)
    return sum(lost.values())


def _losses(group: MemberGroup, findings: list[Finding], span: Span, policy: LossPolicy) -> list[SectionLoss]:
    sizes = {"width_in": group.width_in, "depth_in": group.depth_in, "span_ft": span.length_ft}
    mine = [as_found(f) for f in findings if f.member_id == group.pk and f.bar_id is None]
    return [loss for found in mine if (loss := section_loss(found, policy=policy, **sizes)) is not None]


def _is_counted(loss: SectionLoss) -> bool:
    return loss.kind == "surface" and loss.face in ("top", "bottom")
