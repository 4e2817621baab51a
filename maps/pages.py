"""What the maps room hangs on the shared pages: the door to the sheet, ways out of a list, a structure's place."""

from django.http import HttpRequest

from inventory.models import Structure
from inventory.pages import Door, ListLink, Section, add_door, add_list_link, add_section
from maps.drawings.locator import locator_svg
from maps.drawings.symbols import symbol_sheet
from maps.geometry import window_about
from maps.queries.lines import lines_about
from maps.queries.marks import shape_of

LOCATOR_HALF_MI = 1.5


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


def hang_on_pages() -> None:
    """Called once when the site starts."""
    add_door(Door(order=0, label="County sheet", url_name="maps:county"))
    add_section(Section(key="place", order=15, title="Place", template="maps/place.html", load=load_place, aside=True))
    add_list_link(ListLink(order=0, label="County sheet", url_name="maps:county"))
    for order, (form, label) in enumerate(
        (("csv", "CSV"), ("xlsx", "XLSX"), ("geojson", "GeoJSON"), ("gpkg", "GeoPackage")), start=1
    ):
        add_list_link(ListLink(order=order, label=label, url_name="maps:export", kwargs=(("form", form),)))
