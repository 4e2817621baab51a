"""What may be tried on a rated structure, and what is refused, each refusal at the field that causes it.

Plain values with units in the names, as a form or a file gives them. Ranges are our own (common practice, no source).
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass, fields
from math import isfinite

from inventory.mechanics.plain import Plain
from inventory.mechanics.rating import DESIGN_VALUES
from inventory.mechanics.rating.cases import DISTRIBUTIONS, FACES, LOSS_KINDS, SectionLoss, SpanCase
from inventory.mechanics.rating.policy import METHODS
from inventory.mechanics.vehicle import STANDARD_VEHICLES

from .refusals import Refused

RANGES = {
    "mill_in": (0.0, 36.0, "in"),
    "overlay_in": (0.0, 36.0, "in"),
    "overlay_pcf": (20.0, 250.0, "lb/ft3"),
    "pressure_psi": (0.0, 250.0, "psi"),
    "bar_force_lb": (0.0, 250000.0, "lb"),
    "member_width_in": (0.5, 240.0, "in"),
    "member_depth_in": (0.5, 120.0, "in"),
    "lanes_loaded": (1, 8, "lanes"),
}
ASPHALT_PCF = 140.0
CHOICES = {"damage_kind": LOSS_KINDS, "damage_face": FACES, "distribution": DISTRIBUTIONS, "posting_method": METHODS}
WOODS = {str(at): value for at, value in enumerate(DESIGN_VALUES)}
"""Published woods to put in a member's place, by a key for forms."""


class TrialRefused(Refused):
    """`problems` are (field, sentence) pairs; the field is "" where no one field is to blame."""

    def __init__(self, *problems: tuple[str, str]) -> None:
        self.problems = tuple(problems)
        super().__init__(*(sentence for _field, sentence in problems))


@dataclass(frozen=True, kw_only=True)
class Changes(Plain):
    """Changes to try together; what is left alone keeps its default.

    `span` "" means every span, else the label of one. Surfacing is milled from the top, then the overlay laid. Bars:
    `pressure_psi` or `bar_force_lb` in every bar of the span, and numbers of `bars_lost`. `member` is the label of a
    member of the span ("*" for every one with damage): `sound_again` takes its damage away, sizes and species, grade
    and size class put another in its place, `damage` adds to it. `vehicle` is a key of a vehicle, or its axles are
    typed, `spacings_ft` as (least, most) pairs; `vehicle_posts` True counts it in the posting like a legal one.
    """

    span: str = ""
    mill_in: float = 0.0
    overlay_in: float = 0.0
    overlay_pcf: float = ASPHALT_PCF
    pressure_psi: float | None = None
    bar_force_lb: float | None = None
    bars_lost: tuple[int, ...] = ()
    member: str = ""
    sound_again: bool = False
    member_width_in: float | None = None
    member_depth_in: float | None = None
    species: str = ""
    grade: str = ""
    size_class: str = ""
    damage: SectionLoss | None = None
    vehicle: str = ""
    axles_kip: tuple[float, ...] = ()
    spacings_ft: tuple[tuple[float, float], ...] = ()
    vehicle_posts: bool = False
    lanes_loaded: int | None = None
    distribution: str = ""
    posting_method: str = ""

    @property
    def touches_bars(self) -> bool:
        return self.pressure_psi is not None or self.bar_force_lb is not None or bool(self.bars_lost)

    @property
    def touches_member(self) -> bool:
        sizes = (self.member_width_in, self.member_depth_in)
        return self.sound_again or any(sizes) or bool(self.species) or self.damage is not None

    @property
    def is_nothing(self) -> bool:
        """True where nothing at all would change (a span, a member or a unit weight alone change nothing)."""
        idle = {"span", "member", "overlay_pcf", "vehicle_posts"}
        return all(getattr(self, f.name) == f.default for f in fields(self) if f.name not in idle)


