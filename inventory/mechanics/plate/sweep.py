"""A vehicle moved across the roadway: where it asks most of the deck, of one web, and of the joints.

The same axles stand in 1 to 6 lanes side by side as close as the rules allow, the first wheel line moves from 24 in
off the near curb to where the last is 24 in off the far curb (AASHTO Standard Specifications 3.7, memory). A step of
12 in finds the greatest within 1 % (tested); both ends are always taken. Lanes drawn apart are not tried (``model``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from inventory.mechanics.errors import OutsideValidity, require_range

from .deck import Deck, DeckResponse, SectionPeaks, deck_mesh
from .fineness import DEFAULT, Fineness
from .harmonics import stretches
from .loads import TIRE_LENGTH_IN, TIRE_WIDTH_IN, Axle, first_wheel_range_in, lane_patches

SOURCE = "vehicle moved across the roadway"


@dataclass(frozen=True, kw_only=True)
class Placement:
    """One place of the vehicle: peaks over the width, moments of the webs (lb-in), moment of one lane (lb-in).

    ``web_shares``: moment of each web or strip over the beam moment of ONE lane, however many are loaded.
    ``peak_share_per_ft``: largest M_x times 12 over the same, lanes per foot of width.
    """

    first_wheel_in: float
    peaks: SectionPeaks
    web_moments_lbin: tuple[float, ...]
    lane_moment_lbin: float

    @property
    def web_shares(self) -> tuple[float, ...]:
        return tuple(moment / self.lane_moment_lbin for moment in self.web_moments_lbin)

    @property
    def peak_share_per_ft(self) -> float:
        return 12.0 * self.peaks.moment_along.value / self.lane_moment_lbin


@dataclass(frozen=True, kw_only=True)
class Sweep:
    """Every place tried, and the worst of them for each question."""

    placements: tuple[Placement, ...]

    @property
    def worst_moment(self) -> Placement:
        """The place of the largest M_x."""
        return self._first_worst(lambda place: place.peaks.moment_along.value)

    @property
    def worst_deflection(self) -> Placement:
        return self._first_worst(lambda place: place.peaks.deflection.value)

    @property
    def worst_web(self) -> Placement:
        """The place of the largest moment in any web; only where webs or strips were asked for."""
        return self._first_worst(lambda place: max(place.web_moments_lbin))

    @property
    def joint_moment_lbin_per_in(self) -> float:
        """M_T: largest |M_y| of all places, lb-in per in."""
        return max(place.peaks.joint_moment_lbin_per_in for place in self.placements)

    @property
    def joint_shear_lb_per_in(self) -> float:
        """V_T: largest |Q_y| of all places, lb per in."""
        return max(place.peaks.joint_shear_lb_per_in for place in self.placements)

    def _first_worst(self, value: Callable[[Placement], float]) -> Placement:
        """The first place within rounding of the greatest, so that mirror places do not take turns."""
        greatest = max(map(value, self.placements))
        return next(place for place in self.placements if value(place) >= greatest - 1e-9 * abs(greatest))


def sweep_roadway(
    *,
    deck: Deck,
    axles: tuple[Axle, ...],
    near_curb_in: float,
    far_curb_in: float,
    lanes: int = 1,
    surfacing_in: float = 0.0,
    thickness_in: float = 0.0,
    tire: tuple[float, float] = (TIRE_LENGTH_IN, TIRE_WIDTH_IN),
    web_edges_in: tuple[float, ...] = (),
    x_in: float | None = None,
    step_in: float = 12.0,
    fineness: Fineness = DEFAULT,
) -> Sweep:
    """Peaks at station ``x_in`` (midspan unless given) for every place of the axles between the curbs.

    ``surfacing_in`` and ``thickness_in`` spread the wheels at 45 degrees (both nought: tire print).
    ``web_edges_in``: lines between the strips whose moments are wanted, at least two. Curbs measured from y = 0.
    No impact, no multiple presence factor. Raises ``OutsideValidity`` for curbs off the deck, a roadway too narrow,
    a step below 1 or above 48 in.
    """
    require_range(name="step", value=step_in, least=1, most=48, unit="in", source=SOURCE)
    require_range(name="far curb", value=far_curb_in, above=0, most=deck.width_in, unit="in", source=SOURCE)
    low, high = first_wheel_range_in(near_curb_in=near_curb_in, far_curb_in=far_curb_in, lanes=lanes)
    station = deck.span_in / 2.0 if x_in is None else x_in
    placed = []
    for first in np.linspace(low, high, max(1, int(np.ceil((high - low) / step_in - 1e-9)) + 1)):
        patches = lane_patches(
            axles=axles,
            first_wheel_in=float(first),
            lanes=lanes,
            tire=tire,
            surfacing_in=surfacing_in,
            thickness_in=thickness_in,
        )
        placed.append((float(first), stretches(patches=patches, span_in=deck.span_in, width_in=deck.width_in)))
    everywhere = tuple(part for _first, parts in placed for part in parts)
    mesh = deck_mesh(deck=deck, parts=everywhere, fineness=fineness)
    answers = ((first, DeckResponse(deck=deck, parts=parts, fineness=fineness, mesh=mesh)) for first, parts in placed)
    return Sweep(placements=tuple(_placement(each, first, station, web_edges_in, lanes) for first, each in answers))


def _placement(
    response: DeckResponse, first: float, station: float, web_edges: tuple[float, ...], lanes: int
) -> Placement:
    lane = response.beam_moment_lbin(x_in=station) / lanes
    if not lane > 0:
        raise OutsideValidity(name="station", value=station, valid="between the bearings", unit="in", source=SOURCE)
    webs = response.strip_moments_lbin(x_in=station, edges_in=web_edges) if web_edges else ()
    return Placement(
        first_wheel_in=first,
        peaks=response.section_peaks(x_in=station),
        web_moments_lbin=webs,
        lane_moment_lbin=lane,
    )
