"""Readings the loss fit must not take for loss of force by the wood's creep, and why.

Below freezing with wet wood the force is low and comes back on warming (Mn/DOT 1998-03, FPL-RP-605, checked); such a
reading stays in the rating, since the deck is as slack as it reads [model, owner policy for the limits].
"""

FROST = "read in frost with wet wood: the force comes back on warming"
FROST_UNKNOWN = "read in frost, moisture not known, so taken as wet: the force comes back on warming"
SAME_DAY = "read on the day of a pull, before or after it is not known"
BEFORE = "read before the first stressing on record"


def frost_reason(
    *, wood_temp_f: float | None, moisture_pct: float | None, frost_below_f: float, wet_above_pct: float
) -> str:
    """Why a reading is left out of the fit: wood below the frost limit and wet, or wet for all that is known; ""."""
    if wood_temp_f is None or wood_temp_f >= frost_below_f:
        return ""
    if moisture_pct is None:
        return FROST_UNKNOWN
    return FROST if moisture_pct > wet_above_pct else ""


SHORT = {FROST: "frost", FROST_UNKNOWN: "frost", SAME_DAY: "day of a pull", BEFORE: "before stressing"}
"""The reason in a word or two, for a drawing."""
