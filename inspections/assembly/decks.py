"""Transverse deck of a stringer span: its row, the stringers under it and what was found on it, as a deck case."""

from dataclasses import dataclass, field, replace

from inspections.models import Finding
from inspections.rules.loss_policy import LossPolicy
from inspections.rules.losses import section_loss, worst_of
from inspections.rules.stringer_row import widest_gap
from inspections.vocabulary.findings import FindingKind
from inventory.mechanics.rating import DeckCase, SectionLoss
from inventory.models import MemberGroup, Span
from inventory.vocabulary.structures import ON_STRINGERS, DeckKind, MemberRole

from .flanges import as_found
from .material import design_value
from .wet import found_wet

RATED_KINDS = (DeckKind.PLANK, DeckKind.NAIL_LAMINATED, DeckKind.GLULAM_PANEL)
NO_WIDTH_IN = 0.1
"""Width of a support taken where it is not on record: none to speak of, so the deck spans from centre to centre."""


@dataclass
class GatheredDeck:
    """The deck, None where it cannot be rated or there is none on record, and what was assumed or is lacking."""

    deck: DeckCase | None = None
    assumed: list[str] = field(default_factory=list)


def gather_deck(
    *, span: Span, groups: list[MemberGroup], findings: list[Finding], deck_ft: float, policy: LossPolicy
) -> GatheredDeck:
    """The deck case of a span; `groups` are all its member groups, `findings` those standing in it.

    Without a deck row there is none, and the rating says that the deck is not rated. What is lacking never keeps the
    stringers from being rated: it is told.
    """
    rows = [group for group in groups if group.role == MemberRole.DECK]
    if not rows or span.system not in ON_STRINGERS:
        return GatheredDeck()
    where = f"Span {span.index}, deck"
    row = min(rows, key=lambda group: group.depth_in)
    told = []
    if len(rows) > 1:
        told.append(f"{where}: more than one is on record; the thinnest, {row.depth_in:g} in, is rated for the whole.")
    stringers = [group for group in groups if group.role == MemberRole.STRINGER and group.spacing_ft]
    lacking = _lacking(span, stringers, deck_ft)
    value, missing = design_value(row, where)
    lacking += missing
    if lacking or value is None:
        return GatheredDeck(assumed=[*told, f"{where} is not rated: {' '.join(lacking)}"])
    width, words = _support_width(row, stringers, where)
    mine = [finding for finding in findings if finding.member_id == row.pk]
    wet, wet_words = found_wet(findings=mine, product=row.product, is_wet=span.wet_service, where=where)
    deck = DeckCase(
        kind=str(span.deck_kind),
        material=value,
        thickness_in=row.depth_in,
        width_in=row.width_in,
        support_spacing_ft=_support_spacing(stringers, findings),
        support_width_in=width,
        support="steel" if row.on_steel else "timber",
        continuous=row.runs_over_supports,
        interconnected=span.interconnected,
        incised=row.incised or None,
        wet_service=wet,
        losses=_losses(mine, row, span, deck_ft, policy),
    )
    return GatheredDeck(deck=deck, assumed=[*told, *words, *wet_words])


def _lacking(span: Span, stringers: list[MemberGroup], deck_ft: float) -> list[str]:
    told = []
    if span.deck_kind not in RATED_KINDS:
        told.append("its kind (planks, nail-laminated, glulam panels) is not on record or not among these.")
    if not stringers:
        told.append("the spacing of the stringers is not on record.")
    if not deck_ft:
        told.append("the deck width is not on record.")
    return told


def _support_width(row: MemberGroup, stringers: list[MemberGroup], where: str) -> tuple[float, list[str]]:
    if row.support_width_in:
        return row.support_width_in, []
    if not row.on_steel:
        return min(group.width_in for group in stringers), []
    return NO_WIDTH_IN, [
        f"{where}: the width of the steel flanges is not on record; the deck is taken from centre to centre."
    ]


def _support_spacing(stringers: list[MemberGroup], findings: list[Finding]) -> float:
    """The widest opening the deck spans, a broken stringer counting as none."""
    found = []
    for group in stringers:
        broken = frozenset(
            finding.member_number
            for finding in findings
            if finding.kind == FindingKind.BROKEN and finding.member_id == group.pk and finding.member_number
        )
        found.append(group.spacing_ft * widest_gap(broken, group.count))
    return max(found)


def _within(loss: SectionLoss, row: MemberGroup) -> SectionLoss:
    """The part of damage across several planks or laminations that is on one of them."""
    most = row.width_in if loss.kind == "split" or loss.face in ("left", "right") else row.depth_in
    return replace(
        loss,
        depth_in=min(loss.depth_in, most),
        width_in=min(loss.width_in, row.width_in),
        height_in=min(loss.height_in, row.depth_in),
    )


def _losses(
    findings: list[Finding], row: MemberGroup, span: Span, deck_ft: float, policy: LossPolicy
) -> tuple[SectionLoss, ...]:
    """Losses of the deck. The kernel counts the weakest place wherever it is; what lies apart must stay apart.

    Findings have their place along the span, the kernel has its own across the roadway: the one is drawn to the other.
    """
    scale = deck_ft / span.length_ft
    found = []
    for finding in findings:
        item = as_found(finding)
        sizes = {"width_in": row.width_in, "depth_in": row.depth_in, "span_ft": span.length_ft}
        loss = section_loss(item, **sizes, policy=policy)
        if loss is not None:
            found.append(replace(_within(loss, row), from_ft=loss.from_ft * scale, to_ft=loss.to_ft * scale))
    broken = [finding for finding in findings if finding.kind == FindingKind.BROKEN]
    if broken:
        count = len({(f.member_number or f"row {f.pk}") for f in broken})
        found.append(SectionLoss(kind="lamination_lost", from_ft=0.0, to_ft=deck_ft, count=count))
    return worst_of(found)
