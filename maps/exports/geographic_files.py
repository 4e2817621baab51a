"""GeoJSON and GeoPackage. Structures without a position stand in both, with no geometry."""

import io
import json
from collections.abc import Iterable
from datetime import date

import numpy as np
import shapely
from pyogrio.raw import write

from maps.exports.columns import COLUMNS, LAT, LON, NAMES

_DTYPES = {"text": object, "whole": np.int32, "figure": np.float64, "yesno": bool, "date": "datetime64[D]"}
_BLANKS = {"text": None, "whole": 0, "figure": np.nan, "yesno": False, "date": np.datetime64("NaT", "D")}


def geojson_bytes(rows: Iterable[tuple]) -> bytes:
    """RFC 7946 [memory]: longitude first, WGS 84, an id for each feature, a null geometry where none is known."""
    features = []
    for pk, *values in rows:
        lon, lat = values[LON], values[LAT]
        placed = lon is not None and lat is not None
        features.append(
            {
                "type": "Feature",
                "id": pk,
                "geometry": {"type": "Point", "coordinates": [lon, lat]} if placed else None,
                "properties": dict(zip(NAMES, map(_json_value, values), strict=True)),
            }
        )
    return json.dumps({"type": "FeatureCollection", "features": features}, allow_nan=False).encode()


def _json_value(value: object) -> object:
    return value.isoformat() if isinstance(value, date) else value


def gpkg_bytes(rows: Iterable[tuple]) -> bytes:
    """A GeoPackage with one point layer, real column types and true nulls; made in memory, no file is left behind."""
    listed = [values for _, *values in rows]
    columns = list(zip(*listed, strict=True)) if listed else [()] * len(COLUMNS)
    data, masks = [], []
    for column, values in zip(COLUMNS, columns, strict=True):
        blank = np.array([value is None for value in values], dtype=bool)
        filled = [_BLANKS[column.kind] if value is None else value for value in values]
        data.append(np.array(filled, dtype=_DTYPES[column.kind]))
        masks.append(blank)
    out = io.BytesIO()
    write(
        out,
        geometry=_points(columns[LON], columns[LAT]),
        field_data=data,
        field_mask=masks,
        fields=list(NAMES),
        layer="structures",
        driver="GPKG",
        geometry_type="Point",
        crs="EPSG:4326",
    )
    return out.getvalue()


def _points(lons: tuple, lats: tuple) -> np.ndarray:
    points = [None if lon is None or lat is None else (lon, lat) for lon, lat in zip(lons, lats, strict=True)]
    wkb = np.full(len(points), None, dtype=object)
    placed = [index for index, point in enumerate(points) if point is not None]
    if placed:
        wkb[placed] = shapely.to_wkb(shapely.points([points[index] for index in placed]))
    return wkb
