"""Rules of a wheel on a transverse deck: integration and sweeps as second methods, continuity, printed widths.

AASHTO Standard Specifications 3.25.1, 3.30; AASHTO LRFD Table 4.6.2.1.3-1 (memory).
"""

from __future__ import annotations

import numpy as np
import pytest

from inventory.mechanics.distribution.transverse import (
    deck_span_in,
    dowel_demand,
    dowelled_panel_moment,
    lrfd_strip,
    standard_strip,
    wheel_moment_inlb,
    wheel_shear_lb,
)
from inventory.mechanics.errors import OutsideValidity


@pytest.mark.parametrize("places", [(48.0,), (72.0,)])
def test_one_wheel_governs_up_to_82_in(places):
    """Second method: two equal loads swept over the span in steps of 1/8 in never bend it more than one at midspan."""
    for span in (40.0, 60.0, 81.5):
        x = np.arange(0, span, 0.125)
        section = span / 2 - places[0] / 4  # where the pair is worst
        line = np.where(x <= section, x * (span - section), section * (span - x)) / span
        pair = line + np.interp(x + places[0], x, line, right=0.0)
        assert pair.max() <= span / 4 + 1e-9


def test_wheel_effects_by_integration():
    """Second method: the patch as 20,000 slices on the influence lines of a simple span."""
    span, tire, at = 45.0, 18.0, 5.0
    slices = (np.arange(20_000) + 0.5) / 20_000 * tire
    middle = span / 2 - tire / 2 + slices
    moment = np.where(middle < span / 2, middle / 2, (span - middle) / 2).mean() * 10_000
    assert wheel_moment_inlb(wheel_lb=10_000, span_in=span, tire_in=tire) == pytest.approx(moment, rel=1e-6)
    shear = ((span - at - slices) / span).mean() * 10_000
    assert wheel_shear_lb(wheel_lb=10_000, span_in=span, tire_in=tire, station_in=at) == pytest.approx(shear, rel=1e-6)
    wide = wheel_moment_inlb(wheel_lb=10_000, span_in=12, tire_in=18)
    assert wide == pytest.approx(10_000 / 18 * 12**2 / 8)


def test_branches_of_the_dowel_formulas_meet():
    """Continuity: at 50 in both branches give 0.30 P and 1.25 P (6 x 50/1000; 50 x 40/1600; 30/100; 50 x 20/800)."""
    shear, moment = dowel_demand(wheel_lb=1000, span_in=50)
    assert (shear, moment) == pytest.approx((300, 1250))
    beyond = dowel_demand(wheel_lb=1000, span_in=50.0001)
    assert beyond == pytest.approx((300, 1250), rel=1e-4)


def test_effective_span():
    """3.25.1.2: clear + half a support, not above clear + thickness: 18 + 3 = 21; 10 in flange and 3 in plank: 17."""
    assert deck_span_in(spacing_in=24, support_width_in=6, thickness_in=4) == 21
    assert deck_span_in(spacing_in=24, support_width_in=10, thickness_in=3) == 17


def test_strips():
    """15 in + t, + 2 t, the panel, the plank (Standard Specifications); 2.0 h + 40 and 4.0 h + 30 or 40 (LRFD)."""
    sizes = {"thickness_in": 5.0, "width_in": 48.0}
    assert standard_strip(kind="glulam_panel", interconnected=False, **sizes).width_in == 20
    assert standard_strip(kind="glulam_panel", interconnected=True, **sizes).width_in == 25
    assert standard_strip(kind="glulam_panel", interconnected=True, thickness_in=5, width_in=18).width_in == 18
    assert standard_strip(kind="nail_laminated", interconnected=True, thickness_in=5, width_in=1.5).width_in == 20
    assert standard_strip(kind="plank", interconnected=False, thickness_in=3, width_in=10).width_in == 10
    far = {"axle_gap_in": 168.0}
    assert lrfd_strip(kind="glulam_panel", interconnected=True, **sizes, **far).width_in == 50
    assert lrfd_strip(kind="glulam_panel", interconnected=False, **sizes, **far).width_in == 48
    assert lrfd_strip(kind="nail_laminated", interconnected=False, **sizes, **far).width_in == 50
    assert lrfd_strip(kind="nail_laminated", interconnected=True, **sizes, **far).width_in == 60


def test_dowelled_formula_keeps_its_range():
    for span in (19.9, 82.1, float("nan")):
        with pytest.raises(OutsideValidity):
            dowelled_panel_moment(wheel_lb=12_000, span_in=span, k=0.51)
