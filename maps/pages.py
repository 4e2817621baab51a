"""What the maps room hangs on the shared pages: the door to the sheet, ways out of a list, a structure's place."""

from django.http import HttpRequest

from inspections.pages.field_pack_sources import add_pack_source
from inventory.models import Structure
from inventory.pages import Door, ListLink, Section, add_door, add_list_link, add_section
from maps.drawings.locator import locator_svg
from maps.drawings.symbols import symbol_sheet
from maps.geometry import clipped, local_ft, window_about
from maps.queries.lines import lines_about
from maps.queries.marks import shape_of

LOCATOR_HALF_MI = 1.5
PACK_HALF_MI = 2.0


def load_place(request: HttpRequest, structure: Structure) -> dict:
    """The section "Place": where it is in words, numbers and a small drawing."""
    lon, lat = structure.lon_deg, structure.lat_deg
    if lon is None or lat is None:
        return {"drawing": None}
    window = window_about(lon, lat, LOCATOR_HALF_MI)
    lines = lines_about(structure.agency, window)
    standing = getattr(structure, "standing", None)
    condition = standing.condition_class if standing else "not_rated"
    drawing = locator_svg(
        lon_deg=lon,
        lat_deg=lat,
        bearing_deg=structure.bearing_deg,
        symbol=f"deck-{shape_of(structure.system)}-{condition}",
        own_road=structure.road_name,
        window=window,
        lines=lines,
        words=f"Roads and streams within {LOCATOR_HALF_MI:g} miles of {structure.title}",
    )
    return {
        "drawing": drawing,
        "symbols": symbol_sheet(),
        "has_lines": bool(lines),
        "position": f"{lat:.6f}, {lon:.6f}",
    }


def load_pack_map(structure: Structure) -> dict | None:
    """The roads and streams around a structure for a device: a drawing, and the lines in feet east and north of it."""
    lon, lat = structure.lon_deg, structure.lat_deg
    window = window_about(lon, lat, PACK_HALF_MI) if lon is not None and lat is not None else None
    lines = lines_about(structure.agency, window) if window is not None else []
    if not lines:
        return None
    drawing = locator_svg(
        lon_deg=lon,
        lat_deg=lat,
        bearing_deg=structure.bearing_deg,
        symbol="",
        own_road=structure.road_name,
        window=window,
        lines=lines,
        words=f"Roads and streams within {PACK_HALF_MI:g} miles of {structure.title}",
    )
    return {
        "half_mi": PACK_HALF_MI,
        "svg": str(drawing),
        "lines": [
            {"kind": line.kind, "name": line.name, "points": local_ft(part, (lon, lat))}
            for line in lines
            for part in clipped(line.wkb, window)
        ],
    }


def hang_on_pages() -> None:
    """Called once when the site starts."""
    add_pack_source("map", load_pack_map)
    add_door(Door(order=0, label="County sheet", url_name="maps:county"))
    add_section(Section(key="place", order=15, title="Place", template="maps/place.html", load=load_place, aside=True))
    add_list_link(ListLink(order=0, label="County sheet", url_name="maps:county"))
    for order, (form, label) in enumerate(
        (("csv", "CSV"), ("xlsx", "XLSX"), ("geojson", "GeoJSON"), ("gpkg", "GeoPackage")), start=1
    ):
        add_list_link(ListLink(order=order, label=label, url_name="maps:export", kwargs=(("form", form),)))
