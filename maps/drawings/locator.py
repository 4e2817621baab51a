"""A small drawing of where a structure stands, from the agency's own lines."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from maps.drawings.symbols import BLUE, INK, turn_deg
from maps.geometry import METRES_PER_MILE, Bounds, clipped, distance_m
from maps.queries.lines import LineRow

SIDE = 320  # of the square drawing, in its own units
_STROKES = {
    "township": ("#b7b6a8", 1.0),
    "outline": (INK, 2.5),
    "stream": ("#56b4e9", 2.2),
    "road": ("#8b8f8a", 1.6),
}


@dataclass(frozen=True)
class Paper:
    """Degrees to drawing units: east is drawn narrower by the cosine of the latitude, so a mile is a mile both ways."""

    window: Bounds

    def point(self, lon: float, lat: float) -> tuple[float, float]:
        width = (self.window.east - self.window.west) % 360
        height = self.window.north - self.window.south
        return (
            ((lon - self.window.west) % 360) / width * SIDE,
            (self.window.north - lat) / height * SIDE,
        )

    def units_per_mile(self) -> float:
        middle = (self.window.south + self.window.north) / 2
        across = distance_m((self.window.west, middle), (self.window.east, middle))
        return SIDE / (across / METRES_PER_MILE)


def locator_svg(
    *, lon_deg: float, lat_deg: float, bearing_deg: float | None, symbol: str, own_road: str,
    window: Bounds, lines: Sequence[LineRow], words: str,
) -> SafeString:  # fmt: skip
    """The window as an SVG drawing; `symbol` is the id of a deck symbol on the same page, "" for a ring that stands
    alone, `words` its description."""
    paper = Paper(window)
    order = list(_STROKES)
    drawn = "".join(
        _stroke(paper, line, own=bool(own_road) and line.name.casefold() == own_road.casefold())
        for line in sorted(lines, key=lambda line: order.index(line.kind))
    )
    x, y = paper.point(lon_deg, lat_deg)
    ring = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="7" fill="#fdfcf8" stroke="{INK}" stroke-width="3"/>'
    mark = (
        ring
        if not symbol
        else (
            f'<g transform="translate({x:.1f} {y:.1f}) rotate({turn_deg(bearing_deg):.0f})">'
            f'<use href="#{escape(symbol)}" x="-20" y="-12" width="40" height="24"/></g>'
        )
    )
    return mark_safe(
        f'<svg class="drawing locator" viewBox="0 0 {SIDE} {SIDE}" role="img" aria-label="{escape(words)}">'
        f"{drawn}{_names(paper, lines)}{mark}{_scale(paper)}{_north()}"
        f'<rect x="0.5" y="0.5" width="{SIDE - 1}" height="{SIDE - 1}" fill="none" stroke="{INK}"/></svg>'
    )


def _stroke(paper: Paper, line: LineRow, own: bool) -> str:
    colour, width = (INK, 2.6) if own and line.kind == "road" else _STROKES[line.kind]
    parts = []
    for part in clipped(line.wkb, paper.window):
        points = " ".join(f"{x:.1f} {y:.1f}" for x, y in (paper.point(*place) for place in part))
        parts.append(f"M{points}")
    return f'<path d="{"".join(parts)}" fill="none" stroke="{colour}" stroke-width="{width}"/>' if parts else ""


def _names(paper: Paper, lines: Sequence[LineRow]) -> str:
    """Each road and stream named once, at the middle of its longest part, while there is room."""
    longest: dict[str, tuple[float, tuple[float, float], str]] = {}
    for line in lines:
        if not line.name or line.kind not in ("road", "stream"):
            continue
        for part in clipped(line.wkb, paper.window):
            ends = [paper.point(*place) for place in (part[0], part[-1])]
            length = math.dist(*ends)
            if length > longest.get(line.name, (40.0,))[0]:
                longest[line.name] = (length, paper.point(*part[len(part) // 2]), line.kind)
    # Kept free for the north arrow and the scale.
    texts, taken = [], [(SIDE - 16.0, 20.0), (SIDE - 16.0, 40.0), (60.0, SIDE - 12.0)]
    for name, (_, (x, y), kind) in sorted(longest.items(), key=lambda item: -item[1][0]):
        x, y = min(max(x, 50.0), SIDE - 50.0), min(max(y - 4, 14.0), SIDE - 32.0)
        middle = math.dist((x, y), (SIDE / 2, SIDE / 2))
        if middle < 30 or any(abs(y - other) < 13 and abs(x - across) < 90 for across, other in taken):
            continue
        taken.append((x, y))
        colour = BLUE if kind == "stream" else INK
        texts.append(
            f'<text x="{x:.0f}" y="{y:.0f}" font-size="10" text-anchor="middle" fill="{colour}" '
            f'stroke="#fdfcf8" stroke-width="3" paint-order="stroke">{escape(name)}</text>'
        )
    return "".join(texts[:6])


def _scale(paper: Paper) -> str:
    mile = paper.units_per_mile()
    if not 20 <= mile <= SIDE - 30:
        return ""
    y = SIDE - 10
    return (
        f'<path d="M12 {y - 4}V{y}H{12 + mile:.1f}V{y - 4}" fill="none" stroke="{INK}" stroke-width="1.5"/>'
        f'<text x="{12 + mile / 2:.0f}" y="{y - 5}" font-size="10" text-anchor="middle" fill="{INK}">1 mile</text>'
    )


def _north() -> str:
    x = SIDE - 16
    return (
        f'<path d="M{x} 34V12M{x - 4} 19L{x} 12L{x + 4} 19" fill="none" stroke="{INK}" stroke-width="1.5"/>'
        f'<text x="{x}" y="46" font-size="10" text-anchor="middle" fill="{INK}">N</text>'
    )
