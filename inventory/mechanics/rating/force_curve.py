"""Rating as a function of bar force: every factor of a structure against the least local pressure in one span.

The curve is made of pieces on which every factor runs without a jump. Between them stand the pressures where the way
the span works changes: closing (20 psi), the need, the floor (40 psi), and for T and box webs the pressure at which
friction carries a vehicle's whole shear. Values left and right of each are kept, so nothing is smoothed over. All of
it is ``model``: it repeats the rating itself at other pressures. Force per bar F = N s t (EM 7700-8 chapter 9, memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.plain import Plain
from inventory.mechanics.vehicle import Vehicle

from .cases import CapCase, SpanCase
from .curve_jumps import SHOWN_JUMP, changes_between, jump_words, jumps_of, sides_of
from .policy import RatingPolicy
from .pressure_ratings import PressureRatings, factor_rows
from .results import NotRated

SOURCE = "rating as a function of bar force"
TOP_PSI = 100.0
"""The curve reaches at least the usual first pressure of 2.5 x 40 psi."""
USUAL_PSI = 150.0
"""A break above this does not lengthen the curve: no deck is stressed so high."""
MARGIN = 1.1
MOST_PSI = 250.0
STRAIGHT = 1e-4
"""A stored point is left out where a straight line gives its factors as nearly as this."""
STEP_PSI = 10.0


@dataclass(frozen=True, kw_only=True)
class FactorLine(Plain):
    """One vehicle's factors along a piece: ``series`` is posting, inventory, operating or a level of LRFR."""

    vehicle: str
    series: str
    factors: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class CurvePiece(Plain):
    """Pressures (psi, rising) from one jump to the next, ends included, and the factors there."""

    pressures_psi: tuple[float, ...]
    lines: tuple[FactorLine, ...]


@dataclass(frozen=True, kw_only=True)
class CurveBreak(Plain):
    """A pressure at which the way of working changes: ``jumps`` says whether any factor jumps there."""

    pressure_psi: float
    words: str
    jumps: bool


@dataclass(frozen=True, kw_only=True)
class CurveVehicle(Plain):
    """A vehicle of the curve, with the level of LRFR it is rated for at the top of the curve ("" under ASR alone)."""

    vehicle: str
    name: str
    vehicle_class: str
    gross_tons: float


@dataclass(frozen=True, kw_only=True)
class ForceCurve(Plain):
    """Factors of the whole structure against the pressure in span ``span``; the other spans stay as they are.

    ``force_per_psi_lb`` = s t turns a pressure into the mean force of a bar; None where bars are not on record.
    ``today_psi`` None: not known, counted as 0. ``needed_psi`` the pressure that just meets the need, None where none
    does; ``need_words`` say where it comes from.
    """

    span: str
    today_psi: float | None
    needed_psi: float | None
    need_words: str
    force_per_psi_lb: float | None
    vehicles: tuple[CurveVehicle, ...]
    pieces: tuple[CurvePiece, ...]
    breaks: tuple[CurveBreak, ...]
    posting_method: str = "ASR"
    mark: str = "model"

    def force_lb(self, pressure_psi: float) -> float | None:
        """Mean force of a bar at a pressure, lb; None where bars are not on record."""
        return None if self.force_per_psi_lb is None else pressure_psi * self.force_per_psi_lb

    def falls(self, least: float = 1e-7) -> tuple[tuple[str, str, float, float], ...]:
        """(vehicle, series, psi, drop) wherever more pressure lowers a factor by more than ``least``."""
        found = []
        keys = [(line.vehicle, line.series) for line in self.pieces[0].lines]
        for at, (vehicle, series) in enumerate(keys):
            points = [
                (psi, factor)
                for piece in self.pieces
                for psi, factor in zip(piece.pressures_psi, piece.lines[at].factors, strict=True)
            ]
            for (_before, high), (psi, low) in zip(points, points[1:], strict=False):
                if low < high - least:
                    found.append((vehicle, series, psi, high - low))
        return tuple(found)


def force_curve(
    *,
    cases: tuple[SpanCase, ...],
    vehicles: tuple[str | Vehicle, ...],
    policy: RatingPolicy,
    span_label: str,
    caps: tuple[CapCase, ...] = (),
    pressures_psi: tuple[float, ...] | None = None,
) -> ForceCurve | NotRated:
    """The curve of one stressed span; ``NotRated`` where the structure cannot be rated at some pressure.

    ``pressures_psi`` names where to compute besides the breaks; None takes steps of 10 psi from 0 to the first pressure
    (100 psi), or a tenth above today's, the need or the last break up to 150 psi, whichever is most.
    ``OutsideValidity`` for a span without bars or a pressure outside 0 to 250 psi.
    """
    rated = PressureRatings(cases=cases, vehicles=vehicles, policy=policy, caps=caps, span_label=span_label)
    return traced_curve(rated, pressures_psi)