def read_changes(text: str) -> Changes:
    """Changes from a JSON object with their names; ``TrialRefused`` says what cannot be read."""
    try:
        return Changes.from_dict(json.loads(text))
    except json.JSONDecodeError as broken:
        raise TrialRefused(("", f"This is not JSON: {broken.msg} at line {broken.lineno}.")) from broken
    except (ValueError, RecursionError) as wrong:
        raise TrialRefused(("", str(wrong))) from wrong


def standard_vehicles() -> list[tuple[str, str]]:
    """Keys and words of the published vehicles, the lightest first."""
    rows = sorted(STANDARD_VEHICLES.values(), key=lambda row: row.gross_tons)
    return [(row.id, f"{row.name}, {row.gross_tons:g} tons") for row in rows]


def damage_of(**values) -> SectionLoss:
    """Damage to try from its plain values (kind, from_ft, to_ft, face, sizes in inches, count)."""
    return SectionLoss(**values, measured_by="tried")


def wood_fields(key: str) -> dict[str, str]:
    """Species, grade and size class of a wood by its key; {} where none was chosen."""
    value = WOODS.get(key)
    return {} if value is None else {name: getattr(value, name) for name in ("species", "grade", "size_class")}


def change_faults(changes: Changes, cases: Sequence[SpanCase]) -> list[tuple[str, str]]:
    """Everything wrong with the changes as they are written, before anything is computed."""
    told = []
    if changes.is_nothing:
        told.append(("", "Nothing to try: change at least one thing."))
    for name, (low, high, unit) in RANGES.items():
        value = getattr(changes, name)
        if value is not None and not (isfinite(value) and low <= value <= high):
            told.append((name, f"{value:g} {unit} is outside {low:g} to {high:g} {unit}."))
    chosen = [case for case in cases if changes.span in ("", case.label)]
    if not chosen:
        labels = ", ".join(case.label for case in cases)
        told.append(("span", f"There is no span {changes.span}; the rating has span {labels}."))
    told += _bar_faults(changes, chosen) + _member_faults(changes, chosen)
    for name, known in (("distribution", DISTRIBUTIONS), ("posting_method", METHODS)):
        if getattr(changes, name) not in ("", *known):
            told.append((name, f"Choose one of {', '.join(known)}."))
    if changes.vehicle and changes.axles_kip:
        told.append(("vehicle", "Choose a vehicle or type axles, not both."))
    return told


def _bar_faults(changes: Changes, chosen: Sequence[SpanCase]) -> list[tuple[str, str]]:
    told = []
    at = next((n for n in ("pressure_psi", "bar_force_lb") if getattr(changes, n) is not None), "bars_lost")
    if changes.pressure_psi is not None and changes.bar_force_lb is not None:
        told.append(("bar_force_lb", "Give a pressure or a force in each bar, not both."))
    if changes.touches_bars and chosen and all(case.bars is None for case in chosen):
        told.append((at, "The span has no bars to tension or to lose."))
    return told


def _member_faults(changes: Changes, chosen: Sequence[SpanCase]) -> list[tuple[str, str]]:
    told = []
    labels = {member.label for case in chosen for member in case.members}
    if changes.touches_member and not changes.member:
        told.append(("member", "Choose the member that is replaced or damaged."))
    elif changes.member and changes.member != "*" and changes.member not in labels:
        told.append(("member", f"There is no member '{changes.member}' there; known are {', '.join(sorted(labels))}."))
    given = (changes.species, changes.grade, changes.size_class)
    if any(given) and not all(given):
        told.append(("species", "Another wood needs its species, grade and size class."))
    if changes.damage is None:
        return told
    loss = changes.damage
    if loss.kind not in LOSS_KINDS:
        told.append(("damage_kind", f"Damage '{loss.kind}' is not one of {', '.join(LOSS_KINDS)}."))
    spans_ft = [case.span_ft for case in chosen] or [0.0]
    if not (0.0 <= loss.from_ft < loss.to_ft <= min(spans_ft)):
        told.append(
            ("damage_from_ft", f"Damage lies between 0 and {min(spans_ft):g} ft, its beginning before its end.")
        )
    return told
