"""Allowable stress at inventory level: reference value times its factors; operating is 1.33 times it.

sawn   F_b' = F_b C_D C_M C_t C_L C_F C_i C_r (or C_LS)    F_v' = F_v C_D C_M C_t C_i    F_cp' = F_cp C_M C_t C_i C_b
glulam F_b' = F_b C_D C_M C_t min(C_L, C_V) C_fu           F_v' = F_v C_D C_M C_t        E' = E C_M C_t C_i
Which factor applies: NDS Tables 4.3.1 and 5.3.1 (checked-2nd).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import prod

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.tables import adjustment as table
from inventory.mechanics.tables.design_values import DesignValue

from . import factors as f
from .factors import Factor

USES = ("single", "repetitive", "nail_laminated", "stress_laminated")


@dataclass(frozen=True, kw_only=True)
class MakerWetFactors:
    """Wet-service factors of a structural composite from its maker's report; no default exists."""

    bending: float
    shear: float
    bearing: float
    modulus: float


@dataclass(frozen=True, kw_only=True)
class Service:
    """Conditions of service: wet for long periods, sustained temperature F, incised, the maker's wet factors."""

    wet: bool
    temperature_f: float = 100.0
    incised: bool = False
    maker_wet: MakerWetFactors | None = None


@dataclass(frozen=True, kw_only=True)
class Use:
    """How the member works: original sizes in, span ft, load sharing (``USES``), free compression edge ft."""

    width_in: float
    depth_in: float
    span_ft: float
    sharing: str = "single"
    unbraced_ft: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Allowable:
    """An allowable stress (psi), its reference value and the factors between them."""

    symbol: str
    reference_psi: float
    factors: tuple[Factor, ...]

    @property
    def stress_psi(self) -> float:
        return self.reference_psi * prod(factor.value for factor in self.factors)


def wet_factor(*, value: DesignValue, service: Service, stress: str, fb_cf_psi: float = 0.0) -> Factor:
    """C_M for ``stress`` (fb, fv, fc_perp, e); composites need their maker's factor when wet."""
    if not service.wet:
        return Factor(symbol="C_M", value=1.0, formula="dry", source="NDS 4.3.3, 5.3.3", mark="checked-2nd")
    if value.kind in table.COMPOSITE_DEPTH_EXPONENT:
        if service.maker_wet is None:
            raise OutsideValidity(
                name=f"wet-service factor of {value.species}",
                value="not given",
                valid="the maker's report for the product used",
                source="composites have no general wet-service factor",
            )
        names = {"fb": "bending", "fv": "shear", "fc_perp": "bearing", "e": "modulus"}
        number = getattr(service.maker_wet, names[stress])
        return Factor(symbol="C_M", value=number, formula="wet", source="maker's report", mark="input")
    number, words = table.WET[value.kind][stress], "wet"
    if value.wet_in_value:
        number, words = 1.0, "tabulated for wet or dry service"
    elif value.kind == "dimension" and stress == "fb" and fb_cf_psi <= table.WET_BENDING_FREE_PSI:
        number, words = 1.0, "wet, but F_b C_F is not above 1150 psi"
    return Factor(symbol="C_M", value=number, formula=words, source=table.WET_SOURCE[value.kind], mark="checked-2nd")


def check_size_class(*, value: DesignValue, use: Use) -> None:
    """Refuse a design value of another size class than the member's own sizes (NDS Supplement 4A, 4B, 4D)."""
    least = min(use.width_in, use.depth_in)
    problem = ""
    if value.kind == "dimension" and use.width_in > 4.0:
        problem = "at most 4 in thick"
    elif value.kind == "timber" and least < 4.5:
        problem = "at least 5 in nominal both ways"
    elif value.size_class == "beams and stringers" and use.depth_in - use.width_in <= 2.0:
        problem = "more than 2 in deeper than wide (use posts and timbers)"
    if problem:
        raise OutsideValidity(
            name=f"size {use.width_in:g} x {use.depth_in:g} in for {value.title}",
            value="outside the size class",
            valid=problem,
            source="NDS Supplement tables 4A, 4B, 4D",
        )


