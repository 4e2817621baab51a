"""Roads, streams and outlines out of the files a county gets them in: shapefile (zipped too), GeoPackage, GeoJSON."""

from dataclasses import dataclass, field
from pathlib import Path

import geopandas
import pandas

from maps.geometry import DrawnLine, NotOnTheMap, drawn_line

# Column names seen in public road files (TIGER/Line) and the plain words; the first one present is taken.
NAME_COLUMNS = ("FULLNAME", "name", "NAME", "road", "ROAD")
CLASS_COLUMNS = ("RTTYP", "class", "CLASS", "MTFCC")
# TIGER/Line route types (Census Bureau technical documentation, memory).
ROUTE_TYPES = {"S": "state", "U": "state", "I": "state", "C": "county", "M": "local", "O": "local"}
WGS84 = "EPSG:4326"


@dataclass
class LineFile:
    """Lines ready to be drawn, and the features left out with the reason, by their place in the file."""

    lines: list[DrawnLine] = field(default_factory=list)
    refused: list[tuple[int, str]] = field(default_factory=list)
    crs: str = ""


def read_lines(path: Path, *, layer: str | None = None) -> LineFile:
    """Every line of the file in longitude and latitude.

    Raises `NotOnTheMap` with a sentence where the file cannot be read, holds no features, or does not say in which
    coordinate system it is: a guess would put the county elsewhere.
    """
    if not path.exists():
        raise NotOnTheMap(f"There is no file {path}. Check the name.")
    source = f"zip://{path}" if path.suffix.lower() == ".zip" else str(path)
    try:
        frame = geopandas.read_file(source, layer=layer)
    except Exception as problem:  # the readers below raise many kinds; each means the same to the person
        raise NotOnTheMap(
            f"{path.name} cannot be read as a shapefile, GeoPackage or GeoJSON file ({problem}). Check the file."
        ) from problem
    if frame.empty or frame.geometry.isna().all():
        raise NotOnTheMap(f"{path.name} holds no shapes. Check the file, or name another layer.")
    if frame.crs is None:
        raise NotOnTheMap(f"{path.name} does not say its coordinate system (a shapefile needs its .prj file).")
    read = LineFile(crs=frame.crs.name)
    frame = frame.to_crs(WGS84)
    names, classes = _column(frame, NAME_COLUMNS), _column(frame, CLASS_COLUMNS)
    for number, (shape, name, kind) in enumerate(zip(frame.geometry, names, classes, strict=True), start=1):
        try:
            if shape is None:
                raise NotOnTheMap("The feature has no shape.")
            read.lines.append(drawn_line(shape, name=name, road_class=ROUTE_TYPES.get(kind, kind)))
        except NotOnTheMap as reason:
            read.refused.append((number, str(reason)))
    return read


def _column(frame: geopandas.GeoDataFrame, names: tuple[str, ...]) -> list[str]:
    found = next((name for name in names if name in frame.columns), None)
    if found is None:
        return [""] * len(frame)
    return ["" if pandas.isna(value) else str(value) for value in frame[found]]
