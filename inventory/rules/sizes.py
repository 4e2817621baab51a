"""Which sizes and dates an entry may have: every function returns field -> sentence, empty where nothing is wrong.

The upper limits are our own: far above any timber span of a county road, low enough to catch a slipped decimal point or
inches typed for feet (common practice, no source).
"""

from datetime import date
from math import isfinite

from inventory.vocabulary.structures import ON_STRINGERS, WITH_BARS, MemberRole, System

# field: (name, least, most, unit); a value at the lower limit is refused where "above" stands.
STRUCTURE_LIMITS = {
    "length_ft": ("The structure length", "above", 0, 2000, "ft"),
    "max_span_ft": ("The longest span", "above", 0, 500, "ft"),
    "span_count": ("The number of spans", "from", 1, 100, ""),
    "roadway_width_ft": ("The roadway width", "above", 0, 200, "ft"),
    "deck_width_ft": ("The deck width", "above", 0, 200, "ft"),
    "lanes": ("The number of lanes", "from", 1, 12, ""),
    "skew_deg": ("The skew", "from", -75, 75, "degrees"),
    "bearing_deg": ("The bearing of the roadway", "from", 0, 360, "degrees"),
    "lon_deg": ("The longitude", "from", -180, 180, "degrees"),
    "lat_deg": ("The latitude", "from", -90, 90, "degrees"),
    "adt": ("The daily traffic", "from", 0, 500_000, "vehicles"),
    "adtt": ("Trucks a day, one direction", "from", 0, 100_000, ""),
    "truck_pct": ("The share of trucks", "from", 0, 100, "percent"),
    "detour_mi": ("The detour", "from", 0, 500, "miles"),
    "interval_months": ("The inspection interval", "from", 1, 120, "months"),
}
SPAN_LIMITS = {
    "index": ("The span's number", "from", 1, 100, ""),
    "length_ft": ("The span", "above", 0, 500, "ft"),
    "deck_thickness_in": ("The deck thickness", "above", 0, 48, "in"),
    "lanes_loaded": ("The lanes loaded", "from", 1, 12, ""),
    "skew_deg": ("The skew", "from", -75, 75, "degrees"),
    "joint_every": ("The laminations of which one is jointed", "from", 2, 100, ""),
    "camber_in": ("The camber", "from", -24, 48, "in"),
}
MEMBER_LIMITS = {
    "count": ("The count", "from", 1, 2000, ""),
    "width_in": ("The width", "above", 0, 120, "in"),
    "depth_in": ("The depth", "above", 0, 120, "in"),
    "spacing_ft": ("The spacing", "above", 0, 40, "ft"),
    "first_offset_ft": ("The offset of the first member", "from", -20, 200, "ft"),
    "bearing_length_in": ("The bearing length", "above", 0, 120, "in"),
    "unbraced_ft": ("The unbraced length", "from", 0, 200, "ft"),
    "support_width_in": ("The width of a support's top", "above", 0, 120, "in"),
    "fb_psi": ("The bending value", "above", 0, 10_000, "psi"),
    "fv_psi": ("The shear value", "above", 0, 2_000, "psi"),
    "fc_perp_psi": ("The compression value", "above", 0, 5_000, "psi"),
    "e_psi": ("The modulus of elasticity", "from", 100_000, 5_000_000, "psi"),
}
STRESSING_LIMITS = {
    "bar_diameter_in": ("The bar diameter", "above", 0, 4, "in"),
    "bar_area_in2": ("The net bar area", "above", 0, 12, "in2"),
    "fpu_ksi": ("The tensile strength", "from", 50, 300, "ksi"),
    "spacing_in": ("The bar spacing", "above", 0, 240, "in"),
    "stressed_depth_in": ("The depth the bars squeeze", "above", 0, 60, "in"),
    "design_force_lb": ("The design force", "above", 0, 300_000, "lb"),
    "needed_pressure_psi": ("The needed pressure", "above", 0, 500, "psi"),
    "plate_width_in": ("The plate width", "above", 0, 60, "in"),
    "plate_height_in": ("The plate height", "above", 0, 60, "in"),
    "plate_thickness_in": ("The plate thickness", "above", 0, 6, "in"),
    "nut_plate_in": ("The width of the nut's own plate", "above", 0, 24, "in"),
    "plate_yield_ksi": ("The yield strength of the plate", "from", 20, 120, "ksi"),
    "channel_height_in": ("The height of the steel channel", "above", 0, 60, "in"),
    "channel_length_in": ("The length of channel for one bar", "above", 0, 240, "in"),
    "bar_count": ("The number of bars", "from", 1, 500, ""),
    "first_station_ft": ("The first bar's station", "from", -2, 500, "ft"),
}
LAYER_LIMITS = {
    "thickness_in": ("The thickness", "from", 0, 48, "in"),
    "unit_weight_pcf": ("The unit weight", "above", 0, 250, "lb/ft3"),
}
OLDEST_YEAR = 1700


def limit_faults(values: dict, limits: dict) -> dict[str, str]:
    """Every value given must be a finite number within its limits; what is left out is not judged here."""
    faults = {}
    for field, (name, edge, least, most, unit) in limits.items():
        value = values.get(field)
        if value is None:
            continue
        unit_words = f" {unit}" if unit else ""
        if not isfinite(value) or value < least or value > most or (edge == "above" and value == least):
            reach = f"above {least:g}" if edge == "above" else f"from {least:g}"
            faults[field] = f"{name} must be {reach} to {most:g}{unit_words}; {value:g} was entered. Correct it."
    return faults


