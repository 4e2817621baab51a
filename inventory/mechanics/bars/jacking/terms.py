"""What a stressing day is planned from, and what a plan says: frozen values that go to JSON and back.

One row of bars (one span, one level) at a time. Bars in the order of their stations; every tuple "per bar" is in that
order. Forces in lb, lengths in in, pressures in psi. Model of the interaction: `flexibility` and `interaction`.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.plain import Plain

ORDERS = ("midspan_outward", "end_to_end", "every_second", "given")
METHODS = ("one_pass", "equal_passes")
SEATING_IN = 0.02
"""Shortening of the stretched bar when the nut takes the load at lock-off (`model`, no source: measure it)."""
LIFT_OFF_RATIO = 1.05
"""The jack's peak over the force it is to leave, lift-off included, for the limits of the bar (`model`)."""
REACH_RATIO = 0.95
"""A pass is the last when the least bar has this part of its target (`stress-lamination`, repeated passes, `model`)."""


@dataclass(frozen=True, kw_only=True)
class Squeezed(Plain):
    """The wood a row of bars squeezes, and the bars' own stretch.

    ``deck_width_in`` is between bulkheads. ``neighbour_losses_ratio`` are measured losses of the first, second and
    third neighbour for each lb a bar gains, all others locked; where given they stand instead of the wood model.
    ``wood_factor`` multiplies the wood's flexibility and ``reach_factor`` the distance over which a pull is felt: both
    1 until the first pass has been measured.
    """

    deck_length_in: float
    deck_width_in: float
    thickness_in: float
    e_transverse_psi: float
    shear_modulus_psi: float
    bearing_length_in: float
    bar_length_in: float
    bar_modulus_psi: float = 29.0e6
    neighbour_losses_ratio: tuple[float, ...] = ()
    wood_factor: float = 1.0
    reach_factor: float = 1.0


@dataclass(frozen=True, kw_only=True)
class PlannedBar(Plain):
    """A bar. ``standing_lb`` 0: not engaged. Not ``is_planned``: left as it stands, for the reason in ``why_not``."""

    name: str
    station_in: float
    net_area_in2: float
    tensile_psi: float
    standing_lb: float
    target_lb: float
    is_planned: bool = True
    why_not: str = ""


@dataclass(frozen=True, kw_only=True)
class JackKit(Plain):
    """Jack and gauge: p = F / (ram area x efficiency), rounded to the gauge's division. None: no limit on record."""

    name: str
    ram_area_in2: float
    efficiency: float
    gauge_division_psi: float
    capacity_lb: float | None = None
    gauge_most_psi: float | None = None
    calibration_words: str = ""


@dataclass(frozen=True, kw_only=True)
class PlanInput(Plain):
    """Everything a plan depends on. ``given_order`` (bar indexes) only with order "given"; ``pass_count`` None: as many
    as it takes. ``plate_limit_lb``: greatest force the bearing under a plate allows; ``flange_limit_psi``: greatest
    pressure in the deck or flange. None: not known, told among the sentences and not checked."""

    deck: Squeezed
    bars: tuple[PlannedBar, ...]
    jacks: tuple[JackKit, ...]
    order: str = "midspan_outward"
    given_order: tuple[int, ...] = ()
    method: str = "one_pass"
    pass_count: int | None = None
    first_pass_ratio: float = 1.0
    seating_in: float = SEATING_IN
    lift_off_ratio: float = LIFT_OFF_RATIO
    reach_ratio: float = REACH_RATIO
    plate_limit_lb: float | None = None
    flange_limit_psi: float | None = None
    needed_psi: float | None = None


@dataclass(frozen=True, kw_only=True)
class BarPull(Plain):
    """One bar of one pull: the force shown by its jack, what locks off, and what the gauge must read."""

    bar_index: int
    jack: str
    set_lb: float
    gauge_psi: float
    peak_lb: float
    locked_lb: float
    elongation_in: float
    stress_psi: float


@dataclass(frozen=True, kw_only=True)
class Pull(Plain):
    """One movement of one or several jacks together, and the force in every bar once they are taken off."""

    number: int
    pass_number: int
    bars: tuple[BarPull, ...]
    after_lb: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class PlanCheck(Plain):
    """The worst moment of one limit over the whole sequence; ``holds`` None where the limit is not known."""

    name: str
    demand: float | None
    limit: float | None
    unit: str
    pull_number: int | None
    bar: str
    holds: bool | None
    words: str


@dataclass(frozen=True, kw_only=True)
class StressingPlan(Plain):
    """Pulls in order, the forces before and after, the limits, and why it may not be used where ``refusals`` say so."""

    given: PlanInput
    pulls: tuple[Pull, ...]
    start_lb: tuple[float, ...]
    final_lb: tuple[float, ...]
    least_ratio: float
    pass_count: int
    greatest_set_lb: float
    checks: tuple[PlanCheck, ...]
    refusals: tuple[str, ...]
    sentences: tuple[str, ...]
    mark: str = "model"

    @property
    def is_usable(self) -> bool:
        return not self.refusals


@dataclass(frozen=True, kw_only=True)
class BarRead(Plain):
    """A bar read again beside a pull: force before and after it, lb."""

    bar_index: int
    before_lb: float
    after_lb: float


@dataclass(frozen=True, kw_only=True)
class PullDone(Plain):
    """What was seen at one bar of a pull: gauge at the set force, force left after lock-off where it was read (lift-off
    or load cell), elongation by tape, neighbours read before and after."""

    pull_number: int
    bar_index: int
    before_lb: float
    gauge_psi: float
    locked_lb: float | None = None
    elongation_in: float | None = None
    neighbours: tuple[BarRead, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Relearned(Plain):
    """The interaction estimated again from what was read: the squeezed wood to plan with, and how well it fits."""

    deck: Squeezed
    seating_in: float
    readings_used: int
    misfit_before_pct: float
    misfit_after_pct: float
    sentences: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Revision(Plain):
    """The rest of a plan made again from what stands: ``needs_release`` where a pull rises above the released most."""

    relearned: Relearned
    plan: StressingPlan
    needs_release: bool
    sentences: tuple[str, ...]
