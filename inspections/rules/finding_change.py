"""What became of a finding since it was seen before: new, as before, grown, less, or not seen again.

A finding follows another where it says so (`carries_on`), otherwise where kind, member and place agree within 1 ft
[model]. What the inspector said of the change goes before what the sizes say.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from inspections.vocabulary.findings import Change, FindingKind

NEAR_FT = 1.0
"""Two findings of one kind on one member so near are taken for the same where nothing names them [model]."""
SIZES = (
    "depth_in",
    "extent_ft",
    "width_in",
    "height_in",
    "value_in",
    "area_pct",
    "moisture_pct",
    "wave_time_us_per_ft",
)
DOWN_IS_WORSE = ("resistance_pct",)
LABELS = {
    "depth_in": ("depth", "in"),
    "extent_ft": ("length", "ft"),
    "width_in": ("width", "in"),
    "height_in": ("height", "in"),
    "value_in": ("size", "in"),
    "area_pct": ("share of the area", "%"),
    "moisture_pct": ("moisture", "%"),
    "wave_time_us_per_ft": ("stress-wave time", "us/ft"),
    "resistance_pct": ("drilling resistance", "%"),
}
NOT_FOLLOWED = frozenset({FindingKind.BAR_FORCE, FindingKind.SURFACE_THICKNESS})
"""Bar forces have their own history; a thickness is a reading of a layer."""
ROUNDING = 0.005


@dataclass(frozen=True, kw_only=True)
class Step:
    """A finding against the one it follows; `row` and `before` are the findings as given, None where there is none."""

    change: Change
    words: str
    row: Mapping | None
    before: Mapping | None


@dataclass(frozen=True, kw_only=True)
class Trail:
    """One finding through the inspections in which it was seen, oldest first."""

    rows: tuple[Mapping, ...]

    @property
    def days(self) -> tuple[date, ...]:
        return tuple(row["on"] for row in self.rows)


def changes_between(now: Iterable[Mapping], before: Iterable[Mapping], *, replaces: bool = True) -> list[Step]:
    """Every finding of `now` against those `before`; those not seen again last, where `now` replaces what was before.

    Findings are mappings of columns with `identity` and `carries_on`.
    """
    now = [row for row in now if row.get("kind") not in NOT_FOLLOWED]
    left = [row for row in before if row.get("kind") not in NOT_FOLLOWED]
    steps = []
    for row in sorted(now, key=lambda each: each.get("carries_on") is None):
        earlier = predecessor(row, left)
        if earlier is not None:
            left = [each for each in left if each is not earlier]
        steps.append(_step(row, earlier))
    gone = [Step(change=Change.GONE, words="not seen again", row=None, before=row) for row in left] if replaces else []
    return [*steps, *gone]


def predecessor(row: Mapping, before: Iterable[Mapping]) -> Mapping | None:
    """The earlier finding that this one follows: the one it names, otherwise the nearest at the same place."""
    before = list(before)
    named = row.get("carries_on")
    if named is not None:
        found = next((each for each in before if each.get("identity") == named), None)
        if found is not None:
            return found
    if row.get("change") == Change.NEW:
        return None
    near = [each for each in before if _same_place(row, each)]
    return min(
        near, key=lambda each: abs((each.get("station_ft") or 0.0) - (row.get("station_ft") or 0.0)), default=None
    )


def _same_place(one: Mapping, other: Mapping) -> bool:
    alike = ("kind", "span_index", "member", "member_number", "bar")
    if any((one.get(name) or None) != (other.get(name) or None) for name in alike):
        return False
    if one.get("face") and other.get("face") and one["face"] != other["face"]:
        return False
    stations = one.get("station_ft"), other.get("station_ft")
    if None in stations:
        return stations == (None, None)
    return abs(stations[0] - stations[1]) <= NEAR_FT


def _step(row: Mapping, before: Mapping | None) -> Step:
    said = row.get("change") or ""
    if said == Change.GONE:
        return Step(change=Change.GONE, words="repaired or gone", row=row, before=before)
    if before is None:
        return Step(change=Change.NEW, words="new" if not said else Change.label_of(said).lower(), row=row, before=None)
    change, words = compared(row, before)
    return Step(change=Change(said) if said and said != Change.NEW else change, words=words, row=row, before=before)


def compared(row: Mapping, before: Mapping) -> tuple[Change, str]:
    """Grown where any size is worse, less where one is smaller and none worse; with the sizes that differ in words."""
    worse, better, told = False, False, []
    for name in (*SIZES, *DOWN_IS_WORSE):
        one, other = row.get(name), before.get(name)
        if one is None or other is None or abs(one - other) <= ROUNDING:
            continue
        is_worse = abs(one) > abs(other) if name not in DOWN_IS_WORSE else one < other
        if name == "value_in" and row.get("kind") == FindingKind.CAMBER:
            is_worse = one < other
        worse, better = worse or is_worse, better or not is_worse
        label, unit = LABELS[name]
        told.append(f"{label} {other:g} to {one:g} {unit}")
    change = Change.GROWN if worse else Change.LESS if better else Change.SAME
    return change, ", ".join(told) or "the same sizes"


def trails(inspections: Iterable[tuple[date, Iterable[Mapping]]]) -> list[Trail]:
    """Findings followed through inspections (oldest first), the longest trail first; one seen once is none."""
    open_trails: list[list[Mapping]] = []
    for on, findings in inspections:
        ends = [trail[-1] for trail in open_trails]
        taken: list[Mapping] = []
        for row in sorted(findings, key=lambda each: each.get("carries_on") is None):
            if row.get("kind") in NOT_FOLLOWED:
                continue
            here = {**row, "on": on}
            earlier = predecessor(here, [each for each in ends if all(each is not other for other in taken)])
            if earlier is None:
                open_trails.append([here])
            else:
                taken.append(earlier)
                next(trail for trail in open_trails if trail[-1] is earlier).append(here)
    followed = [Trail(rows=tuple(rows)) for rows in open_trails if len(rows) > 1]
    return sorted(followed, key=lambda trail: (-len(trail.rows), trail.rows[0]["on"]))
