"""One pass along the row: what each jack must show, rounded to its gauge, and what then stands in every bar.

Equal passes set every bar so that its target stands after lock-off (repeated, this is Gauss-Seidel on M: it always
converges). The one-pass optimum asks more of the first bars: with the take-ups a* that belong to the targets, pull j is
the force at which its nut has a*_j and the seating, while the later nuts still stand where they stood. Nothing is ever
lowered: a bar that already stands above what its pull would set is left.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from .interaction import RowState, SqueezedRow
from .limits import SLIP, Moment, most_set_lb, ram_lb_per_psi
from .terms import BarPull, JackKit, PlanInput, Pull

NOBODY = np.array([], dtype=int)
NO_FORCE = np.array([], dtype=float)
WORTH_RATIO = 1e-3
"""A pull is made where a bar gains at least this part of what stands in it; less is not worth a jack."""


@dataclass(frozen=True)
class PassRun:
    """A pass as computed: the state after it, its pulls and moments, bars it left alone and bars a limit held back."""

    state: RowState
    pulls: tuple[Pull, ...] = ()
    moments: tuple[Moment, ...] = ()
    left: frozenset[int] = frozenset()
    held_back: dict[int, str] = field(default_factory=dict)


class Planner:
    """The row of a plan: its bars, wood, limits and targets."""

    def __init__(self, given: PlanInput, row: SqueezedRow, seating_in: float) -> None:
        self.given, self.row, self.seating_in = given, row, seating_in
        self.target_lb = np.array([bar.target_lb if bar.is_planned else 0.0 for bar in given.bars])
        self._most = {jack.name: most_set_lb(given, jack) for jack in given.jacks}

    def most(self, bar_index: int, jack: JackKit) -> tuple[float, str]:
        """Most a jack may show on a bar, lb, and the name of the limit."""
        return self._most[jack.name][bar_index]

    def equal_pass(self, state: RowState, groups, part_ratio: float, *, pass_number: int, number: int) -> PassRun:
        """Every bar of ``groups`` set so that ``part_ratio`` of its target stands after its own lock-off."""

        def wanted(now: RowState, held: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
            locked_lb = part_ratio * self.target_lb[held]
            return self.row.set_for(now, held, locked_lb, self.seating_in), locked_lb

        return self._run(state, groups, wanted, pass_number, number)

    def best_pass(self, state: RowState, groups, *, pass_number: int, number: int) -> PassRun:
        """The pulls that leave every bar of ``groups`` at its target once the last is locked off.

        A bar that would have to be lowered for that is left where it stands, and the others are worked out again.
        """
        left: frozenset[int] = frozenset()
        while True:
            kept = tuple(tuple(bar for bar in group if bar not in left) for group in groups)
            aim_in = self._aim(state, np.array([bar for group in kept for bar in group], dtype=int))
            run = self._run(state, kept, self._towards(aim_in), pass_number, number)
            if not run.left:
                return replace(run, left=left)
            left |= run.left

    def _aim(self, state: RowState, bars: np.ndarray) -> np.ndarray:
        """Take-ups of all nuts when ``bars`` stand at their targets and the others' nuts were not touched."""
        final_lb = self.final_if(state, bars)
        return self.row.matrix @ final_lb

    def final_if(self, state: RowState, bars: np.ndarray) -> np.ndarray:
        """Force in every bar, lb, when ``bars`` stand at their targets."""
        return self.row.settled(
            take_up_in=state.take_up_in, engaged=state.engaged, held=bars, held_lb=self.target_lb[bars]
        )

    def _towards(self, aim_in: np.ndarray):
        """For bars pulled now: the forces to set, and those left after lock-off, with their nuts at ``aim_in``."""

        def wanted(now: RowState, held: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
            engaged, forces = now.engaged.copy(), []
            engaged[held] = True
            for seating_in in (self.seating_in, 0.0):
                take_up_in = now.take_up_in.copy()
                take_up_in[held] = aim_in[held] + seating_in
                settled = self.row.settled(take_up_in=take_up_in, engaged=engaged, held=NOBODY, held_lb=NO_FORCE)
                forces.append(settled[held])
            return tuple(forces)

        return wanted

    def _run(self, state: RowState, groups, wanted, pass_number: int, number: int) -> PassRun:
        pulls, moments, left, held_back = [], [], set(), {}
        for group in groups:
            settings = self._settings(state, group, wanted)
            left |= set(group) - {bar for bar, *_ in settings}
            if not settings:
                continue
            held_back |= {bar: name for bar, _, _, _, name in settings if name}
            pull, during, state = self._pull(state, settings, number + len(pulls), pass_number)
            pulls.append(pull)
            moments += during
        return PassRun(
            state=state, pulls=tuple(pulls), moments=tuple(moments), left=frozenset(left), held_back=held_back
        )

    def _settings(self, state: RowState, group: tuple[int, ...], wanted) -> list[tuple]:
        """(bar, jack, gauge psi, force lb, limit that held it back or "") for the bars of a group that must rise."""
        bars = group
        while bars:
            asked_lb, locked_lb = wanted(state, np.array(bars, dtype=int))
            settings = [
                (bar, jack, *self._rounded(bar, jack, float(force)))
                for bar, jack, force in zip(bars, self.given.jacks, asked_lb, strict=False)
            ]
            # A pull is worth making where more stands after its lock-off than before it.
            rising = tuple(
                bar
                for (bar, _, _, force, _), seated_lb in zip(settings, asked_lb - locked_lb, strict=True)
                if force - seated_lb > state.force_lb[bar] * (1.0 + WORTH_RATIO)
            )
            if rising == bars:
                return settings
            bars = rising
        return []

    def _rounded(self, bar: int, jack: JackKit, asked_lb: float) -> tuple[float, float, str]:
        """Gauge psi to its division (nearest; down where a limit would be passed), its force, the limit met or ""."""
        division_lb = jack.gauge_division_psi * ram_lb_per_psi(jack)
        most_lb, name = self.most(bar, jack)
        steps = np.floor(max(asked_lb, 0.0) / division_lb + 0.5)
        met = ""
        if steps * division_lb > most_lb * (1.0 + SLIP):
            steps = np.floor(most_lb * (1.0 + SLIP) / division_lb)
            met = name if asked_lb - steps * division_lb > division_lb else ""
        return float(steps * jack.gauge_division_psi), float(steps * division_lb), met

    def _pull(self, state: RowState, settings, number: int, pass_number: int) -> tuple[Pull, list[Moment], RowState]:
        held = np.array([bar for bar, *_ in settings], dtype=int)
        set_lb = np.array([force for _, _, _, force, _ in settings])
        at_set = self.row.pulled(state, held, set_lb)
        after = self.row.locked_off(at_set, held, self.seating_in)
        peak_lb = self.given.lift_off_ratio * set_lb
        at_peak = at_set.force_lb.copy()
        at_peak[held] = peak_lb
        stroke_in = (self.row.matrix @ (at_set.force_lb - state.force_lb))[held]
        bars = tuple(
            BarPull(
                bar_index=bar,
                jack=jack.name,
                set_lb=force,
                gauge_psi=gauge_psi,
                peak_lb=float(peak),
                locked_lb=float(after.force_lb[bar]),
                elongation_in=float(stroke),
                stress_psi=float(peak / self.given.bars[bar].net_area_in2),
            )
            for (bar, jack, gauge_psi, force, _), peak, stroke in zip(settings, peak_lb, stroke_in, strict=True)
        )
        pull = Pull(number=number, pass_number=pass_number, bars=bars, after_lb=_plain(after.force_lb))
        return pull, [Moment(number, at_peak), Moment(number, after.force_lb)], after


def _plain(force_lb: np.ndarray) -> tuple[float, ...]:
    return tuple(force_lb.tolist())
