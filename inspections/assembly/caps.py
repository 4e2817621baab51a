"""Pile caps on record to the kernel's caps: the ends they hold, their piles, and what was found on them."""

from dataclasses import dataclass, field

from inspections.models import Finding
from inspections.rules.loss_policy import LossPolicy
from inspections.rules.losses import section_loss, worst_of
from inspections.vocabulary.findings import FindingKind
from inventory.mechanics.rating import CapCase, SectionLoss
from inventory.models import MemberGroup, Span, Structure
from inventory.vocabulary.structures import MemberRole

from .flanges import as_found
from .material import design_value
from .wet import found_wet


@dataclass
class GatheredCaps:
    """Caps that can be rated; sentences on those that cannot, and on broken ones, which call for closing."""

    caps: list[CapCase] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)
    closing: list[str] = field(default_factory=list)


def gather_caps(
    *,
    structure: Structure,
    spans: list[Span],
    findings: list[Finding],
    policy: LossPolicy,
    substructure: int | None,
) -> GatheredCaps:
    """Every cap row of the structure; `spans` in order, `substructure` its 0 to 9 rating, None not known."""
    gathered = GatheredCaps()
    rows = MemberGroup.objects.filter(span__structure=structure, role=MemberRole.CAP).select_related("span")
    for row in rows.order_by("span__index", "id"):
        mine = [finding for finding in findings if finding.member_id == row.pk]
        _add(gathered, row, structure, spans, mine, policy, substructure)
    if gathered.caps and substructure is None:
        gathered.assumed.append(
            "No condition rating of the substructure is on record: load and resistance factors take the caps as poor."
        )
    return gathered


def _add(gathered: GatheredCaps, row: MemberGroup, structure, spans, findings, policy, substructure) -> None:
    label = cap_label(row)
    if any(finding.kind == FindingKind.BROKEN for finding in findings):
        gathered.closing.append(f"{label} is broken or missing, and nothing is shown to carry the spans on it.")
        return
    lacking = [words for words in (
        "" if row.at_end else "which end of the span it holds is not on record.",
        "" if row.spacing_ft else "the spacing of its piles is not on record.",
        "" if row.bearing_length_in else "the length over which it rests on a pile is not measured.",
    ) if words]  # fmt: skip
    value, missing = design_value(row, label)
    lacking += missing
    if lacking or value is None:
        gathered.assumed.append(f"{label} is not rated: {' '.join(lacking)}")
        return
    wet, words = found_wet(findings=findings, product=row.product, is_wet=row.span.wet_service, where=label)
    gathered.assumed += words
    before, after = _ends(row, spans)
    gathered.caps.append(
        CapCase(
            label=label,
            material=value,
            width_in=row.width_in,
            depth_in=row.depth_in,
            pile_spacing_ft=row.spacing_ft,
            pile_bearing_in=row.bearing_length_in,
            pile_count=row.count,
            before=before,
            after=after,
            incised=row.incised or None,
            wet_service=wet,
            condition_rating=substructure,
            losses=_losses(row, structure, findings, policy),
        )
    )


def cap_label(row: MemberGroup) -> str:
    """A name of its own: 'Cap at the far end of span 1', with the row's label where it has one."""
    place = f"at the {row.at_end} end of span {row.span.index}" if row.at_end else f"of span {row.span.index}"
    return f"Cap {place}" + (f", {row.label}" if row.label else "")


def _ends(row: MemberGroup, spans: list[Span]) -> tuple[str, str]:
    """Labels of the spans before and after the cap; "" at an abutment."""
    indexes = [span.index for span in spans]
    own, other = row.span.index, row.span.index + (1 if row.at_end == "far" else -1)
    beside = str(other) if other in indexes else ""
    return (str(own), beside) if row.at_end == "far" else (beside, str(own))


def _losses(row: MemberGroup, structure: Structure, findings: list[Finding], policy: LossPolicy):
    """Places of findings on a cap are read as feet from its left end."""
    length = max(structure.deck_width_ft or 0.0, structure.roadway_width_ft or 0.0, (row.count - 1) * row.spacing_ft)
    sizes = {"width_in": row.width_in, "depth_in": row.depth_in, "span_ft": length}
    found: list[SectionLoss] = []
    for finding in findings:
        loss = section_loss(as_found(finding), **sizes, policy=policy)
        if loss is not None:
            found.append(loss)
    return worst_of(found)