def date_faults(values: dict, names: dict[str, str], as_of: date) -> dict[str, str]:
    """Dates lie between 1700 and today."""
    faults = {}
    for field, name in names.items():
        value = values.get(field)
        if value is not None and value > as_of:
            faults[field] = f"{name} lies after today ({as_of:%d %b %Y}). Enter the day it happened."
        elif value is not None and value.year < OLDEST_YEAR:
            faults[field] = f"{name} lies before {OLDEST_YEAR}. Correct the year."
    return faults


def structure_faults(values: dict, as_of: date) -> dict[str, str]:
    """Sizes, years and position of a structure's own fields."""
    faults = limit_faults(values, STRUCTURE_LIMITS)
    if not (values.get("number") or "").strip():
        faults["number"] = "Enter the structure number as on the State's record."
    for field, name in (("year_built", "The year built"), ("year_reconstructed", "The year rebuilt")):
        year = values.get(field)
        if year is not None and not OLDEST_YEAR <= year <= as_of.year + 5:
            faults[field] = f"{name} must lie between {OLDEST_YEAR} and {as_of.year + 5}; {year} was entered."
    if values.get("adt_year") is not None and not 1900 <= values["adt_year"] <= as_of.year:
        faults["adt_year"] = f"The year of the traffic count must lie between 1900 and {as_of.year}."
    built, rebuilt = values.get("year_built"), values.get("year_reconstructed")
    if built and rebuilt and rebuilt < built:
        faults["year_reconstructed"] = f"It cannot be rebuilt in {rebuilt}, before it was built in {built}."
    if (values.get("lon_deg") is None) != (values.get("lat_deg") is None):
        faults["lat_deg"] = "Enter both longitude and latitude, or neither."
    deck, roadway = values.get("deck_width_ft"), values.get("roadway_width_ft")
    if deck and roadway and roadway > deck:
        faults["roadway_width_ft"] = f"The roadway ({roadway:g} ft) cannot be wider than the deck ({deck:g} ft)."
    return faults


def span_faults(values: dict) -> dict[str, str]:
    """Sizes of a span, and that only stringers are recorded as running through over a pier."""
    faults = limit_faults(values, SPAN_LIMITS)
    if values.get("continuous_with_next") and values.get("system") not in ON_STRINGERS:
        faults["continuous_with_next"] = (
            "Only stringers are rated as running through over a pier. Leave this open, and have the engineer rate the "
            "spans if the deck itself runs through."
        )
    return faults


def member_faults(values: dict, deck_width_ft: float | None) -> dict[str, str]:
    """Sizes of a member group, and that it fits on the deck."""
    faults = limit_faults(values, MEMBER_LIMITS)
    spacing, count = values.get("spacing_ft"), values.get("count") or 1
    if deck_width_ft and spacing and not faults:
        reach = (values.get("first_offset_ft") or 0) + (count - 1) * spacing
        if reach > deck_width_ft + 1:
            faults["spacing_ft"] = (
                f"{count} members at {spacing:g} ft reach {reach:.1f} ft across, but the deck is {deck_width_ft:g} ft "
                "wide. Correct the count, the spacing, the offset or the deck width."
            )
    if values.get("role") == MemberRole.CAP:
        faults |= _cap_faults(values)
    width = values.get("width_in")
    if values.get("role") in ("stringer", "web") and spacing and width and not faults and spacing * 12 < width:
        faults["spacing_ft"] = (
            f"Members {width:g} in wide at {spacing:g} ft would overlap; the spacing, centre to centre, is at least "
            f"{width / 12:.2f} ft. Correct one of them."
        )
    given = [values.get(field) for field in ("fb_psi", "fv_psi", "fc_perp_psi", "e_psi")]
    if any(value is not None for value in given) and not (values.get("value_source") or "").strip():
        faults["value_source"] = "Say where the design values come from: table and edition, or the maker's report."
    return faults


def _cap_faults(values: dict) -> dict[str, str]:
    """A cap stands on two piles or more at one end of its span."""
    faults = {}
    if not values.get("at_end"):
        faults["at_end"] = "Say which end of the span the cap holds, near or far."
    if (values.get("count") or 0) < 2:
        faults["count"] = "For a cap, enter the number of piles under it, two or more."
    return faults


def stressing_faults(values: dict, *, system: str, length_ft: float) -> dict[str, str]:
    """Bars of a span: sizes, that the span is of a stressed kind, and that every bar lies on it."""
    faults = limit_faults(values, STRESSING_LIMITS)
    if system not in WITH_BARS:
        kind = System.label_of(system).lower()
        faults[""] = f"This span is recorded as {kind}, which has no bars. Change the span's system first."
    diameter, area = values.get("bar_diameter_in"), values.get("bar_area_in2")
    if diameter and area and not faults and area > 0.7854 * diameter**2 * 1.1:
        faults["bar_area_in2"] = (
            f"A bar of {diameter:g} in has at most {0.7854 * diameter**2:.2f} in2 of steel; {area:g} was entered."
        )
    if values.get("design_force_lb") is not None and not (values.get("design_source") or "").strip():
        faults["design_source"] = "Say where the design force comes from: the design sheet or the engineer."
    count, first, spacing = values.get("bar_count"), values.get("first_station_ft"), values.get("spacing_in")
    if count and first is not None and spacing and not faults:
        last = first + (count - 1) * spacing / 12
        if last > length_ft + 2:
            faults["bar_count"] = (
                f"{count} bars at {spacing:g} in from {first:g} ft end at {last:.1f} ft, beyond the span of "
                f"{length_ft:g} ft. Correct the count, the spacing or the first station."
            )
    return faults


def layer_faults(values: dict, as_of: date) -> dict[str, str]:
    return limit_faults(values, LAYER_LIMITS) | date_faults(values, {"laid_on": "The day it was laid"}, as_of)
