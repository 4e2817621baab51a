"""Deck, superstructure and substructure: the lowest code that severity and extent of the findings call for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from inspections.vocabulary.findings import Component

from .seen import DECK, SUB, SUPER, Seen
from .table import BY_STATE, CODE_MEANS, CODES, EXTENTS, SEVERITIES, Extent, Severity, extent_of

PARTS = (DECK, SUPER, SUB)
SHOWN_FINDINGS = 6
PART_OF_ELEMENT: dict[int, tuple[str, ...]] = {
    **dict.fromkeys((31, 60), (DECK,)),
    **dict.fromkeys((54, 65), (DECK, SUPER)),
    **dict.fromkeys((106, 107, 111, 113, 117, 135, 146, 152, 156), (SUPER,)),
    **dict.fromkeys((202, 205, 206, 208, 210, 212, 215, 216, 217, 218, 220, 225, 227, 228, 231, 234, 235), (SUB,)),
}


@dataclass(frozen=True, kw_only=True)
class Earlier:
    """The last rating of a component before this inspection, and whether repair is on record since."""

    code: str
    on: date | None = None
    repaired_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class ElementShare:
    """An element's quantities as entered: shares of the total (0 to 1) in states 2, 3 and 4."""

    number: int
    words: str
    shares: tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """A code "9" to "0" or "" where nothing is proposed, always with its reasons in sentences."""

    component: str
    rating: str
    reasons: tuple[str, ...]

    def as_dict(self) -> dict:
        return {"rating": self.rating, "reasons": list(self.reasons)}


def propose_ratings(
    *,
    seen: Iterable[Seen],
    elements: Iterable[ElementShare] = (),
    member_counts: Mapping[str, int] | None = None,
    earlier: Mapping[str, Earlier] | None = None,
) -> dict[str, Proposal]:
    """A proposal for deck, superstructure and substructure, by component code.

    `member_counts`: how many members each component has on record (the share affected is of these).
    """
    seen, elements = list(seen), list(elements)
    counts, before = member_counts or {}, earlier or {}
    return {
        part: _propose(
            part,
            [each for each in seen if part in each.parts],
            [each for each in elements if part in PART_OF_ELEMENT.get(each.number, ())],
            counts.get(part, 0),
            before.get(part),
        )
        for part in PARTS
    }


def _propose(part: str, seen: list[Seen], elements: list[ElementShare], count: int, before: Earlier | None) -> Proposal:
    name = Component.label_of(part)
    if before is not None and before.code == "N":
        said = f"{name}: last rated N, not applicable{_on(before.on)}. Nothing is proposed."
        return Proposal(component=part, rating="", reasons=(said,))
    asked = [each for each in (*_by_findings(seen, count), *_by_elements(elements)) if each is not None]
    lowest = min((code for code, _ in asked), default=None)
    reasons = [reason for code, reason in asked if code == lowest]
    return _against_earlier(part, lowest, reasons, before)


def _by_findings(seen: list[Seen], count: int) -> list[tuple[int, str] | None]:
    """One code for each severity: all places at least so severe count together."""
    return [_at_least(severity, seen, count) for severity in SEVERITIES[1:]]


def _at_least(severity: Severity, seen: list[Seen], count: int) -> tuple[int, str] | None:
    rank = SEVERITIES.index(severity)
    found = [each for each in seen if SEVERITIES.index(each.severity) >= rank]
    if not found:
        return None
    places = {each.place for each in found}
    members = {each.place for each in found if each.place[0] == "member"}
    share = len(members) / count if count > 1 and members else None
    extent = extent_of(len(places), share if len(places) > 1 else None)
    extent = max([extent, *(each.least_extent for each in found)], key=EXTENTS.index)
    code = CODES[(severity, extent)]
    told = sorted({f"{each.words} ({each.why})" for each in found})
    more = f"; and {len(told) - SHOWN_FINDINGS} more" if len(told) > SHOWN_FINDINGS else ""
    spread = f"{len(places)} place{'' if len(places) == 1 else 's'}"
    spread += f", {len(members)} of {count} members" if share is not None else ""
    return code, f"{_sentence(severity, extent, spread)} {'; '.join(told[:SHOWN_FINDINGS])}{more}. {_means(code)}"


def _by_elements(elements: list[ElementShare]) -> list[tuple[int, str] | None]:
    """What was entered by condition state, by its share of the quantity."""
    asked = []
    for element in sorted(elements, key=lambda each: each.number):
        for state in (2, 3, 4):
            share = sum(element.shares[state - 2 :])
            if share <= 0:
                continue
            # A quantity has no places: its share alone says how far it is spread.
            extent = extent_of(1, None) if share <= 0.10 else extent_of(2, share)
            code = CODES[(BY_STATE[state], extent)]
            said = f"{share:.0%} of element {element.words} is in state {state}{'' if state == 4 else ' or worse'}"
            asked.append((code, f"{_sentence(BY_STATE[state], extent, said)} {_means(code)}"))
    return asked


def _sentence(severity: Severity, extent: Extent, spread: str) -> str:
    return f"{extent.label.capitalize()} {severity.label} defects ({spread})."


def _means(code: int) -> str:
    return f"Code {code}: {CODE_MEANS[code]}."


def _against_earlier(part: str, lowest: int | None, reasons: list[str], before: Earlier | None) -> Proposal:
    """The last rating bounds a proposal from above, unless something was repaired since."""
    name = Component.label_of(part)
    code = int(before.code) if before is not None and before.code.isdigit() else None
    if lowest is None and code is None:
        said = f"{name}: no finding with a size bears on it and no earlier rating is on record. Nothing is proposed."
        return Proposal(component=part, rating="", reasons=(said,))
    if code is None:
        return Proposal(component=part, rating=str(lowest), reasons=tuple(reasons))
    if before.repaired_on is not None:
        repaired = f"Repair is on record after the last rating of {code}, so that rating does not bound the proposal."
        if lowest is None:
            said = f"{name}: no finding bears on it. {repaired} Nothing is proposed: rate what stands now."
            return Proposal(component=part, rating="", reasons=(said,))
        return Proposal(component=part, rating=str(lowest), reasons=(*reasons, repaired))
    if lowest is None or lowest > code:
        said = f"The last rating was {code}{_on(before.on)}, and no repair is on record since: it is not raised."
        less = [f"The findings alone would allow {lowest}."] if lowest is not None else []
        nothing = [] if lowest is not None else ["No finding with a size speaks for a lower rating."]
        return Proposal(component=part, rating=str(code), reasons=(said, *less, *nothing))
    if lowest < code:
        reasons = [*reasons, f"The last rating was {code}{_on(before.on)}."]
    return Proposal(component=part, rating=str(lowest), reasons=tuple(reasons))


def _on(day: date | None) -> str:
    return f" on {day.day} {day:%b %Y}" if day is not None else ""
