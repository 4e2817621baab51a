"""The words of a drawing as boxes, measured with the letters of a real font, not with the drawing's own estimate."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree

from PIL import ImageFont

SVG = "{http://www.w3.org/2000/svg}"


@cache
def _font(size: int):
    return ImageFont.load_default(size=size)


def box_of(element: ElementTree.Element) -> tuple[float, float, float, float]:
    """(left, top, right, bottom) of the letters of a text; a turn of -90 degrees about a point is followed."""
    size = float(element.get("font-size"))
    # A hundred times as large and divided: no rounding to whole pixels.
    left, top, right, bottom = (each / 100 for each in _font(round(size * 100)).getbbox(element.text, anchor="ls"))
    shift = {"middle": (left + right) / 2, "end": right}.get(element.get("text-anchor"), 0.0)
    x, y = float(element.get("x")) - shift, float(element.get("y"))
    box = (x + left, y + top, x + right, y + bottom)
    turn = element.get("transform")
    if not turn:
        return box
    about_x, about_y = (float(each) for each in re.fullmatch(r"rotate\(-90 ([\d.-]+) ([\d.-]+)\)", turn).groups())
    # Turned by -90 degrees in a picture whose y grows downwards: (dx, dy) -> (dy, -dx).
    xs = [about_x + (each - about_y) for each in (box[1], box[3])]
    ys = [about_y - (each - about_x) for each in (box[0], box[2])]
    return min(xs), min(ys), max(xs), max(ys)


def overlaps(svg: str) -> list[tuple[str, str]]:
    """Pairs of words that stand on each other."""
    texts = [each for each in ElementTree.fromstring(svg).iter(SVG + "text") if each.text]
    boxes = [(each.text, *box_of(each)) for each in texts]
    return [
        (one[0], two[0])
        for at, one in enumerate(boxes)
        for two in boxes[at + 1 :]
        if one[1] < two[3] and two[1] < one[3] and one[2] < two[4] and two[2] < one[4]
    ]


def outside(svg: str) -> list[str]:
    """Words that reach out of the sheet."""
    root = ElementTree.fromstring(svg)
    _x, _y, width, height = (float(each) for each in root.get("viewBox").split())
    boxes = {each.text: box_of(each) for each in root.iter(SVG + "text") if each.text}
    return [
        words
        for words, (left, top, right, low) in boxes.items()
        if left < 0 or top < 0 or right > width or low > height
    ]


def shapes(svg: str, tag: str, kind: str) -> list[ElementTree.Element]:
    return [each for each in ElementTree.fromstring(svg).iter(SVG + tag) if each.get("class") == kind]
