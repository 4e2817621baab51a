"""Quality assurance: which inspections are done again, by whom, and what two of them disagree about.

Sampling, a reviewer who is not the author, and findings followed until they are closed are asked for by 23 CFR
650.313(p) [memory]. How large the sample is, how far two ratings may lie apart, and the limits below are policy
[model]: two careful people rating the same component often differ by one.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from math import ceil

from inspections.vocabulary.findings import Change, FindingKind

SEEDS = 2**31
QUANTITY_DIFFERS_PCT = 10.0
SAME_PLACE_FT = 2.0
"""What two inspections may differ by and still agree [model]; ratings by the county's policy."""
READINGS = frozenset({FindingKind.BAR_FORCE, FindingKind.MOISTURE, FindingKind.DRILLING, FindingKind.STRESS_WAVE})
"""Measurements taken where somebody chose to take one: elsewhere the next time, so none is missed by the other."""
DRAW_RULE = (
    "Each inspection is given the SHA-256 of the seed, a colon and its name (structure number, day as year-month-day, "
    "kind, with spaces between); those with the lowest are drawn. Whoever has the seed draws the same ones again, and "
    "nobody can choose them."
)
NO_STATE = "nothing"


@dataclass(frozen=True, kw_only=True)
class Element:
    """Quantities by condition state of one element, in its own unit."""

    name: str
    unit: str
    total: float
    states: tuple[float, float, float, float]


@dataclass(frozen=True, kw_only=True)
class Seen:
    """One finding with its place; `words` are kind and place as shown."""

    identity: str
    kind: str
    words: str
    place: tuple = ()
    station_ft: float | None = None
    carries_on: str = ""
    change: str = ""


@dataclass(frozen=True, kw_only=True)
class Visit:
    """One inspection as it is compared: rating codes by component label, elements by number, findings."""

    ratings: Mapping[str, str]
    elements: Mapping[int, Element]
    findings: Sequence[Seen]


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One thing two inspections disagree about; `counts` where it is larger than the policy lets pass."""

    what: str
    first: str
    second: str
    counts: bool


def sample_size(population: int, share_pct: float) -> int:
    """The share, rounded up, at least one; none of none."""
    return min(population, max(1, ceil(population * share_pct / 100.0 - 1e-9))) if population else 0


def drawn(names: Mapping[int, str], *, share_pct: float, seed: int) -> list[int]:
    """The row numbers of a sample by DRAW_RULE, in rising order; `names` gives each row's name for the draw."""
    ranked = sorted(names, key=lambda number: (sha256(f"{seed}:{names[number]}".encode()).hexdigest(), number))
    return sorted(ranked[: sample_size(len(ranked), share_pct)])


def period_fault(first: date | None, last: date | None, *, today: date) -> str:
    """Why no sample can be drawn from a period; "" where one can."""
    if first is None or last is None:
        return "Give the first and the last day of the period, as year-month-day."
    if last < first:
        return "The period ends before it begins: exchange the two days."
    if last > today:
        return "The period ends in the future: choose a day that has been."
    return ""


def repeat_refusal(*, by: Collection[int], authors: Collection[int]) -> str:
    """Done again by another: nobody who entered any part of the first may enter the second."""
    if set(by) & set(authors):
        return "The inspection is done again by another: somebody who entered part of the first may not enter this one."
    return ""


def compare(first: Visit, second: Visit, *, rating_differs: int) -> list[Difference]:
    """Every difference in ratings, element quantities and findings; `rating_differs`: how far ratings may lie apart."""
    return [
        *_ratings(first.ratings, second.ratings, rating_differs),
        *_elements(first.elements, second.elements),
        *_findings(first.findings, second.findings),
    ]


