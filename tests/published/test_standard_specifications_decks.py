"""Fractions of glulam decks against hand calculation from the Standard Specifications (D9, computed).

Source of the rules: AASHTO Standard Specifications 3.25.1 and 3.25.3 (memory).
"""

from __future__ import annotations

import pytest

from inventory.mechanics.distribution import dowelled_panel_moment, panel_bending_share


@pytest.mark.parametrize(("lanes", "share"), [(1, 0.7832), (2, 0.8682)])
def test_glulam_panel_fraction(lanes, share):
    """D9 (computed; AASHTO Standard Specifications 3.25.3, memory): 4 ft panel, L 24 ft."""
    found = panel_bending_share(panel_in=48, span_ft=24, lanes=lanes).wheel_lines
    assert found == pytest.approx(share, abs=0.00005)


def test_transverse_dowelled_panel():
    """D9 (computed; AASHTO Standard Specifications 3.25.1, memory): 12,000 lb, 50 in, K 0.51: 4,278 in-lb/in."""
    assert dowelled_panel_moment(wheel_lb=12000, span_in=50, k=0.51) == pytest.approx(4278, abs=1)