def traced_curve(rated: PressureRatings, pressures_psi: tuple[float, ...] | None = None) -> ForceCurve | NotRated:
    """The curve from ratings that may already hold some of its points."""
    standing = rated.as_it_stands
    if isinstance(standing, NotRated):
        return standing
    known = _known_breaks(rated)
    grid = _grid(rated, known, pressures_psi)
    known = {psi: words for psi, words in known.items() if grid[0] < psi < grid[-1]}
    jumps = jumps_of(rated, grid, known)
    if rated.refused is not None:
        return rated.refused
    edges = sorted(psi for psi, is_jump in jumps.items() if is_jump)
    near = [side for edge in edges for side in sides_of(edge)]
    inside = (psi for psi in rated.pressures_kept() if grid[0] <= psi <= grid[-1] and psi not in near)
    bars = rated.case.bars
    return ForceCurve(
        span=rated.case.label,
        today_psi=bars.least_local_pressure_psi,
        needed_psi=rated.meets_need_psi,
        need_words=rated.need_words,
        force_per_psi_lb=bars.hardware and bars.hardware.spacing_in * bars.hardware.thickness_in,
        vehicles=tuple(
            CurveVehicle(vehicle=v.vehicle, name=v.name, vehicle_class=v.vehicle_class, gross_tons=v.gross_tons)
            for v in standing.governing
        ),
        pieces=_pieces(rated, sorted({*grid, *jumps, *inside}), edges),
        breaks=tuple(
            CurveBreak(pressure_psi=psi, words=known.get(psi) or jump_words(rated, psi), jumps=is_jump)
            for psi, is_jump in sorted(jumps.items())
        ),
        posting_method=rated.policy.posting_method,
    )


def _known_breaks(rated: PressureRatings) -> dict[float, str]:
    """Pressures where the policy, the need or friction changes the way of working, with words."""
    policy, need = rated.policy, rated.meets_need_psi
    found = {
        policy.closing_pressure_psi: "Below this pressure closing is recommended until re-tensioned.",
        policy.pressure_floor_psi: "Floor in service: below it re-tension is due.",
    }
    counted = "from here up the laminations are counted as pressed together."
    if need is not None:
        is_floor = abs(need - policy.pressure_floor_psi) < 1e-9
        found[need] = f"{'Floor in service, taken as the need' if is_floor else 'Pressure needed'}: {counted}"
    slips: dict[float, list[str]] = {}
    for psi, vehicle, member in rated.slip_pressures():
        if psi > max(USUAL_PSI, _standing_psi(rated), need or 0.0) * MARGIN:
            continue
        sides = [rated.at(side, vehicle) for side in sides_of(psi)]
        if max(changes_between(*sides).values()) > SHOWN_JUMP:
            slips.setdefault(psi, []).append(f"{vehicle} on {member}")
    for psi, names in slips.items():
        found.setdefault(psi, f"Web and flange: from here up friction carries the whole shear of {', '.join(names)}.")
    return found


def _grid(rated: PressureRatings, known: dict[float, str], given: tuple[float, ...] | None) -> list[float]:
    if given is not None:
        for psi in given:
            require_range(name="pressure of the curve", value=psi, least=0, most=MOST_PSI, unit="psi", source=SOURCE)
        if len(set(given)) < 2:
            raise OutsideValidity(name="pressures of the curve", value=len(given), valid="two or more", source=SOURCE)
        return sorted(set(given))
    within = [psi for psi in known if psi <= USUAL_PSI or psi == rated.meets_need_psi]
    top = min(MOST_PSI, max(TOP_PSI, MARGIN * max(_standing_psi(rated), *within)))
    steps = int(top // STEP_PSI)
    return sorted({*(STEP_PSI * step for step in range(steps + 1)), top})


def _standing_psi(rated: PressureRatings) -> float:
    return rated.case.bars.least_local_pressure_psi or 0.0


def _pieces(rated: PressureRatings, grid: list[float], edges: list[float]) -> tuple[CurvePiece, ...]:
    """Cut the grid at the jumps; a piece begins right of one and ends left of the next."""
    pieces = []
    bounds = [grid[0], *edges, grid[-1]]
    for start, end in zip(bounds, bounds[1:], strict=False):
        first = sides_of(start)[1] if start in edges else start
        last = sides_of(end)[0] if end in edges else end
        at = [first, *(psi for psi in grid if start < psi < end), last]
        rows = [factor_rows(rated.at(psi)) for psi in at]
        shown = (start, *at[1:-1], end)
        keep = _needed_points(at, rows)
        pieces.append(
            CurvePiece(
                pressures_psi=tuple(shown[i] for i in keep),
                lines=tuple(
                    FactorLine(vehicle=key[0], series=key[1], factors=tuple(rows[i][key] for i in keep))
                    for key in rows[0]
                ),
            )
        )
    return tuple(pieces)


def _needed_points(at: list[float], rows: list[dict]) -> list[int]:
    """Leave out the points that a straight line between their neighbours gives within ``STRAIGHT`` for every factor."""
    keep, start = [0], 0
    for end in range(2, len(rows)):
        for middle in range(start + 1, end):
            part = (at[middle] - at[start]) / (at[end] - at[start])
            low, high, here = rows[start], rows[end], rows[middle]
            if any(abs(low[key] + part * (high[key] - low[key]) - here[key]) > STRAIGHT for key in here):
                start = end - 1
                keep.append(start)
                break
    return [*keep, len(rows) - 1]
