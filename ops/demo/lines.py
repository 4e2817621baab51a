"""Puts the invented ground on the agency's map."""

from maps.actions.draw_lines import draw_lines

from .ground import SIZE_MI, STREAMS, lon_lat, roads, stream_line


def _degrees(line) -> list[tuple[float, float]]:
    return [lon_lat(x, y) for x, y in line.coords]


def draw_ground(*, agency, by, at) -> None:
    """Roads, streams and the outline, each kind replaced whole."""
    road_rows = [
        {
            "name": name,
            "road_class": kind,
            "surface": "paved" if kind != "local" else "gravel",
            "coords": _degrees(line),
        }
        for name, kind, line in roads()
    ]
    stream_rows = [{"name": name, "coords": _degrees(stream_line(points))} for name, points in STREAMS.items()]
    corners = [(0, 0), (SIZE_MI, 0), (SIZE_MI, SIZE_MI), (0, SIZE_MI), (0, 0)]
    outline = [{"name": str(agency), "coords": [lon_lat(x, y) for x, y in corners]}]
    draw_lines(agency=agency, kind="road", lines=road_rows, by=by, at=at)
    draw_lines(agency=agency, kind="stream", lines=stream_rows, by=by, at=at)
    draw_lines(agency=agency, kind="outline", lines=outline, by=by, at=at)
