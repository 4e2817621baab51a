"""What a vehicle asks of the joints between laminations, spread through the deck and under the bare tire print.

M_T opens the joint (6 M_T/t2), V_T slides it (1.5 V_T/(mu t)); ``bars.needed_pressure_psi`` turns them into pressure.
Thin-plate shear beside a sharp patch hangs on how the wheel is spread: the values spread at 45 degrees through the
surfacing and to mid-depth are taken (``model``; agrees with practice, where the 40 psi floor governs ordinary decks),
the bare print is shown beside them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from .deck import Deck
from .fineness import DEFAULT, Fineness
from .loads import Axle
from .sweep import sweep_roadway


@dataclass(frozen=True, kw_only=True)
class JointDemand:
    """M_T lb-in per in and V_T lb per in, worst place across the roadway; the same for the bare tire print."""

    moment_lbin_per_in: float
    shear_lb_per_in: float
    print_moment_lbin_per_in: float
    print_shear_lb_per_in: float
    mark: str = "model"


def joint_demand(
    *,
    deck: Deck,
    axles: tuple[Axle, ...],
    near_curb_in: float,
    far_curb_in: float,
    thickness_in: float,
    surfacing_in: float = 0.0,
    lanes: int = 1,
    step_in: float = 12.0,
    fineness: Fineness = DEFAULT,
) -> JointDemand:
    """M_T and V_T, the largest of all places between the curbs; ``thickness_in`` of slab or flange.

    Taken at midspan, and at the heaviest axle where that stands elsewhere: the joints feel the wheel beside them.
    Raises ``OutsideValidity`` as ``sweep_roadway`` does.
    """
    middle = deck.span_in / 2.0
    heaviest = min(axles, key=lambda axle: (-axle.wheel_lb, abs(axle.x_in - middle)), default=None)
    stations = sorted({middle} if heaviest is None else {middle, heaviest.x_in})

    ask = partial(sweep_roadway, deck=deck, axles=axles, near_curb_in=near_curb_in, far_curb_in=far_curb_in)

    def worst(surface: float, depth: float) -> tuple[float, float]:
        spread = {"surfacing_in": surface, "thickness_in": depth, "lanes": lanes}
        sweeps = [ask(x_in=x, step_in=step_in, fineness=fineness, **spread) for x in stations]
        return max(s.joint_moment_lbin_per_in for s in sweeps), max(s.joint_shear_lb_per_in for s in sweeps)

    moment, shear = worst(surfacing_in, thickness_in)
    print_moment, print_shear = worst(0.0, 0.0)
    return JointDemand(
        moment_lbin_per_in=moment,
        shear_lb_per_in=shear,
        print_moment_lbin_per_in=print_moment,
        print_shear_lb_per_in=print_shear,
    )
