"""Channel and scour condition from soundings and findings, where anything can be said [model].

B.C.09 and B.C.11 of the SNBI have descriptions of their own; what bed change is minor, moderate or major is our choice
(`table.BED_LOWERED_FT`, `AREA_GROWN`). A bed below the underside of a footing or of the piles' tips is rated 2: a
critical finding follows (23 CFR 650.313(q) [checked-2nd]).
"""

from dataclasses import dataclass

from inspections.vocabulary.findings import Component

from .propose import Earlier, Proposal, _against_earlier
from .table import AREA_GROWN, BED_LOWERED_FT, CODES, NEAR_FOUNDATION_FT, SEVERITIES, Severity, extent_of

SCOUR = "scour"
STEPS_TO_CODE = (7, 6, 5)


@dataclass(frozen=True, kw_only=True)
class StreamFacts:
    """What is known of the stream: None is not known. Changes are between the first survey and this inspection's.

    `lowered_ft` is the deepest lowering of the bed at any station, `grown_ratio` the growth of the area over the first
    area, `over_foundation_ft` the bed's least height over the underside of footings or pile tips (below: minus).
    `scour_findings` are words and severity of each hole found.
    """

    over_water: bool | None = None
    lowered_ft: float | None = None
    grown_ratio: float | None = None
    over_foundation_ft: float | None = None
    scour_findings: tuple[tuple[str, Severity], ...] = ()
    surveys: int = 0


def propose_scour(facts: StreamFacts, before: Earlier | None = None) -> Proposal:
    """Scour condition, B.C.11."""
    if dry := _dry(facts, SCOUR, "Scour condition", before):
        return dry
    asked = []
    if facts.lowered_ft is not None and facts.lowered_ft > 0:
        said = f"The bed is {facts.lowered_ft:.1f} ft lower at its worst station than at the first survey."
        asked.append((_step(facts.lowered_ft, BED_LOWERED_FT), said))
    if facts.over_foundation_ft is not None:
        asked += _over_foundation(facts.over_foundation_ft)
    asked += _holes(facts.scour_findings)
    return _lowest(SCOUR, "scour", asked, before, facts)


def propose_channel(facts: StreamFacts, before: Earlier | None = None) -> Proposal:
    """Channel condition, B.C.09 (item 61 of the 1995 record)."""
    part = Component.CHANNEL.value
    if dry := _dry(facts, part, "Channel", before):
        return dry
    asked = []
    if facts.grown_ratio is not None and facts.grown_ratio > 0:
        said = f"The area of the channel is {facts.grown_ratio:.0%} larger than at the first survey."
        asked.append((_step(facts.grown_ratio, AREA_GROWN), said))
    if _holes(facts.scour_findings):
        asked.append((6, "Scour was found in the channel."))
    return _lowest(part, "channel", asked, before, facts)


def _holes(found: tuple[tuple[str, Severity], ...]) -> list[tuple[int, str]]:
    """Holes that were found, by the table of severity and extent that rates the foundation they are at."""
    asked = []
    for least in SEVERITIES[1:]:
        words = [each for each, severity in found if SEVERITIES.index(severity) >= SEVERITIES.index(least)]
        if words:
            asked.append((CODES[(least, extent_of(len(words), None))], f"Scour was found: {'; '.join(words)}."))
    return asked


def _step(value: float, limits: tuple[float, float, float]) -> int | None:
    """None below the first limit: nothing to rate."""
    reached = sum(value >= limit for limit in limits)
    return STEPS_TO_CODE[reached - 1] if reached else None


def _over_foundation(height_ft: float) -> list[tuple[int, str]]:
    if height_ft < 0:
        return [(2, f"The bed is {-height_ft:.1f} ft below the underside of the footing or the tips of the piles.")]
    if height_ft < NEAR_FOUNDATION_FT:
        return [(4, f"The bed is {height_ft:.1f} ft above the underside of the footing or the tips of the piles.")]
    return []


def _dry(facts: StreamFacts, part: str, name: str, before: Earlier | None) -> Proposal | None:
    if facts.over_water is False:
        return Proposal(component=part, rating="N", reasons=(f"{name}: the structure is not over water.",))
    if before is not None and before.code == "N":
        said = f"{name}: last rated N, not applicable. Nothing is proposed."
        return Proposal(component=part, rating="", reasons=(said,))
    return None


def _lowest(part: str, name: str, asked: list, before: Earlier | None, facts: StreamFacts) -> Proposal:
    given = [(code, said) for code, said in asked if code is not None]
    if not given and facts.surveys < 2 and (before is None or not before.code.isdigit()):
        said = f"Nothing can be said of the {name}: no scour was found, and the channel was not sounded twice."
        return Proposal(component=part, rating="", reasons=(said,))
    lowest = min((code for code, _ in given), default=None)
    reasons = sorted({said for code, said in given if code == lowest})
    made = _against_earlier(part, lowest, reasons, before)
    return made if made.rating else Proposal(component=part, rating="", reasons=_unsaid(name))


def _unsaid(name: str) -> tuple[str, ...]:
    return (f"Nothing measured speaks for a rating of the {name}. Nothing is proposed.",)
