"""How long a component of a timber bridge stays in its condition rating, from published population facts.

Published (checked: "Performance of aging timber bridges based on field tests and deterioration models", Transportation
Research Record): half of all ratings last at least 10 years for decks, 14 for superstructures, 12 for substructures,
and 80 % last at least 3 years without a drop. Between them (``model``): R(t) = exp(-(t/eta)^beta) through both points.
beta comes out below 1: many early drops and some long stays, a mixed population. This is a fact of many bridges under
routine upkeep, not a forecast of one: a county's own ratings replace it as soon as there are enough of them.
"""

from dataclasses import dataclass
from math import exp, log

MEDIAN_YEARS = {"deck": 10.0, "superstructure": 14.0, "substructure": 12.0}
EARLY_YEARS, EARLY_RATIO = 3.0, 0.80
MOST_YEARS = 100.0


@dataclass(frozen=True, kw_only=True)
class Stay:
    """R(t) = exp(-(t/eta)^beta): shape beta without a unit, scale eta in years."""

    beta: float
    eta_years: float

    def ratio(self, *, years: float) -> float:
        """Share still in the rating after ``years`` (0 to 100)."""
        if not 0.0 <= years <= MOST_YEARS:
            raise ValueError(f"Years in a rating must be 0 to {MOST_YEARS:g}, not {years:g}.")
        return exp(-((years / self.eta_years) ** self.beta))

    def further_ratio(self, *, stayed_years: float, years: float) -> float:
        """Share of those that have stayed so long which stay ``years`` longer: R(s + t)/R(s)."""
        return self.ratio(years=stayed_years + years) / self.ratio(years=stayed_years)


def stay_of(component: str) -> Stay:
    """The curve of a deck, superstructure or substructure; ``ValueError`` with the names known."""
    if component not in MEDIAN_YEARS:
        raise ValueError(f"No published stay for '{component}'; known are {', '.join(MEDIAN_YEARS)}.")
    median = MEDIAN_YEARS[component]
    beta = log(log(2.0) / -log(EARLY_RATIO)) / log(median / EARLY_YEARS)
    return Stay(beta=beta, eta_years=median / log(2.0) ** (1.0 / beta))
