"""Where a sign was seen, in words a driver understands: how far from the structure and in which direction."""

from math import atan2, cos, degrees, hypot, radians

from inventory.models import Structure

FT_PER_DEG_LAT = 364_567.0
"""Feet in one degree of latitude on a sphere of 20,902,231 ft radius (mean radius 6,371 km): close to a bridge the
ellipsoid differs by under one percent."""
FT_PER_MI = 5280.0
DIRECTIONS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def place_words(lon: float | None, lat: float | None, structure: Structure) -> str:
    """'seen 450 ft north-east of the structure'; "" where no place was given."""
    if lon is None or lat is None:
        return ""
    if structure.lon_deg is None or structure.lat_deg is None:
        return f"seen at {lat:.5f}, {lon:.5f}"
    north = (lat - structure.lat_deg) * FT_PER_DEG_LAT
    east = ((lon - structure.lon_deg + 180) % 360 - 180) * FT_PER_DEG_LAT * cos(radians(structure.lat_deg))
    away = hypot(north, east)
    if away < 50:
        return "seen at the structure"
    direction = DIRECTIONS[round(degrees(atan2(east, north)) / 45) % 8]
    far = f"{round(away, -1):,.0f} ft" if away < 2000 else f"{away / FT_PER_MI:,.1f} mi"
    return f"seen {far} {direction} of the structure"
