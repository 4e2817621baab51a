"""What the pressure of a stressed span is worth in a rating (owner policy, ``model``).

At 40 psi and the needed value: full distribution. Between the need and 40 psi: the same, re-tension now. Below the
need laminations may slip or gap: only laminations that run the full span, or whose nails or dowels are on record,
may be rated as a loose nail-laminated deck; butt-jointed ones carry nothing. Below 20 psi closing is recommended.
Unknown counts as absent.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.errors import require_range

SOURCE = "stress-laminated decks, use of pressure in a rating"
TREATMENTS = ("stressed", "loose", "none")


@dataclass(frozen=True, kw_only=True)
class PressureWorth:
    """``treatment`` stressed, loose (nail-laminated, not interconnected) or none (no credit), with the reasons.

    ``need_words`` say where the needed pressure comes from, with its mark; "" where nobody said.
    """

    treatment: str
    pressure_psi: float
    needed_psi: float
    retension_due: bool
    close_recommended: bool
    sentences: tuple[str, ...]
    need_words: str = ""


def pressure_worth(
    *,
    pressure_psi: float | None,
    needed_psi: float | None,
    full_length: bool,
    interconnected: bool,
    floor_psi: float = 40.0,
    closing_psi: float = 20.0,
) -> PressureWorth:
    """Decide the treatment; ``pressure_psi`` None is taken as 0, ``needed_psi`` None as the floor."""
    known = pressure_psi is not None
    pressure = require_range(name="bar pressure", value=pressure_psi if known else 0.0, least=0, most=500, unit="psi",
                             source=SOURCE)  # fmt: skip
    need = floor_psi if needed_psi is None else needed_psi
    require_range(name="needed pressure", value=need, above=0, most=500, unit="psi", source=SOURCE)
    told = [
        f"Least local bar pressure {pressure:.0f} psi against {need:.0f} psi needed."
        if known
        else "No bar force reading in date: the pressure is counted as absent until bars are measured."
    ]
    if pressure >= need:
        treatment = "stressed"
    elif full_length or interconnected:
        treatment = "loose"
        told.append("Below the needed pressure: rated as a nail-laminated deck without interconnection.")
    else:
        treatment = "none"
        told.append(
            "Below the needed pressure, and laminations are butt-jointed (or not shown to run the full span): no load "
            "rating credit. Restrict or close until re-tensioned."
        )
    close = pressure < closing_psi
    if close:
        told.append(f"Below {closing_psi:.0f} psi: closing is recommended until inspected and re-tensioned.")
    retension = pressure < max(floor_psi, need)
    if retension and treatment == "stressed":
        told.append(f"Below {floor_psi:.0f} psi: re-tension is due now.")
    return PressureWorth(
        treatment=treatment,
        pressure_psi=pressure,
        needed_psi=need,
        retension_due=retension,
        close_recommended=close,
        sentences=tuple(told),
    )
