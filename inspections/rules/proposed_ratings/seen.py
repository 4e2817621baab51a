"""One finding judged for the rating of a component: which components it bears on, how severe it is, and why."""

from collections.abc import Mapping
from dataclasses import dataclass

from inspections.rules.condition import ROUNDING, ProposedState
from inspections.rules.finding_state import OnMember, Shares, place_words, shares_of, state_of
from inspections.vocabulary.findings import Component, FindingKind, ForceMethod
from inventory.vocabulary.structures import MemberRole

from .table import BY_STATE, SEVERITIES, STEPS, WET_FROM_PCT, Extent, Severity

DECK, SUPER, SUB = Component.DECK.value, Component.SUPERSTRUCTURE.value, Component.SUBSTRUCTURE.value
OF_ROLE: dict[str, tuple[str, ...]] = {
    MemberRole.STRINGER: (SUPER,),
    MemberRole.WEB: (SUPER,),
    MemberRole.BOTTOM_FLANGE: (SUPER,),
    MemberRole.STIFFENER: (SUPER,),
    # The upper flange of a T- or box beam is its deck; laminations and panels are deck and beams in one, and both are
    # coded from the same member (SNBI, slab bridges [memory]).
    MemberRole.FLANGE: (DECK, SUPER),
    MemberRole.LAMINATION: (DECK, SUPER),
    MemberRole.PANEL: (DECK, SUPER),
    MemberRole.DECK: (DECK,),
    MemberRole.CAP: (SUB,),
}
OF_KIND: dict[str, tuple[str, ...]] = {
    FindingKind.SETTLEMENT: (SUB,),
    FindingKind.SCOUR: (SUB,),
    FindingKind.SLIP: (DECK, SUPER),
    FindingKind.BAR_FORCE: (DECK, SUPER),
    FindingKind.BAR_DEFECT: (DECK, SUPER),
}
NOT_RATED = frozenset({FindingKind.SURFACE_CRACK, FindingKind.POTHOLE, FindingKind.SURFACE_THICKNESS, FindingKind.SIGN})
"""Surfacing is no part of a deck's rating; it has its own element. A sign is not the structure."""


@dataclass(frozen=True, kw_only=True)
class Seen:
    """A finding as the proposal counts it. Two findings on one member of a kind of member are one place."""

    parts: tuple[str, ...]
    place: tuple
    severity: Severity
    words: str
    why: str
    least_extent: Extent = Extent.ISOLATED
    state: ProposedState | None = None


def seen_of(finding: Mapping, member: OnMember | None, *, member_key: object = None) -> Seen:
    """Judge one finding (columns by name). `member_key` tells its member group from others."""
    kind = finding.get("kind") or ""
    state = state_of(finding, member)
    severity, why = _severity(finding, shares_of(finding, member), state)
    step = STEPS.get(kind)
    number = finding.get("member_number")
    own = (
        ("bar", finding["bar"]) if finding.get("bar") else (kind, finding.get("span_index"), finding.get("station_ft"))
    )
    return Seen(
        parts=parts_of(kind, member.role if member else None),
        place=("member", member_key, number) if member_key is not None and number else ("place", member_key, *own),
        severity=severity,
        words=place_words(finding, member),
        why=why,
        least_extent=step.least_extent if step else Extent.ISOLATED,
        state=state,
    )


def parts_of(kind: str, role: str | None) -> tuple[str, ...]:
    """The components that a kind of finding on a kind of member bears on; of wood with no member named, the beams."""
    if kind in NOT_RATED:
        return ()
    return OF_KIND.get(kind) or OF_ROLE.get(role or "", (SUPER,))


def _severity(finding: Mapping, shares: Shares, state: ProposedState | None) -> tuple[Severity, str]:
    """The worst of what the size says, what its condition state says and what the inspector said."""
    kind = finding.get("kind") or ""
    found = [(Severity.NONE, "nothing measured speaks against it")]
    if state is not None:
        found.append((BY_STATE[state.state], f"{_uncapitalised(state.reason)}, which is state {state.state}"))
    own = finding.get("condition_state")
    if own in BY_STATE:
        found.append((BY_STATE[own], f"the inspector gave condition state {own}"))
    step = STEPS.get(kind)
    if step is not None and _counts(finding):
        found.append((step.at_least, step.words))
        found.append(_by_size(finding, shares, step))
    return max(found, key=lambda pair: SEVERITIES.index(pair[0]))


def _counts(finding: Mapping) -> bool:
    kind = finding["kind"]
    if kind == FindingKind.BAR_FORCE:
        return finding.get("force_method") == ForceMethod.HAND_LOOSE
    return True


def _by_size(finding: Mapping, shares: Shares, step) -> tuple[Severity, str]:
    if step.measure == "state":
        return Severity.NONE, ""
    if step.measure == "moisture_pct":
        wet = (finding.get("moisture_pct") or 0.0) >= WET_FROM_PCT
        return (Severity.MINOR, f"moisture of {finding['moisture_pct']:g} %") if wet else (Severity.NONE, "")
    size = _size(finding, shares, step.measure)
    if size is None:
        return _unmeasured(finding, step)
    if size <= 0:
        return Severity.NONE, ""
    shown = f"{size:.0%}" if "share" in step.words else f"{size:.3g}"
    why = f"{step.words.split(';')[0]}: {shown}"
    size += ROUNDING
    if step.major_from is not None and size >= step.major_from:
        return Severity.MAJOR, why
    if step.moderate_from is not None and size >= step.moderate_from:
        return Severity.MODERATE, why
    if step.measure == "depth_ratio":
        return Severity.NONE, ""  # the condition state speaks: under 5 % is state 1
    return Severity.MINOR, why


def _size(finding: Mapping, shares: Shares, measure: str) -> float | None:
    if measure in ("loss_ratio", "depth_ratio", "length_ratio"):
        return getattr(shares, measure)
    value = finding.get("value_in" if measure == "down_in" else measure)
    if value is None:
        return None
    return max(0.0, -value) if measure == "down_in" else abs(value)


def _unmeasured(finding: Mapping, step) -> tuple[Severity, str]:
    """A size that is not known counts as moderate; a slow wave without a size has its own state."""
    if finding["kind"] == FindingKind.STRESS_WAVE and finding.get("wave_time_us_per_ft") is not None:
        return Severity.NONE, ""
    return Severity.MODERATE, f"{step.words.split(';')[0]} is not known and counts as moderate until it is measured"


def _uncapitalised(sentence: str) -> str:
    plain = sentence.rstrip(".")
    return plain[:1].lower() + plain[1:]