def _ratings(first: Mapping[str, str], second: Mapping[str, str], allowed: int) -> list[Difference]:
    found = []
    for name in dict.fromkeys([*first, *second]):
        one, other = first.get(name, ""), second.get(name, "")
        if one == other:
            continue
        both = one.isdigit() and other.isdigit()
        found.append(
            Difference(
                what=f"{name} rating", first=one or "not rated", second=other or "not rated",
                counts=not both or abs(int(one) - int(other)) > allowed,
            )
        )  # fmt: skip
    return found


def _elements(first: Mapping[int, Element], second: Mapping[int, Element]) -> list[Difference]:
    found = []
    for number in sorted({*first, *second}):
        one, other = first.get(number), second.get(number)
        if one is None or other is None:
            name = (one or other).name
            found.append(Difference(what=f"Element {name}", first=_quantity(one), second=_quantity(other), counts=True))
        elif (one.total, one.states, one.unit) != (other.total, other.states, other.unit):
            counts = one.unit != other.unit or _far_apart(one, other)
            found.append(
                Difference(what=f"Element {one.name}", first=_quantity(one), second=_quantity(other), counts=counts)
            )
    return found


def _far_apart(one: Element, other: Element) -> bool:
    """Totals, or the share in any condition state, more than ten percent apart."""
    most = max(one.total, other.total)
    if most <= 0:
        return False
    if abs(one.total - other.total) / most * 100.0 > QUANTITY_DIFFERS_PCT + 1e-9:
        return True
    shares = [
        tuple(part / each.total * 100.0 if each.total > 0 else 0.0 for part in each.states) for each in (one, other)
    ]
    return any(abs(a - b) > QUANTITY_DIFFERS_PCT + 1e-9 for a, b in zip(*shares, strict=True))


def _quantity(element: Element | None) -> str:
    if element is None:
        return "not entered"
    parts = " / ".join(f"{part:,.6g}" for part in element.states)
    return f"{element.total:,.6g} {element.unit}: {parts}"


def _findings(first: Sequence[Seen], second: Sequence[Seen]) -> list[Difference]:
    left = [seen for seen in first if _is_compared(seen)]
    right = [seen for seen in second if _is_compared(seen)]
    for is_same in (_carries_on, _is_at_place):
        left, right = _unmatched(left, right, is_same)
    return [Difference(what=_clip(seen.words), first="found", second=NO_STATE, counts=True) for seen in left] + [
        Difference(what=_clip(seen.words), first=NO_STATE, second="found", counts=True) for seen in right
    ]


def _unmatched(left: list[Seen], right: list[Seen], is_same) -> tuple[list[Seen], list[Seen]]:
    """What has no partner; each finding is matched once, the nearest station first."""
    pairs = sorted(
        (_apart_ft(one, other), i, j)
        for i, one in enumerate(left)
        for j, other in enumerate(right)
        if is_same(one, other)
    )
    gone_left: set[int] = set()
    gone_right: set[int] = set()
    for _gap, i, j in pairs:
        if i not in gone_left and j not in gone_right:
            gone_left.add(i)
            gone_right.add(j)
    return (
        [seen for i, seen in enumerate(left) if i not in gone_left],
        [seen for j, seen in enumerate(right) if j not in gone_right],
    )


def _is_compared(seen: Seen) -> bool:
    return seen.kind not in READINGS and seen.change != Change.GONE


def _carries_on(one: Seen, other: Seen) -> bool:
    """The second names the first as the one it follows."""
    return bool(other.carries_on) and other.carries_on == one.identity


def _is_at_place(one: Seen, other: Seen) -> bool:
    return one.kind == other.kind and one.place == other.place and _apart_ft(one, other) <= SAME_PLACE_FT


def _apart_ft(one: Seen, other: Seen) -> float:
    """Between stations; a finding of the whole member is at every station of it."""
    return 0.0 if one.station_ft is None or other.station_ft is None else abs(one.station_ft - other.station_ft)


def _clip(words: str, limit: int = 120) -> str:
    return words if len(words) <= limit else words[: limit - 4].rstrip() + " ..."
