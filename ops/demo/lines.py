"""Puts the invented ground on the agency's map."""

from maps.actions.draw_lines import draw_lines
from maps.geometry import drawn_line

from .ground import SIZE_MI, STREAMS, lon_lat, roads, stream_line


def _degrees(line) -> list[tuple[float, float]]:
    return [lon_lat(x, y) for x, y in line.coords]


def draw_ground(*, agency, by, at) -> None:
    """Roads, streams and the outline, each kind replaced whole."""
    road_rows = [
        drawn_line(_degrees(line), name=name, road_class=kind, surface="gravel" if kind == "local" else "paved")
        for name, kind, line in roads()
    ]
    stream_rows = [drawn_line(_degrees(stream_line(points)), name=name) for name, points in STREAMS.items()]
    corners = [(0, 0), (SIZE_MI, 0), (SIZE_MI, SIZE_MI), (0, SIZE_MI), (0, 0)]
    outline = [drawn_line([lon_lat(x, y) for x, y in corners], name=str(agency))]
    draw_lines(agency=agency, kind="road", lines=road_rows, by=by, at=at)
    draw_lines(agency=agency, kind="stream", lines=stream_rows, by=by, at=at)
    draw_lines(agency=agency, kind="outline", lines=outline, by=by, at=at)