def _sharing_factor(value: DesignValue, sharing: str) -> Factor:
    if sharing == "stress_laminated" and value.kind == "dimension":
        number = table.STRESSED_DECK.get(value.grade, 1.0)
        return Factor(
            symbol="C_LS",
            value=number,
            formula=f"stress-laminated deck, {value.grade}",
            source="AASHTO Guide Specification for stress-laminated decks 1991",
            mark="memory",
        )
    if sharing in ("repetitive", "nail_laminated") and value.kind == "dimension":
        return Factor(
            symbol="C_r",
            value=table.REPETITIVE,
            formula=sharing.replace("_", "-"),
            source="NDS 4.3.9",
            mark="memory" if sharing == "nail_laminated" else "checked-2nd",
        )
    return Factor(symbol="C_r", value=1.0, formula="no load sharing", source="NDS 4.3.9", mark="checked-2nd")


def bending_stress(*, value: DesignValue, service: Service, use: Use, duration: str = "vehicle") -> Allowable:
    """F_b', psi. Raises ``OutsideValidity`` for a wrong size class, a missing maker's factor or E_min."""
    check_size_class(value=value, use=use)
    size = f.size_factor(value=value, width_in=use.width_in, depth_in=use.depth_in)
    found = [
        f.duration_factor(duration=duration),
        wet_factor(value=value, service=service, stress="fb", fb_cf_psi=value.fb_psi * size.value),
        f.temperature_factor(temperature_f=service.temperature_f, wet=service.wet, stress="fb"),
    ]
    if not value.kind.startswith("glulam"):
        found += [size, f.incising_factor(incised=service.incised, stress="fb"), _sharing_factor(value, use.sharing)]
    flat = f.flat_use_factor(value=value, depth_in=use.depth_in)
    if flat is not None:
        found.append(flat)
    stability = _stability(value, service, use, value.fb_psi * prod(factor.value for factor in found))
    if value.kind == "glulam_x":
        volume = f.volume_factor(
            span_ft=use.span_ft, depth_in=use.depth_in, width_in=use.width_in, exponent=value.volume_exponent
        )
        found.append(volume if volume.value <= stability.value else stability)
    else:
        found.append(stability)
    return Allowable(symbol="F_b'", reference_psi=value.fb_psi, factors=tuple(found))


def _stability(value: DesignValue, service: Service, use: Use, fb_star: float) -> Factor:
    if use.unbraced_ft == 0 or use.depth_in <= use.width_in:
        words = "compression edge braced" if use.unbraced_ft == 0 else "not deeper than wide"
        return Factor(symbol="C_L", value=1.0, formula=words, source="NDS 3.3.3", mark="checked-2nd")
    if value.e_min_psi is None:
        raise OutsideValidity(
            name=f"E_min of {value.title}", value="not tabulated", valid="a value in psi", source="NDS 3.3.3"
        )
    wet = wet_factor(value=value, service=service, stress="e").value
    hot = f.temperature_factor(temperature_f=service.temperature_f, wet=service.wet, stress="e").value
    cut = 1.0
    if value.kind == "glulam_x":
        cut = table.GLULAM_SIDEWAYS_E_MIN
    elif value.kind in ("dimension", "timber"):
        cut = f.incising_factor(incised=service.incised, stress="e").value
    return f.beam_stability_factor(
        fb_star_psi=fb_star,
        e_min_psi=value.e_min_psi * wet * hot * cut,
        width_in=use.width_in,
        depth_in=use.depth_in,
        unbraced_ft=use.unbraced_ft,
    )


def _simple(value: DesignValue, service: Service, stress: str) -> list[Factor]:
    found = [
        wet_factor(value=value, service=service, stress=stress),
        f.temperature_factor(temperature_f=service.temperature_f, wet=service.wet, stress=stress),
    ]
    if value.kind in ("dimension", "timber"):
        found.append(f.incising_factor(incised=service.incised, stress=stress))
    return found


def shear_stress(*, value: DesignValue, service: Service, duration: str = "vehicle") -> Allowable:
    """F_v', psi. Values since 2001: no factor for splits (C_H) is applied."""
    found = (f.duration_factor(duration=duration), *_simple(value, service, "fv"))
    return Allowable(symbol="F_v'", reference_psi=value.fv_psi, factors=found)


def bearing_stress(
    *, value: DesignValue, service: Service, length_in: float, end_distance_in: float = 0.0
) -> Allowable:
    """F_c,perp', psi; load duration does not act on it."""
    found = (
        *_simple(value, service, "fc_perp"),
        f.bearing_area_factor(length_in=length_in, end_distance_in=end_distance_in),
    )
    return Allowable(symbol="F_cp'", reference_psi=value.fc_perp_psi, factors=found)


def modulus(*, value: DesignValue, service: Service) -> Allowable:
    """E', psi."""
    return Allowable(symbol="E'", reference_psi=value.e_psi, factors=tuple(_simple(value, service, "e")))
