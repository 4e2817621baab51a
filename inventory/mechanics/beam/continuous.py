"""A stringer running on over 1 to 5 spans: support moments by the three-moment equation, and uniform dead load.

With EI constant in a span (it may differ from span to span) and supports that neither yield nor lift,

    M[i-1] L[l]/EI[l] + 2 M[i] (L[l]/EI[l] + L[r]/EI[r]) + M[i+1] L[r]/EI[r] = -(load terms of the two spans),

M of the outer supports being 0. Load terms: w L3 / (4 EI) for a uniform load; for a unit load at a from the left end of
a span, (2 L a - 3 a2 + a3/L) / EI at its left support and (L a - a3/L) / EI at its right one. Sagging moments are
positive, shear is positive where the part left of the section is pushed up, reactions are positive upwards.

Spans and supports are numbered from 1, left to right; span n lies between supports n and n + 1. A station is measured
from the left support of its span, so that station 0 is just right of that support and station L just left of the next.
Shear deformation is left out. A stringer that laps or butts at a pier is not continuous there. A support that cannot
hold the stringer down must be checked against uplift (a negative reaction) by the caller. Source: Clapeyron's
three-moment equation, any handbook of mechanics (memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from inventory.mechanics.errors import OutsideValidity, require_range

from .moving import MOST_SPAN_FT

SOURCE = "continuous beam, three-moment equation"
MOST_SPANS = 5
MOST_STIFFNESS_RATIO = 100.0


@dataclass(frozen=True, kw_only=True)
class ContinuousBeam:
    """Span lengths, ft, left to right, and the stiffness EI of each span in any one unit (only ratios count).

    Range: 1 to 5 spans, each above 0 to 200 ft; no span more than 100 times as stiff as another (a limit of this
    model). ``stiffnesses`` left empty means the same EI throughout. Raises ``OutsideValidity``. Source: mechanics.
    """

    spans_ft: tuple[float, ...]
    stiffnesses: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        require_range(name="number of spans", value=len(self.spans_ft), least=1, most=MOST_SPANS, source=SOURCE)
        for span in self.spans_ft:
            require_range(name="span", value=span, above=0, most=MOST_SPAN_FT, unit="ft", source=SOURCE)
        if self.stiffnesses and len(self.stiffnesses) != len(self.spans_ft):
            raise OutsideValidity(
                name="number of span stiffnesses",
                value=len(self.stiffnesses),
                valid=f"none, or one for each of the {len(self.spans_ft)} spans",
                source=SOURCE,
            )
        for stiffness in self.stiffnesses:
            require_range(name="span stiffness", value=stiffness, above=0, source=SOURCE)
        if self.stiffnesses:
            ratio = max(self.stiffnesses) / min(self.stiffnesses)
            require_range(
                name="stiffest span over the least stiff", value=ratio, most=MOST_STIFFNESS_RATIO, source=SOURCE
            )

    @cached_property
    def supports_ft(self) -> tuple[float, ...]:
        """Supports from the left end, ft: one more than spans."""
        places = [0.0]
        for span in self.spans_ft:
            places.append(places[-1] + span)
        return tuple(places)

    @property
    def length_ft(self) -> float:
        return self.supports_ft[-1]

    @cached_property
    def relative_ei(self) -> tuple[float, ...]:
        """EI of each span over that of the first."""
        if not self.stiffnesses:
            return (1.0,) * len(self.spans_ft)
        return tuple(stiffness / self.stiffnesses[0] for stiffness in self.stiffnesses)

    @cached_property
    def support_matrix(self) -> tuple[tuple[float, ...], ...]:
        """Inverse of the three-moment equations with a row and column of zeros for each outer support."""
        count = len(self.spans_ft)
        ratios = [span / ei for span, ei in zip(self.spans_ft, self.relative_ei, strict=True)]
        whole = np.zeros((count + 1, count + 1))
        if count > 1:
            equations = np.diag([2.0 * (ratios[i] + ratios[i + 1]) for i in range(count - 1)])
            for i in range(count - 2):
                equations[i, i + 1] = equations[i + 1, i] = ratios[i + 1]
            whole[1:-1, 1:-1] = np.linalg.inv(equations)
        return tuple(tuple(float(value) for value in row) for row in whole)

    def check_station(self, *, span_no: int, station_ft: float) -> None:
        """Raise ``OutsideValidity`` unless the span exists and the station lies in it."""
        require_whole(name="span number", value=span_no, most=len(self.spans_ft))
        most = self.spans_ft[span_no - 1]
        require_range(name="station", value=station_ft, least=0, most=most, unit="ft", source=SOURCE)

    def check_support(self, *, support_no: int) -> None:
        """Raise ``OutsideValidity`` unless the support exists."""
        require_whole(name="support number", value=support_no, most=len(self.spans_ft) + 1)


def require_whole(*, name: str, value: int, most: int) -> None:
    """Raise ``OutsideValidity`` unless ``value`` is a whole number from 1 to ``most``."""
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= most:
        raise OutsideValidity(name=name, value=value, valid=f"whole numbers from 1 to {most}", source=SOURCE)


def _loads(beam: ContinuousBeam, loads_plf: tuple[float, ...]) -> None:
    if len(loads_plf) != len(beam.spans_ft):
        raise OutsideValidity(
            name="number of uniform loads",
            value=len(loads_plf),
            valid=f"one for each of the {len(beam.spans_ft)} spans",
            source=SOURCE,
        )
    for load in loads_plf:
        require_range(name="uniform load", value=load, least=0, unit="lb/ft", source=SOURCE)


def continuous_dead_support_moments_lbft(*, beam: ContinuousBeam, loads_plf: tuple[float, ...]) -> tuple[float, ...]:
    """Moments over all supports, lb-ft, hogging negative, under one uniform load (lb/ft, least 0) for each span.

    Three-moment equation with load terms w L3 / (4 EI). Source: mechanics (memory).
    """
    _loads(beam, loads_plf)
    terms = [0.0] * (len(beam.spans_ft) + 1)
    for index, (span, ei, load) in enumerate(zip(beam.spans_ft, beam.relative_ei, loads_plf, strict=True)):
        terms[index] += load * span**3 / (4.0 * ei)
        terms[index + 1] += load * span**3 / (4.0 * ei)
    return tuple(
        0.0 - sum(factor * term for factor, term in zip(row, terms, strict=True)) for row in beam.support_matrix
    )


def continuous_dead_moment_lbft(
    *, beam: ContinuousBeam, loads_plf: tuple[float, ...], span_no: int, station_ft: float
) -> float:
    """M(x) = w x (L - x)/2 + M_left (1 - x/L) + M_right x/L, lb-ft, sagging positive."""
    beam.check_station(span_no=span_no, station_ft=station_ft)
    ends = continuous_dead_support_moments_lbft(beam=beam, loads_plf=loads_plf)[span_no - 1 : span_no + 1]
    span, load = beam.spans_ft[span_no - 1], loads_plf[span_no - 1]
    part = station_ft / span
    return load * station_ft * (span - station_ft) / 2.0 + ends[0] * (1.0 - part) + ends[1] * part


def continuous_dead_shear_lb(
    *, beam: ContinuousBeam, loads_plf: tuple[float, ...], span_no: int, station_ft: float
) -> float:
    """V(x) = w (L/2 - x) + (M_right - M_left)/L, lb, with its sign."""
    beam.check_station(span_no=span_no, station_ft=station_ft)
    left, right = continuous_dead_support_moments_lbft(beam=beam, loads_plf=loads_plf)[span_no - 1 : span_no + 1]
    span = beam.spans_ft[span_no - 1]
    return loads_plf[span_no - 1] * (span / 2.0 - station_ft) + (right - left) / span


def continuous_dead_reactions_lb(*, beam: ContinuousBeam, loads_plf: tuple[float, ...]) -> tuple[float, ...]:
    """Reactions of all supports, lb, upwards positive: shear just right of each support less that just left of it."""
    moments = continuous_dead_support_moments_lbft(beam=beam, loads_plf=loads_plf)
    found = [0.0] * len(moments)
    for index, (span, load) in enumerate(zip(beam.spans_ft, loads_plf, strict=True)):
        lean = (moments[index + 1] - moments[index]) / span
        found[index] += load * span / 2.0 + lean
        found[index + 1] += load * span / 2.0 - lean
    return tuple(found)
