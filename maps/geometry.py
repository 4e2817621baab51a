"""Shapes on the county sheet: points, lines and bounds in degrees of longitude and latitude, WGS 84.

Plain values in, plain values out; no Django. What cannot be a shape on the ground is refused with a sentence
(`NotOnTheMap`), never mended silently. Lengths are on the ellipsoid (pyproj's Geod), never in degrees.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from pyproj import Geod

ELLIPSOID = Geod(ellps="WGS84")
METRES_PER_FOOT = 0.3048  # international foot, exact [memory: NIST SP 811]
METRES_PER_MILE = 1609.344  # international mile, exact [memory: NIST SP 811]


class NotOnTheMap(ValueError):
    """A refusal; its text is the sentence a person reads."""


@dataclass(frozen=True)
class Bounds:
    """A window in degrees. West may be greater than east: the window then crosses the 180th meridian.

    That is how RFC 7946, section 5.2, writes such a window [memory].
    """

    west: float
    south: float
    east: float
    north: float

    @property
    def crosses_180(self) -> bool:
        return self.west > self.east

    def grown(self, share: float) -> "Bounds":
        """The window with a margin of `share` of its size on every side, kept on the earth."""
        width = (self.east - self.west) % 360 or 0.02
        height = self.north - self.south or 0.02
        return Bounds(
            max(self.west - width * share, -180.0) if not self.crosses_180 else self.west,
            max(self.south - height * share, -90.0),
            min(self.east + width * share, 180.0) if not self.crosses_180 else self.east,
            min(self.north + height * share, 90.0),
        )

    def as_text(self) -> str:
        return f"{self.west:.6f},{self.south:.6f},{self.east:.6f},{self.north:.6f}"


def bounds_from_text(text: str) -> Bounds:
    """Read `west,south,east,north`, the order of RFC 7946, section 5 [memory]."""
    how = "Write bbox=west,south,east,north in degrees, for example bbox=-97.6,46.3,-97.4,46.5."
    parts = text.split(",")
    if len(parts) != 4:
        raise NotOnTheMap(f"The bbox has {len(parts)} numbers where four are needed. {how}")
    try:
        west, south, east, north = (float(part) for part in parts)
    except ValueError:
        raise NotOnTheMap(f'The bbox "{text[:80]}" is not four numbers. {how}') from None
    for value, name, limit in ((west, "west", 180), (east, "east", 180), (south, "south", 90), (north, "north", 90)):
        if not abs(value) <= limit:  # written so that NaN is refused too
            raise NotOnTheMap(f"The bbox's {name} edge, {value:g}, is outside -{limit} to {limit} degrees. {how}")
    if south > north:
        raise NotOnTheMap(f"The bbox's south edge, {south:g}, lies north of its north edge, {north:g}. {how}")
    return Bounds(west, south, east, north)


@dataclass(frozen=True, kw_only=True)
class DrawnLine:
    """A line ready to be stored: WKB in longitude and latitude, and what is written beside it."""

    wkb: bytes
    bounds: Bounds
    name: str = ""
    road_class: str = ""
    surface: str = ""


def drawn_line(shape: object, *, name: str = "", road_class: str = "", surface: str = "") -> DrawnLine:
    """Make a line from coordinate pairs, WKB bytes or a shapely geometry; an outline's area becomes its edge.

    Raises `NotOnTheMap` with the reason and what to do.
    """
    geometry = _geometry(shape)
    if reason := refusal_of(geometry):
        raise NotOnTheMap(reason)
    geometry = shapely.force_2d(geometry)
    if geometry.geom_type in ("Polygon", "MultiPolygon"):
        geometry = geometry.boundary
    return DrawnLine(
        wkb=shapely.to_wkb(geometry),
        bounds=Bounds(*(float(edge) for edge in geometry.bounds)),
        name=name,
        road_class=road_class,
        surface=surface,
    )


def _geometry(shape: object) -> shapely.Geometry:
    if isinstance(shape, shapely.Geometry):
        return shape
    try:
        if isinstance(shape, bytes | memoryview | bytearray):
            return shapely.from_wkb(bytes(shape))
        points = [(float(point[0]), float(point[1])) for point in shape]
    except (shapely.GEOSException, TypeError, ValueError, IndexError):
        raise NotOnTheMap(
            "The line is not a list of longitude and latitude pairs. Check the file it came from."
        ) from None
    if len(points) < 2:
        raise NotOnTheMap(f"The line has {len(points)} points; a line needs at least two.")
    return shapely.LineString(points)


def refusal_of(geometry: shapely.Geometry) -> str | None:
    """Why a geometry cannot be a line of the map; None where it can."""
    kinds = ("LineString", "MultiLineString", "Polygon", "MultiPolygon", "LinearRing")
    if geometry.geom_type not in kinds:
        return f"The shape is a {geometry.geom_type}; give a line, or an area whose edge is to be drawn."
    if geometry.is_empty:
        return "The line has no points. Leave it out, or draw it again."
    coordinates = shapely.get_coordinates(geometry)
    for lon, lat in coordinates:
        if reason := place_refusal(float(lon), float(lat)):
            return reason
    if len(np.unique(coordinates, axis=0)) < 2:
        return "All points of the line are the same place; a line needs two different ones."
    if np.abs(np.diff(coordinates[:, 0])).max() > 180 and geometry.geom_type in ("LineString", "LinearRing"):
        return "The line jumps over the 180th meridian; split it there into two lines."
    if not geometry.is_valid:
        return f"The shape is not valid: {shapely.is_valid_reason(geometry)}. Mend it in the file it came from."
    return None


def place_refusal(lon_deg: float, lat_deg: float) -> str | None:
    """Why a pair of numbers is no place on earth; None where it is one."""
    if not (math.isfinite(lon_deg) and math.isfinite(lat_deg)):
        return "A coordinate is not a number. Give longitude and latitude in degrees."
    if abs(lat_deg) <= 90 and abs(lon_deg) <= 180:
        return None
    if abs(lat_deg) > 180 or abs(lon_deg) > 180:
        hint = "these look like metres or feet: write the file in degrees, WGS 84 (EPSG:4326)"
    else:
        hint = "longitude and latitude look exchanged: longitude comes first"
    return f"The point {lon_deg:g}, {lat_deg:g} is not longitude (-180 to 180) and latitude (-90 to 90); {hint}."


def lines_of(wkb: bytes | memoryview) -> list[list[tuple[float, float]]]:
    """The coordinate lists of stored WKB: one for a line, several for a line in parts."""
    geometry = shapely.from_wkb(bytes(wkb))
    return [[(x, y) for x, y in part.coords] for part in shapely.get_parts(geometry)]


def length_m(wkb: bytes | memoryview) -> float:
    """Length of a stored line in metres along the WGS 84 ellipsoid."""
    return sum(ELLIPSOID.line_length([lon for lon, _ in part], [lat for _, lat in part]) for part in lines_of(wkb))


def length_mi(wkb: bytes | memoryview) -> float:
    """Length of a stored line in miles along the WGS 84 ellipsoid."""
    return length_m(wkb) / METRES_PER_MILE


def distance_m(start: tuple[float, float], end: tuple[float, float]) -> float:
    """Shortest way over the ground between two places (longitude, latitude), in metres."""
    return float(ELLIPSOID.inv(start[0], start[1], end[0], end[1])[2])


def window_about(lon_deg: float, lat_deg: float, half_mi: float) -> Bounds:
    """A window reaching `half_mi` from a place to each side, measured on the ellipsoid."""
    reach_m = half_mi * METRES_PER_MILE
    edges = [ELLIPSOID.fwd(lon_deg, lat_deg, azimuth, reach_m) for azimuth in (270, 180, 90, 0)]
    return Bounds(edges[0][0], edges[1][1], edges[2][0], edges[3][1])


def local_ft(part: Sequence[tuple[float, float]], origin: tuple[float, float]) -> list[list[int]]:
    """Places (longitude, latitude) as whole feet [east, north] of an origin, by azimuth and distance on the ellipsoid.

    Within a few miles the plane is as good as the ground: distances differ by less than the rounding [computed].
    """
    lons, lats = [lon for lon, _ in part], [lat for _, lat in part]
    azimuths, _back, metres = ELLIPSOID.inv([origin[0]] * len(part), [origin[1]] * len(part), lons, lats)
    feet, turned = np.asarray(metres) / METRES_PER_FOOT, np.radians(azimuths)
    return [[round(e), round(n)] for e, n in zip(feet * np.sin(turned), feet * np.cos(turned), strict=True)]


def clipped(wkb: bytes | memoryview, window: Bounds) -> list[list[tuple[float, float]]]:
    """The parts of a stored line that lie in the window, as coordinate lists."""
    geometry = shapely.from_wkb(bytes(wkb))
    inside = shapely.clip_by_rect(geometry, window.west, window.south, window.east, window.north)
    return [[(x, y) for x, y in part.coords] for part in shapely.get_parts(inside) if part.geom_type == "LineString"]


def geojson_texts(wkbs: Sequence[bytes], *, tolerance_deg: float = 0.0, decimals: int = 6) -> Iterable[str]:
    """GeoJSON text of each stored line, thinned to `tolerance_deg` (Douglas and Peucker) and rounded.

    Six decimals of a degree are about four inches on the ground.
    """
    if not wkbs:
        return []
    geometries = shapely.from_wkb([bytes(wkb) for wkb in wkbs])
    if tolerance_deg > 0:
        geometries = shapely.simplify(geometries, tolerance_deg, preserve_topology=False)
    rounded = shapely.transform(geometries, lambda points: np.round(points, decimals))
    return shapely.to_geojson(rounded)
