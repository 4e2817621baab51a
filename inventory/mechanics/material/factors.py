"""Single adjustment factors, each with the clause it comes from and its mark."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.tables import adjustment as table
from inventory.mechanics.tables.design_values import DesignValue


@dataclass(frozen=True, kw_only=True)
class Factor:
    """An adjustment factor: symbol, value, formula as text, clause, mark."""

    symbol: str
    value: float
    formula: str
    source: str
    mark: str


def duration_factor(*, duration: str) -> Factor:
    """C_D: 0.90 permanent, 1.15 vehicle load (AASHTO Standard Specifications Table 13.5.5A, memory)."""
    if duration not in table.DURATION:
        raise OutsideValidity(name="load duration", value=duration, valid="permanent, vehicle", source="Table 13.5.5A")
    words = "dead load alone" if duration == "permanent" else "two months, vehicle load"
    return Factor(
        symbol="C_D",
        value=table.DURATION[duration],
        formula=words,
        source="AASHTO Standard Specifications Table 13.5.5A",
        mark="memory",
    )


def temperature_factor(*, temperature_f: float, wet: bool, stress: str) -> Factor:
    """C_t for sustained temperature up to 150 F (NDS 2.3.3, checked-2nd)."""
    require_range(name="service temperature", value=temperature_f, least=-80, most=150, unit="F", source="NDS 2.3.3")
    for limit, dry_value, wet_value, e_value in table.TEMPERATURE:
        if temperature_f <= limit:
            value = e_value if stress == "e" else (wet_value if wet else dry_value)
            break
    return Factor(symbol="C_t", value=value, formula=f"up to {limit:g} F", source="NDS 2.3.3", mark="checked-2nd")


def incising_factor(*, incised: bool, stress: str) -> Factor:
    """C_i on sawn wood (NDS Table 4.3.8, checked-2nd)."""
    value = table.INCISED[stress] if incised else 1.0
    words = "incised" if incised else "not incised"
    return Factor(symbol="C_i", value=value, formula=words, source="NDS Table 4.3.8", mark="checked-2nd")


def size_factor(*, value: DesignValue, width_in: float, depth_in: float) -> Factor:
    """C_F on F_b from the original sizes: width is the thickness of the piece, depth its wide face.

    2 to 4 in thick by table (NDS Supplement 4A, 4B); 5 in and thicker (12/d)^(1/9) above 12 in (NDS 4.3.6);
    composites (12/d)^x, not above 1 (maker-typical). All checked-2nd.
    """
    if value.kind == "timber":
        number = (12.0 / depth_in) ** (1.0 / 9.0) if depth_in > 12.0 else 1.0
        return _size(number, "(12/d)^(1/9), not above 1", "NDS 4.3.6")
    if value.kind in table.COMPOSITE_DEPTH_EXPONENT:
        exponent = table.COMPOSITE_DEPTH_EXPONENT[value.kind]
        return _size(
            min(1.0, (12.0 / depth_in) ** exponent), f"(12/d)^{exponent}, not above 1", "maker's typical value"
        )
    if value.kind != "dimension":
        return _size(1.0, "does not apply to glulam", "NDS 5.3")
    four = width_in > 3.0
    if value.size_factor_in_value:
        number = 0.9 if depth_in > 12.0 else (1.1 if four and depth_in > 7.0 else 1.0)
        return _size(number, "already in the value; 1.1 for 4 in thick, 8 in and wider; 0.9 over 12 in", "NDS Supp. 4B")
    for nominal, two, thick in table.SIZE_BENDING:
        if depth_in <= nominal:
            return _size(thick if four else two, f"nominal width {nominal:g} in", "NDS Supplement 4A")
    return _size(table.SIZE_BENDING_WIDER[1 if four else 0], "nominal width 14 in and more", "NDS Supplement 4A")


def _size(number: float, formula: str, source: str) -> Factor:
    return Factor(symbol="C_F", value=number, formula=formula, source=source, mark="checked-2nd")


def volume_factor(*, span_ft: float, depth_in: float, width_in: float, exponent: float | None) -> Factor:
    """C_V = (21/L)^(1/x) (12/d)^(1/x) (5.125/b)^(1/x) <= 1; L ft between zero moments, b not above 10.75 in.

    x = 20 southern pine, 10 others; None takes 10, which is never above the other. NDS 5.3.6, checked-2nd.
    """
    for name, number, unit in (("span", span_ft, "ft"), ("depth", depth_in, "in"), ("width", width_in, "in")):
        require_range(name=name, value=number, above=0, unit=unit, source="NDS 5.3.6")
    x = exponent or 10.0
    number = min(1.0, (21.0 / span_ft * 12.0 / depth_in * 5.125 / min(width_in, 10.75)) ** (1.0 / x))
    words = f"(21/L)^(1/{x:g}) (12/d)^(1/{x:g}) (5.125/b)^(1/{x:g}), not above 1"
    return Factor(symbol="C_V", value=number, formula=words, source="NDS 5.3.6", mark="checked-2nd")


def effective_length_in(*, unbraced_ft: float, depth_in: float) -> float:
    """l_e, in, by the uniform-load row: 2.06 l_u below l_u/d = 7, 1.63 l_u + 3 d up to 14.3, 1.84 l_u above.

    NDS 3.3.3, checked-2nd.
    """
    require_range(name="unbraced length", value=unbraced_ft, least=0, unit="ft", source="NDS 3.3.3")
    free = unbraced_ft * 12.0
    ratio = free / depth_in
    if ratio < 7.0:
        return 2.06 * free
    return 1.63 * free + 3.0 * depth_in if ratio <= 14.3 else 1.84 * free


def sideways_modulus_ratio(value: DesignValue) -> float:
    """Part of E that resists buckling sideways: a low estimate for glulam beams (model), else the whole."""
    return table.GLULAM_SIDEWAYS_E_MIN if value.kind == "glulam_x" else 1.0


def beam_stability_factor(
    *, fb_star_psi: float, e_min_psi: float, width_in: float, depth_in: float, unbraced_ft: float
) -> Factor:
    """C_L of a rectangular beam whose compression edge is free over ``unbraced_ft`` (NDS 3.3.3, checked-2nd).

    R_B = sqrt(l_e d / b2) <= 50; F_bE = 1.20 E_min' / R_B2; l_e by the uniform-load row.
    """
    for name, number, unit in (
        ("F_b*", fb_star_psi, "psi"),
        ("E_min'", e_min_psi, "psi"),
        ("width", width_in, "in"),
        ("depth", depth_in, "in"),
    ):
        require_range(name=name, value=number, above=0, unit=unit, source="NDS 3.3.3")
    effective = effective_length_in(unbraced_ft=unbraced_ft, depth_in=depth_in)
    slenderness = sqrt(effective * depth_in / width_in**2)
    require_range(name="beam slenderness R_B", value=slenderness, least=0, most=50, source="NDS 3.3.3.7")
    if slenderness == 0:
        return Factor(symbol="C_L", value=1.0, formula="braced", source="NDS 3.3.3", mark="checked-2nd")
    a = 1.20 * e_min_psi / slenderness**2 / fb_star_psi
    number = (1.0 + a) / 1.9 - sqrt(((1.0 + a) / 1.9) ** 2 - a / 0.95)
    words = f"R_B = {slenderness:.3f}, F_bE/F_b* = {a:.3f}"
    return Factor(symbol="C_L", value=number, formula=words, source="NDS 3.3.3", mark="checked-2nd")


def flat_use_factor(*, value: DesignValue, depth_in: float) -> Factor | None:
    """C_fu = (12/d)^(1/9) of a glulam panel bent about y-y, 3 in <= d < 12 in (NDS 5.3.7, checked-2nd); else None."""
    if value.kind != "glulam_y":
        return None
    require_range(name="panel thickness", value=depth_in, least=3, unit="in", source="NDS 5.3.7")
    number = (12.0 / depth_in) ** (1.0 / 9.0) if depth_in < 12.0 else 1.0
    return Factor(
        symbol="C_fu", value=number, formula="(12/d)^(1/9), d < 12 in", source="NDS 5.3.7", mark="checked-2nd"
    )


def bearing_area_factor(*, length_in: float, end_distance_in: float = 0.0) -> Factor:
    """C_b = (l_b + 0.375)/l_b for l_b below 6 in and at least 3 in from the end; else 1 (NDS 3.10.4, checked-2nd)."""
    require_range(name="bearing length", value=length_in, above=0, unit="in", source="NDS 3.10.4")
    number = (length_in + 0.375) / length_in if length_in < 6.0 and end_distance_in >= 3.0 else 1.0
    words = "(l_b + 0.375)/l_b" if number > 1 else "1 at an end bearing or from 6 in"
    return Factor(symbol="C_b", value=number, formula=words, source="NDS 3.10.4", mark="checked-2nd")
