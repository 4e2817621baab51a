"""Stay in a condition rating against published population facts of timber bridges (A8).

Source: "Performance of aging timber bridges based on field tests and deterioration models", Transportation Research
Record (checked): medians 10, 14 and 12 years for deck, superstructure and substructure; 80 % stay 3 years.
"""

from math import exp

import pytest

from inspections.rules.staying import stay_of

# Component, median years (checked); beta and eta (computed: two equations with two unknowns, by a separate hand).
ROWS = [("deck", 10, 0.941, 14.76), ("superstructure", 14, 0.736, 23.04), ("substructure", 12, 0.818, 18.79)]


@pytest.mark.parametrize(("component", "median", "beta", "eta"), ROWS)
def test_published_points(component, median, beta, eta):
    """The two published points, and the printed parameters put into the formula by hand."""
    stay = stay_of(component)
    assert stay.ratio(years=3) == pytest.approx(0.80)
    assert stay.ratio(years=median) == pytest.approx(0.50)
    assert (stay.beta, stay.eta_years) == (pytest.approx(beta, abs=0.0006), pytest.approx(eta, abs=0.006))
    for years in (1, 3, 8, 14, 30):
        assert stay.ratio(years=years) == pytest.approx(exp(-((years / eta) ** beta)), abs=0.0006)


@pytest.mark.parametrize("component", [row[0] for row in ROWS])
def test_laws_of_a_survival_curve(component):
    """All stand at the start, ever fewer stay; with beta under 1 those that stayed longer stay longer still."""
    stay = stay_of(component)
    ratios = [stay.ratio(years=years) for years in range(0, 60, 3)]
    assert ratios[0] == 1.0 and all(later < earlier for earlier, later in zip(ratios, ratios[1:], strict=False))
    further = [stay.further_ratio(stayed_years=stayed, years=5) for stayed in (0, 5, 15, 30)]
    assert further == sorted(further) and further[0] == pytest.approx(stay.ratio(years=5))
    halves = stay.further_ratio(stayed_years=4, years=3) * stay.further_ratio(stayed_years=7, years=6)
    assert halves == pytest.approx(stay.further_ratio(stayed_years=4, years=9))


def test_what_is_not_known_is_refused():
    with pytest.raises(ValueError, match="No published stay for 'railing'"):
        stay_of("railing")
    with pytest.raises(ValueError, match="0 to 100"):
        stay_of("deck").ratio(years=-1)
