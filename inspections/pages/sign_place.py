"""Where a sign was seen, in words a driver understands: how far from the structure and in which direction."""

from inspections.rules.nearness import Place, away_from
from inventory.models import Structure

FT_PER_MI = 5280.0
AT_THE_STRUCTURE_FT = 50.0  # a telephone knows its place no better [model]


def place_words(lon: float | None, lat: float | None, structure: Structure) -> str:
    """'seen 450 ft north-east of the structure'; "" where no place was given."""
    if lon is None or lat is None:
        return ""
    if structure.lon_deg is None or structure.lat_deg is None:
        return f"seen at {lat:.5f}, {lon:.5f}"
    here = Place(key="structure", lon_deg=structure.lon_deg, lat_deg=structure.lat_deg)
    away_mi, direction = away_from(here, Place(key="sign", lon_deg=lon, lat_deg=lat))
    away_ft = away_mi * FT_PER_MI
    if away_ft < AT_THE_STRUCTURE_FT:
        return "seen at the structure"
    far = f"{round(away_ft, -1):,.0f} ft" if away_ft < 2000 else f"{away_mi:,.1f} mi"
    return f"seen {far} {direction} of the structure"
