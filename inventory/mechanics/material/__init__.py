"""Allowable stresses: reference value times adjustment factors, each with its clause."""

from inventory.mechanics.tables.adjustment import OPERATING

from .allowable import Allowable, MakerWetFactors, Service, Use, bearing_stress, bending_stress, modulus, shear_stress
from .factors import Factor, beam_stability_factor, bearing_area_factor, volume_factor

__all__ = [
    "OPERATING",
    "Allowable",
    "Factor",
    "MakerWetFactors",
    "Service",
    "Use",
    "beam_stability_factor",
    "bearing_area_factor",
    "bearing_stress",
    "bending_stress",
    "modulus",
    "shear_stress",
    "volume_factor",
]
