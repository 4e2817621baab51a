"""Wheel lines on a stringer for bending, and the live shear rule for wood."""

from __future__ import annotations

from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.tables import wheel_lines as table

from .lever import exterior_lever, interior_lever
from .share import Share


def floor_row(*, deck_kind: str, deck_thickness_in: float) -> str:
    """The row of the table for a deck: actual 5-1/2 in nail-laminated and 5 in glulam count as 6 in nominal."""
    if deck_kind in ("nail_laminated", "glulam_panel"):
        thick = {"nail_laminated": table.NAIL_LAMINATED_6_FROM_IN, "glulam_panel": table.GLULAM_6_FROM_IN}[deck_kind]
        return f"{deck_kind}_{6 if deck_thickness_in >= thick else 4}"
    if deck_kind in table.STRINGER_DIVISORS:
        return deck_kind
    raise OutsideValidity(
        name="deck on stringers",
        value=deck_kind or "not given",
        valid="plank, nail_laminated, glulam_panel, stress_laminated",
        source=table.SOURCE,
    )


def interior_share(*, deck_kind: str, deck_thickness_in: float, spacing_ft: float, lanes: int) -> Share:
    """S/D wheel lines on an interior stringer for bending; beyond the limit on S the simple-beam reaction.

    Range: spacing above 0 to 20 ft; lanes 1 and more. Source: AASHTO Standard Specifications Table 3.23.1 (memory).
    """
    require_range(name="stringer spacing", value=spacing_ft, above=0, most=20, unit="ft", source=table.SOURCE)
    require_range(name="loaded lanes", value=lanes, least=1, most=8, source=table.SOURCE)
    row = floor_row(deck_kind=deck_kind, deck_thickness_in=deck_thickness_in)
    one, more, one_limit, more_limit = table.STRINGER_DIVISORS[row]
    divisor, limit = (one, one_limit) if lanes == 1 else (more, more_limit)
    if limit is not None and spacing_ft > limit:
        return interior_lever(spacing_ft=spacing_ft, lanes=lanes)
    words = row.replace("_", " ")
    stressed = row == "stress_laminated"
    return Share(
        wheel_lines=spacing_ft / divisor,
        rule=f"S/{divisor:g}, {words} deck, {'one lane' if lanes == 1 else 'two or more lanes'}",
        source="AASHTO LRFD Table 4.6.2.2.2a-1 in wheel lines" if stressed else table.SOURCE,
        mark="model" if stressed else "memory",
    )


def exterior_share(*, interior: Share, spacing_ft: float, curb_offset_ft: float, lanes: int) -> Share:
    """Outside stringer: the lever reaction, never less than the interior value.

    Source: AASHTO Standard Specifications 3.23.2.3 (memory): an outside stringer shall not be weaker than an inside
    one. A deck that is continuous over the first inner stringer loads it even where the lever gives nothing.
    """
    lever = exterior_lever(spacing_ft=spacing_ft, curb_offset_ft=curb_offset_ft, lanes=lanes)
    if lever.wheel_lines >= interior.wheel_lines:
        return lever
    return Share(
        wheel_lines=interior.wheel_lines,
        rule=f"interior value {interior.rule} (lever gives {lever.wheel_lines:.3f})",
        source=interior.source,
        mark=interior.mark,
    )


def wood_shear_lb(*, wheel_line_shear_lb: float, bending_wheel_lines: float) -> float:
    """V_LL = 0.50 (0.60 V_LU + V_LD), lb; V_LU from one wheel line, V_LD = V_LU times the bending share.

    At min(3 d, L/4) from the support. Source: AASHTO Standard Specifications 13.6.5 (memory).
    """
    source = "AASHTO Standard Specifications 13.6.5"
    require_range(name="shear of a wheel line", value=wheel_line_shear_lb, least=0, unit="lb", source=source)
    require_range(name="wheel lines", value=bending_wheel_lines, least=0, source=source)
    return 0.50 * (0.60 * wheel_line_shear_lb + wheel_line_shear_lb * bending_wheel_lines)
