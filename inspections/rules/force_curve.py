"""A kept curve of bar force read off: least factors of groups of vehicles, today's value, thresholds put together.

On plain values as kept with a rating (kernel, rating as a function of bar force, `model`). Between kept points a
factor runs straight; a jump is never bridged.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .posting import GENERAL_CLASSES

GROUPS = (
    ("general", "Governing legal vehicle", GENERAL_CLASSES),
    ("legal", "Legal trucks", ("legal",)),
    ("county", "County's own vehicles", ("county",)),
    ("shv", "Specialised hauling", ("shv",)),
    ("emergency", "Emergency vehicles", ("emergency",)),
    ("permit", "Permit vehicles", ("permit",)),
    ("design", "Design trucks", ("design",)),
)
NEAR_PSI = 1e-3


@dataclass(frozen=True, kw_only=True)
class GroupCurve:
    """The least posting factor of a group: one run of (psi, factor) for each piece between jumps."""

    key: str
    name: str
    runs: tuple[tuple[tuple[float, float], ...], ...]

    @property
    def highest(self) -> float:
        return max(factor for run in self.runs for _psi, factor in run)

    def at(self, psi: float) -> float:
        """The factor at a pressure; at a jump the one that holds from there up; beyond the ends that of the end."""
        run = next((run for run in reversed(self.runs) if run[0][0] <= psi), self.runs[0])
        for (low, first), (high, last) in zip(run, run[1:], strict=False):
            if low <= psi <= high and high > low:
                return first + (last - first) * (psi - low) / (high - low)
        return run[0][1] if psi < run[0][0] else run[-1][1]


@dataclass(frozen=True, kw_only=True)
class CurveStep:
    """Everything that changes at one pressure, in words; `force_lb` of one bar, None where bars are not on record."""

    number: int
    pressure_psi: float
    force_lb: float | None
    at_jump: bool
    words: tuple[str, ...]


def group_curves(curve: Mapping) -> list[GroupCurve]:
    """Least posting factor of each group that has vehicles, the governing legal vehicle first.

    A group that is the governing one all along stands once.
    """
    found: list[GroupCurve] = []
    for key, name, classes in GROUPS:
        vehicles = {row["vehicle"] for row in curve["vehicles"] if row["vehicle_class"] in classes}
        if not vehicles:
            continue
        group = GroupCurve(key=key, name=name, runs=tuple(_run(piece, vehicles) for piece in curve["pieces"]))
        if all(group.runs != other.runs for other in found):
            found.append(group)
    return found


def _run(piece: Mapping, vehicles: set[str]) -> tuple[tuple[float, float], ...]:
    lines = [ln["factors"] for ln in piece["lines"] if ln["series"] == "posting" and ln["vehicle"] in vehicles]
    return tuple(zip(piece["pressures_psi"], (min(row) for row in zip(*lines, strict=True)), strict=True))


def curve_steps(thresholds: Sequence[Mapping], curve: Mapping) -> list[CurveStep]:
    """Thresholds of one pressure put together, numbered from the lowest up; also what the curve itself marks there."""
    places: list[tuple[float, list[Mapping]]] = []
    for row in sorted(thresholds, key=lambda row: row["pressure_psi"]):
        if places and row["pressure_psi"] - places[-1][0] < NEAR_PSI:
            places[-1][1].append(row)
        else:
            places.append((row["pressure_psi"], [row]))
    names = {row["vehicle"]: row["name"] for row in curve["vehicles"]}
    return [
        CurveStep(
            number=number,
            pressure_psi=psi,
            force_lb=rows[0]["force_lb"],
            at_jump=any(row["at_jump"] for row in rows),
            words=tuple(_step_words(psi, rows, names, curve)),
        )
        for number, (psi, rows) in enumerate(places, start=1)
    ]


def _step_words(psi: float, rows: Sequence[Mapping], names: Mapping[str, str], curve: Mapping) -> list[str]:
    told = [mark["words"] for mark in curve["breaks"] if abs(mark["pressure_psi"] - psi) < NEAR_PSI]
    changed = [row["words"] for row in rows if row["kind"] not in ("factor 1", "factor 0.3")]
    told += dict.fromkeys(changed)
    for kind, words in (("factor 1", "A factor of 1 and more from here up"), ("factor 0.3", "Below 0.3 under this")):
        vehicles = [names.get(row["vehicle"], row["vehicle"]) for row in rows if row["kind"] == kind]
        if vehicles:
            told.append(f"{words}: {', '.join(vehicles)}.")
    return told
