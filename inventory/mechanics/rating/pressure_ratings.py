"""A structure rated at one pressure after another in one of its spans, each only once."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle, find_vehicle

from .build import span_pressure_worth
from .cap_rating import rate_cap
from .cases import CapCase, SpanCase
from .policy import RatingPolicy
from .results import NotRated, StructureRating
from .span import rate_span
from .structure import combined_rating, rate_structure
from .unit_lines import unit_spans

SOURCE = "rating as a function of bar force"
PROBE_PSI = 490.0
"""A pressure at which every web that can work with its flange does."""
NEVER_PSI = 500.0
NEED_PSI = 1e-9
"""The need is known where it and the pressure it is asked at differ by no more, psi."""
MOST_STEPS = 40


class PressureRatings:
    """Ratings by pressure (psi) of the span ``span_label``; ``refused`` the first refusal met, if any.

    The need is worked out once, at the pressure that just meets it, and then stands: it grows far slower than the
    pressure does, so below that pressure it is never met and above it always.
    """

    def __init__(
        self,
        *,
        cases: tuple[SpanCase, ...],
        vehicles: tuple[str | Vehicle, ...],
        policy: RatingPolicy,
        span_label: str,
        caps: tuple[CapCase, ...] = (),
    ) -> None:
        chosen = [case for case in cases if case.label == span_label]
        if len(chosen) != 1 or chosen[0].bars is None:
            raise OutsideValidity(
                name="span of the curve", value=span_label, valid="the label of one span with bars", source=SOURCE
            )
        self.case, self.policy, self.refused = chosen[0], policy, None
        self._cases, self._caps = cases, caps
        self._vehicles = tuple(find_vehicle(v) if isinstance(v, str) else v for v in vehicles)
        self._kept: dict[tuple[float, str], StructureRating | NotRated] = {}
        self._others: dict[str, tuple[tuple, tuple]] = {}

    @cached_property
    def meets_need_psi(self) -> float | None:
        """The pressure that just equals the need of all vehicles; None where no pressure up to 490 psi does."""
        at, need = 0.0, self._need_psi(0.0)
        last = None
        for _step in range(MOST_STEPS):
            if need > PROBE_PSI:
                return None
            if abs(need - at) <= NEED_PSI:
                return need
            # The need is all but straight in the pressure: a secant finds where the two are equal in a few steps.
            slope = 0.0 if last is None or at == last[0] else (need - last[1]) / (at - last[0])
            last = (at, need)
            at = need if slope >= 1.0 else (need - slope * at) / (1.0 - slope)
            need = self._need_psi(at)
        raise OutsideValidity(name="pressure needed", value=need, valid="one that settles", unit="psi", source=SOURCE)

    def _need_psi(self, psi: float) -> float:
        """The need at a pressure: a stiffer deck asks for a little more."""
        case = with_pressure(self.case, psi)
        return span_pressure_worth(case, self.policy, Trace(), self._vehicles).needed_psi

    @cached_property
    def need_words(self) -> str:
        """Where the need comes from."""
        return span_pressure_worth(self.case, self.policy, Trace(), self._vehicles).need_words

    def case_at(self, psi: float) -> SpanCase:
        """The span with that pressure and the need that stands."""
        need = NEVER_PSI if self.meets_need_psi is None else self.meets_need_psi
        case = with_pressure(self.case, psi)
        return replace(case, bars=replace(case.bars, needed_pressure_psi=need))

    @cached_property
    def as_it_stands(self) -> StructureRating | NotRated:
        """The structure's rating with nothing changed."""
        return rate_structure(self._cases, self._vehicles, self.policy, self._caps)

    def at(self, psi: float, vehicle: str = "") -> StructureRating | NotRated:
        """The structure's rating with that pressure in the span, for all vehicles or the one named.

        A vehicle without allowable stress factors (HL-93, a permit vehicle) is not rated by itself: all are.
        """
        alone = any(row.vehicle == vehicle for row in self.as_it_stands.governing)
        key = (self._alike(psi), vehicle if alone else "")
        if key not in self._kept:
            train = tuple(v for v in self._vehicles if key[1] in ("", v.id))
            found = self._rated(self.case_at(key[0]), key[1], train)
            if isinstance(found, NotRated) and self.refused is None:
                self.refused = found
            self._kept[key] = found
        return self._kept[key]

    @property
    def jumps_are_known(self) -> bool:
        """Without the plate nothing jumps but at the closing pressure, the need and where friction begins to carry."""
        return self.case.distribution != "refined"

    def _alike(self, psi: float) -> float:
        """A pressure at which the rating is the same: below the need pressure adds nothing, nor does it to a deck rated
        by rules once it is met; only closing is recommended below its own pressure."""
        need, closing = self.meets_need_psi, self.policy.closing_pressure_psi
        if need is None or psi < need:
            return 0.0 if psi < closing else closing
        if self.case.system == "stress_laminated_deck" and self.jumps_are_known:
            return need if psi < closing else max(need, closing)
        return psi

    def _rated(self, changed: SpanCase, name: str, train: tuple[Vehicle, ...]) -> StructureRating | NotRated:
        """The structure with its span changed; what no bar force reaches (other spans, caps) is rated once."""
        if self.case.continuous_unit:
            cases = tuple(changed if case is self.case else case for case in self._cases)
            return rate_structure(cases, train, self.policy, self._caps)
        if name not in self._others:
            units = unit_spans(self._cases)
            others = tuple(
                None if case is self.case else rate_span(case, train, self.policy, unit)
                for case, unit in zip(self._cases, units, strict=True)
            )
            self._others[name] = others, tuple(rate_cap(cap, self._cases, train, self.policy) for cap in self._caps)
        others, caps = self._others[name]
        own = rate_span(changed, train, self.policy)
        spans = tuple(own if span is None else span for span in others)
        return combined_rating(spans=spans, caps=caps, policy=self.policy)

    def pressures_kept(self) -> list[float]:
        """Pressures already rated for all vehicles, rising."""
        return sorted(psi for psi, vehicle in self._kept if not vehicle)

    def rates(self, *pressures_psi: float) -> bool:
        """Whether the structure can be rated at all of them."""
        return all(isinstance(self.at(psi), StructureRating) for psi in pressures_psi)

    def slip_pressures(self) -> list[tuple[float, str, str]]:
        """(psi, vehicle, web): where friction begins to carry a vehicle's whole shear on a web.

        The shear at slip is in proportion to the pressure: N = N_probe x (V dead + V live)/V slip, unfactored.
        """
        probe = self.at(PROBE_PSI)
        if isinstance(probe, NotRated):
            return []
        found = set()
        for span in probe.spans:
            for row in span.results if span.label == self.case.label else ():
                if row.limit_state == "interface" and row.capacity > 0:
                    slip = row.capacity / row.resistance_factor
                    need = PROBE_PSI * (row.dead_effect + row.live_effect) / slip
                    found.add((round(need, 9), row.vehicle, row.member))
        return sorted(found)


def with_pressure(case: SpanCase, pressure_psi: float | None) -> SpanCase:
    """The same span with its bars at another least local pressure, psi (None: not known)."""
    return replace(case, bars=replace(case.bars, least_local_pressure_psi=pressure_psi))


def factor_rows(rating: StructureRating) -> dict[tuple[str, str], float]:
    """(vehicle, series) to factor: posting, inventory and operating of every vehicle, and each level of LRFR rated."""
    found = {}
    for row in rating.governing:
        for series in ("posting", "inventory", "operating"):
            found[row.vehicle, series] = getattr(row, f"{series}_factor")
    for row in rating.load_factor:
        found[row.vehicle, row.level] = row.rating_factor
    return found
