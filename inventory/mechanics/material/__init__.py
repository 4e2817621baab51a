"""Allowable stresses and factored resistances: reference value times factors, each with its clause."""

from inventory.mechanics.tables.adjustment import OPERATING

from .allowable import Allowable, MakerWetFactors, Service, Use, bearing_stress, bending_stress, modulus, shear_stress
from .factors import Factor, beam_stability_factor, bearing_area_factor, volume_factor
from .resistance import bearing_resistance, bending_resistance, shear_resistance

__all__ = [
    "OPERATING",
    "Allowable",
    "Factor",
    "MakerWetFactors",
    "Service",
    "Use",
    "beam_stability_factor",
    "bearing_area_factor",
    "bearing_resistance",
    "bearing_stress",
    "bending_resistance",
    "bending_stress",
    "modulus",
    "shear_resistance",
    "shear_stress",
    "volume_factor",
]
