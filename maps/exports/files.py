"""Which kinds of file a list can leave in."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from maps.exports.geographic_files import geojson_bytes, gpkg_bytes
from maps.exports.table_files import csv_bytes, xlsx_bytes


@dataclass(frozen=True)
class FileKind:
    media_type: str
    make: Callable[[Iterable[tuple]], bytes]


FILE_KINDS = {
    "csv": FileKind("text/csv; charset=utf-8", csv_bytes),
    "xlsx": FileKind("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", xlsx_bytes),
    "geojson": FileKind("application/geo+json", geojson_bytes),
    "gpkg": FileKind("application/geopackage+sqlite3", gpkg_bytes),
}
