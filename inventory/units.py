"""Conversions, exact by definition unless said. Standard library only.

1 ft = 0.3048 m and 1 lb = 0.45359237 kg (international yard and pound, 1959, exact, memory).
"""

FT_PER_M = 1 / 0.3048
KM_PER_MI = 1.609344
SHORT_TON_PER_METRIC_TON = 1000 / (2000 * 0.45359237)
LB_PER_KIP = 1000.0
LB_PER_TON = 2000.0
IN_PER_FT = 12.0


def feet(length_m: float) -> float:
    """Metres to feet."""
    return length_m * FT_PER_M


def metres(length_ft: float) -> float:
    """Feet to metres."""
    return length_ft / FT_PER_M


def short_tons(mass_metric_ton: float) -> float:
    """Metric tons to short tons of 2,000 lb."""
    return mass_metric_ton * SHORT_TON_PER_METRIC_TON


def miles(length_km: float) -> float:
    """Kilometres to miles."""
    return length_km / KM_PER_MI
