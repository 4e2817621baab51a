"""Factored resistance stresses of load and resistance factor design: phi times reference value times its factors.

phi F_b = phi F_bo C_KF C_M (C_F, or the smaller of C_V and C_L) C_fu C_i C_d C_lambda C_L      (LRFD 8.4.4.1, 8.6.2)
phi F_v = phi F_vo C_KF C_M C_i C_lambda (8.7)           phi F_cp = phi F_cpo C_KF C_M C_i C_lambda C_b (8.8.3)
C_KF = 2.5/phi (2.1/phi across the grain), so phi cancels; both stand in the record. C_d is the deck factor; no
repetitive factor exists in LRFD. Marks: memory, but for factors shared with allowable stress.
"""

from __future__ import annotations

from math import prod, sqrt

from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.tables import load_factors as table
from inventory.mechanics.tables.design_values import DesignValue

from . import factors as f
from .allowable import Allowable, Service, Use, check_size_class, modulus, wet_factor
from .factors import Factor

PHI = "phi"
FORMAT = "C_KF"


def _begin(kind: str, strength: str) -> list[Factor]:
    if strength not in table.TIME_EFFECT:
        known = ", ".join(table.TIME_EFFECT)
        raise OutsideValidity(name="limit state", value=strength, valid=known, source="AASHTO LRFD 8.4.4.9")
    phi, numerator = table.PHI[kind], table.FORMAT_OVER_PHI[kind]
    lrfd = "AASHTO LRFD"
    return [
        Factor(symbol=PHI, value=phi, formula=kind, source=f"{lrfd} 8.5.2.2", mark="memory"),
        Factor(
            symbol=FORMAT, value=numerator / phi, formula=f"{numerator}/phi", source=f"{lrfd} 8.4.4.2", mark="memory"
        ),
        Factor(
            symbol="C_lambda",
            value=table.TIME_EFFECT[strength],
            formula=strength,
            source=f"{lrfd} 8.4.4.9",
            mark="memory",
        ),
    ]


def deck_factor(*, value: DesignValue, sharing: str) -> Factor:
    """C_d on F_b: stressed decks by grade 1.30 or 1.50, nail- and spike-laminated 1.15, else 1 (LRFD 8.4.4.8, memory).

    Sawn lumber 2 to 4 in thick only.
    """
    number, words = 1.0, "no deck of laminations"
    if value.kind == "dimension" and sharing == "stress_laminated":
        number, words = table.DECK_FACTOR_STRESSED.get(value.grade, 1.0), f"stress-laminated deck, {value.grade}"
    elif value.kind == "dimension" and sharing == "nail_laminated":
        number, words = table.DECK_FACTOR_NAILED, "nail- or spike-laminated deck"
    return Factor(symbol="C_d", value=number, formula=words, source="AASHTO LRFD 8.4.4.8", mark="memory")


def bending_resistance(*, value: DesignValue, service: Service, use: Use, strength: str) -> Allowable:
    """phi F_b, psi. Raises ``OutsideValidity`` as ``bending_stress`` does."""
    check_size_class(value=value, use=use)
    size = f.size_factor(value=value, width_in=use.width_in, depth_in=use.depth_in)
    found = [
        *_begin("bending", strength),
        wet_factor(value=value, service=service, stress="fb", fb_cf_psi=value.fb_psi * size.value),
        f.temperature_factor(temperature_f=service.temperature_f, wet=service.wet, stress="fb"),
    ]
    if not value.kind.startswith("glulam"):
        found += [
            size,
            f.incising_factor(incised=service.incised, stress="fb"),
            deck_factor(value=value, sharing=use.sharing),
        ]
    flat = f.flat_use_factor(value=value, depth_in=use.depth_in)
    if flat is not None:
        found.append(flat)
    fb_star = value.fb_psi * prod(factor.value for factor in found if factor.symbol != PHI)
    stability = stability_factor(value=value, service=service, use=use, fb_star_psi=fb_star)
    if value.kind == "glulam_x":
        volume = f.volume_factor(
            span_ft=use.span_ft, depth_in=use.depth_in, width_in=use.width_in, exponent=value.volume_exponent
        )
        found.append(volume if volume.value <= stability.value else stability)
    else:
        found.append(stability)
    return Allowable(symbol="phi F_b", reference_psi=value.fb_psi, factors=tuple(found))


def stability_factor(*, value: DesignValue, service: Service, use: Use, fb_star_psi: float) -> Factor:
    """C_L with F_bE = K_bE E'/R_B^2, K_bE 0.76 visually graded, 1.10 glulam and composites (LRFD 8.6.2, memory)."""
    if use.unbraced_ft == 0 or use.depth_in <= use.width_in:
        words = "compression edge braced" if use.unbraced_ft == 0 else "not deeper than wide"
        return Factor(symbol="C_L", value=1.0, formula=words, source="AASHTO LRFD 8.6.2", mark="memory")
    slender = sqrt(f.effective_length_in(unbraced_ft=use.unbraced_ft, depth_in=use.depth_in) * use.depth_in)
    slender /= use.width_in
    require_range(name="beam slenderness R_B", value=slender, above=0, most=50, source="AASHTO LRFD 8.6.2")
    sideways = f.sideways_modulus_ratio(value)
    e_psi = modulus(value=value, service=service).stress_psi * sideways
    k = table.STABILITY_K["visual" if value.kind in ("dimension", "timber") else "glulam"]
    a = k * e_psi / slender**2 / fb_star_psi
    number = (1.0 + a) / 1.9 - sqrt(((1.0 + a) / 1.9) ** 2 - a / 0.95)
    words = f"R_B = {slender:.3f}, K_bE = {k:g}, F_bE/F_b = {a:.3f}"
    return Factor(symbol="C_L", value=number, formula=words, source="AASHTO LRFD 8.6.2", mark="memory")


def _simple(kind: str, stress: str, value: DesignValue, service: Service, strength: str) -> list[Factor]:
    found = [
        *_begin(kind, strength),
        wet_factor(value=value, service=service, stress=stress),
        f.temperature_factor(temperature_f=service.temperature_f, wet=service.wet, stress=stress),
    ]
    if value.kind in ("dimension", "timber"):
        found.append(f.incising_factor(incised=service.incised, stress=stress))
    return found


def shear_resistance(*, value: DesignValue, service: Service, strength: str) -> Allowable:
    """phi F_v, psi; on a rectangle V_r = phi F_v b d/1.5 (LRFD 8.7)."""
    found = _simple("shear", "fv", value, service, strength)
    return Allowable(symbol="phi F_v", reference_psi=value.fv_psi, factors=tuple(found))


def bearing_resistance(
    *, value: DesignValue, service: Service, length_in: float, strength: str, end_distance_in: float = 0.0
) -> Allowable:
    """phi F_cp, psi (LRFD 8.8.3)."""
    found = _simple("bearing", "fc_perp", value, service, strength)
    found.append(f.bearing_area_factor(length_in=length_in, end_distance_in=end_distance_in))
    return Allowable(symbol="phi F_cp", reference_psi=value.fc_perp_psi, factors=tuple(found))
