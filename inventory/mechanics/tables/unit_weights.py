"""Unit weights for dead load, lb/ft3."""

from __future__ import annotations

VERSION = "unit-weights 1.0"
SOURCE = "AASHTO LRFD Table 3.5.1-1 (memory); timber 50 quoted in Timber Bridges, EM 7700-8, chapter 6 (checked)"

TIMBER_PCF = 50.0
"""Timber, treated or not, for design (checked: EM 7700-8 chapter 6)."""

SURFACING_PCF = {
    "bituminous": 140.0,
    "rolled gravel": 140.0,
    "compacted sand or earth": 120.0,
    "loose gravel": 100.0,
    "concrete": 150.0,
    "steel": 490.0,
}
"""AASHTO LRFD Table 3.5.1-1, memory."""
