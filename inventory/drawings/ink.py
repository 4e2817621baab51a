"""A small SVG writer: every text escaped, presentation attributes only (the site's policy allows no inline style)."""

import re
from xml.etree import ElementTree

# Colours: ink and paper of the sheet, and the Okabe-Ito set (published as safe for colour-blind readers).
INK, SOFT, LINE, PAPER = "#1c2831", "#5d676e", "#b7b6a8", "#fdfcf8"
BLUE, VERMILION, SKY = "#0072b2", "#b64c00", "#56b4e9"
WOOD, WOOD_DARK, WOOD_EDGE, ASPHALT, GRAVEL, CONCRETE = "#b98c57", "#8a6534", "#6d4e27", "#3d474d", "#a59c86", "#c9c8c0"
NOT_XML = re.compile("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

LAYER_FILL = {
    "asphalt": ASPHALT,
    "chip_seal": ASPHALT,
    "tack": INK,
    "membrane": INK,
    "gravel": GRAVEL,
    "concrete": CONCRETE,
    "plank": WOOD,
}


def figure(value: float) -> str:
    """A coordinate, short: two decimals are finer than any screen or printer shows."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def plain_text(text: str) -> str:
    """Text without characters XML cannot carry."""
    return NOT_XML.sub("\ufffd", text)


class Ink:
    """A drawing under way. Units are drawing units (about one screen pixel at full width); y grows downwards."""

    def __init__(self, *, key: str, width: float, height: float, title: str, desc: str):
        self.key = re.sub(r"[^A-Za-z0-9_-]", "-", key)
        self.root = ElementTree.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "class": "drawing",
                "viewBox": f"0 0 {figure(width)} {figure(height)}",
                "role": "img",
                "aria-labelledby": f"{self.key}-title {self.key}-desc",
            },
        )
        for name, text in (("title", title), ("desc", desc)):
            element = ElementTree.SubElement(self.root, name, {"id": f"{self.key}-{name}"})
            element.text = plain_text(text)

    def add(self, tag: str, kind: str = "", **attributes) -> ElementTree.Element:
        """One element; `kind` becomes its class, `stroke_width` the attribute stroke-width, and so on."""
        given = {"class": kind} if kind else {}
        for name, value in attributes.items():
            if value is not None:
                text = figure(value) if isinstance(value, float | int) else plain_text(str(value))
                given[name.replace("_", "-")] = text
        return ElementTree.SubElement(self.root, tag, given)

    def box(self, x, y, width, height, *, kind="", fill=WOOD, stroke=WOOD_EDGE, stroke_width=0.8, **more):
        return self.add(
            "rect",
            kind,
            x=x,
            y=y,
            width=width,
            height=height,
            fill=fill,
            stroke=stroke,
            stroke_width=stroke_width,
            **more,
        )

    def line(self, x1, y1, x2, y2, *, kind="", stroke=INK, stroke_width=1.0, **more):
        return self.add("line", kind, x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=stroke_width, **more)

    def path(self, d: str, *, kind="", fill="none", stroke=INK, stroke_width=1.0, **more):
        return self.add("path", kind, d=d, fill=fill, stroke=stroke, stroke_width=stroke_width, **more)

    def dot(self, x, y, radius, *, kind="", fill=BLUE, stroke=BLUE, stroke_width=1.6, **more):
        return self.add(
            "circle", kind, cx=x, cy=y, r=radius, fill=fill, stroke=stroke, stroke_width=stroke_width, **more
        )

    def text(self, x, y, words: str, *, kind="", size=13.0, fill=INK, anchor="start", bold=False, **more):
        element = self.add(
            "text",
            kind,
            x=x,
            y=y,
            font_size=size,
            fill=fill,
            text_anchor=None if anchor == "start" else anchor,
            font_weight="700" if bold else None,
            **more,
        )
        element.text = plain_text(words)
        return element

    def dimension(self, x1: float, x2: float, y: float, words: str, *, kind="dimension") -> None:
        """A level dimension line with slashes at its ends and its words above the middle."""
        self.line(x1, y, x2, y, kind=kind, stroke_width=0.9)
        for x in (x1, x2):
            self.line(x - 4, y + 4, x + 4, y - 4, stroke_width=1.2)
            self.line(x, y - 8, x, y + 5, stroke=SOFT, stroke_width=0.6)
        self.text((x1 + x2) / 2, y - 5, words, anchor="middle")

    def upright_dimension(self, x: float, y1: float, y2: float, words: str) -> None:
        """An upright dimension line; its words stand to the left of it."""
        self.line(x, y1, x, y2, kind="depth-dimension", stroke_width=0.9)
        for y in (y1, y2):
            self.line(x - 4, y + 4, x + 4, y - 4, stroke_width=1.2)
        self.text(x - 8, (y1 + y2) / 2 + 4, words, anchor="end", size=12.0)

    def scale_bar(self, x: float, y: float, unit_per_ft: float) -> None:
        """A bar of a round number of feet, at most about 150 units long."""
        feet = max((step for step in (1, 2, 5, 10, 20, 50, 100, 200, 500) if step * unit_per_ft <= 150), default=1)
        length = feet * unit_per_ft
        self.box(x, y, length / 2, 5, kind="scale-bar", fill=INK, stroke=INK)
        self.box(x + length / 2, y, length / 2, 5, kind="scale-bar", fill=PAPER, stroke=INK)
        self.text(x, y - 5, "0", size=11.0, fill=SOFT, anchor="middle")
        self.text(x + length, y - 5, f"{feet} ft", size=11.0, fill=SOFT, anchor="middle")

    def hatched(self, points: list[tuple[float, float]], *, step: float = 9.0) -> None:
        """Ground: a closed shape filled with slanting lines."""
        name = f"{self.key}-ground"
        if self.root.find(f"defs/pattern[@id='{name}']") is None:
            defs = ElementTree.SubElement(self.root, "defs")
            pattern = ElementTree.SubElement(
                defs,
                "pattern",
                {"id": name, "width": figure(step), "height": figure(step), "patternUnits": "userSpaceOnUse"},
            )
            stroke = {"d": f"M0 {figure(step)} L{figure(step)} 0", "stroke": LINE, "stroke-width": "1", "fill": "none"}
            ElementTree.SubElement(pattern, "path", stroke)
        d = "M" + " L".join(f"{figure(x)} {figure(y)}" for x, y in points) + " Z"
        self.path(d, kind="ground", fill=f"url(#{name})", stroke="none")

    def measured(self, x0: float, unit_per_ft: float, reach_ft: float) -> None:
        """Leave the scale on the drawing itself, so that a tap on it can be told in feet: from `x0`, `unit_per_ft`."""
        self.root.set("data-x0", figure(x0))
        self.root.set("data-px-per-ft", f"{unit_per_ft:.5f}")
        self.root.set("data-reach-ft", figure(reach_ft))

    def svg(self) -> str:
        return ElementTree.tostring(self.root, encoding="unicode")


def wrapped(words: str, limit: int = 100) -> list[str]:
    """A sentence in lines of at most `limit` characters."""
    lines, line = [], ""
    for word in words.split():
        word = word[:limit]
        if line and len(line) + 1 + len(word) > limit:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line] if line else lines


def refused_drawing(*, key: str, title: str, sentences: list[str]) -> str:
    """A drawing that only says why it cannot be drawn."""
    lines = [line for sentence in sentences for line in wrapped(sentence, 86)]
    ink = Ink(key=key, width=760, height=70 + 20 * len(lines), title=title, desc=" ".join(sentences))
    ink.box(10, 10, 740, 50 + 20 * len(lines), kind="refused", fill=PAPER, stroke=VERMILION, stroke_width=2)
    ink.text(28, 38, "This cannot be drawn.", bold=True, size=14.0)
    for place, line in enumerate(lines):
        ink.text(28, 62 + 20 * place, line)
    return ink.svg()
