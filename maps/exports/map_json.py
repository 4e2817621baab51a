"""GeoJSON (RFC 7946 [memory]) for the county sheet: structures, groups of structures, drawn lines."""

import json
import math
from collections.abc import Callable, Sequence

from maps.drawings.symbols import symbol_words, turn_deg
from maps.geometry import Bounds, geojson_texts
from maps.queries.lines import LinesInView
from maps.queries.marks import Group, Mark

MEDIA_TYPE = "application/geo+json"  # RFC 7946, section 12 [memory]


def marks_geojson(marks: Sequence[Mark], address_of: Callable[[int], str]) -> str:
    """One feature for each mark; one without a position keeps a null geometry (section 3.2)."""
    features = [_mark_feature(mark, address_of(mark.pk)) for mark in marks]
    return json.dumps({"type": "FeatureCollection", "grouped": False, "features": features}, allow_nan=False)


def _mark_feature(mark: Mark, address: str) -> dict:
    return {
        "type": "Feature",
        "id": mark.pk,
        "geometry": _point(mark.lon_deg, mark.lat_deg),
        "properties": {
            "number": mark.number,
            "title": mark.title,
            "words": symbol_words(mark),
            "symbol": mark.symbol,
            "turn_deg": turn_deg(mark.bearing_deg),
            "system": mark.system_words,
            "condition": mark.condition_words,
            "lowest_rating": mark.lowest_rating,
            "least_factor": _figure(mark.least_factor),
            "governing": mark.governing,
            "restriction": mark.restriction,
            "restriction_words": mark.restriction_words,
            "plate": mark.plate,
            "sign_awaited": mark.sign_awaited,
            "due_words": mark.due_words,
            "due_in": mark.due_in_words,
            "late": mark.late,
            "max_span_ft": _figure(mark.max_span_ft),
            "year_built": mark.year_built,
            "address": address,
        },
    }


def _figure(value: float | None) -> float | None:
    """Two decimals; JSON has no word for infinity."""
    return round(value, 2) if value is not None and math.isfinite(value) else None


def _point(lon_deg: float | None, lat_deg: float | None) -> dict | None:
    if lon_deg is None or lat_deg is None:
        return None
    return {"type": "Point", "coordinates": [round(lon_deg, 7), round(lat_deg, 7)]}


def groups_geojson(groups: Sequence[Group]) -> str:
    """One feature for each cell, with the bounds to look into."""
    features = [
        {
            "type": "Feature",
            "bbox": [group.bounds.west, group.bounds.south, group.bounds.east, group.bounds.north],
            "geometry": _point(group.lon_deg, group.lat_deg),
            "properties": {
                "count": group.count,
                "poor": group.poor,
                "posted": group.posted,
                "closed": group.closed,
                "words": f"{group.count} structures here: {group.poor} poor, {group.posted} posted, "
                f"{group.closed} closed; choose to look closer",
            },
        }
        for group in groups
    ]
    return json.dumps({"type": "FeatureCollection", "grouped": True, "features": features}, allow_nan=False)


def cell_deg(bounds: Bounds | None) -> float:
    """Side of a grouping cell: about a twelfth of the window, as a power of two so that panning keeps the grid."""
    width = 360.0 if bounds is None else max((bounds.east - bounds.west) % 360, bounds.north - bounds.south, 1e-6)
    return 2.0 ** round(math.log2(width / 12))


def lines_geojson(lines: LinesInView, bounds: Bounds | None) -> str:
    """The lines in view, thinned to what a screen of some 1,500 points across can show."""
    width = 0.0 if bounds is None else (bounds.east - bounds.west) % 360
    texts = geojson_texts([row.wkb for row in lines.rows], tolerance_deg=width / 3000)
    features = ",".join(
        f'{{"type":"Feature","id":{row.id},"geometry":{text},"properties":'
        + json.dumps({"kind": row.kind, "name": row.name, "road_class": row.road_class, "surface": row.surface})
        + "}"
        for row, text in zip(lines.rows, texts, strict=True)
    )
    return f'{{"type":"FeatureCollection","omitted":{lines.omitted},"features":[{features}]}}'
