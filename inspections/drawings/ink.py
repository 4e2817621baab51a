"""A small writer of SVG: every text is escaped and every drawing has a name for those who cannot see it."""

from xml.etree import ElementTree

from django.utils.safestring import SafeString, mark_safe

INK = "#1c2831"
SOFT = "#5d676e"
LINE = "#b7b6a8"
BLUE = "#0072b2"
VERMILION = "#b64c00"
DARK = "#3d474d"
PAPER = "#fdfcf8"


class Sheet:
    """One drawing of `width` by `height` drawing units (one unit is one pixel at full size)."""

    def __init__(self, *, width: float, height: float, title: str, described: str = "", css: str = "drawing"):
        self.root = ElementTree.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "viewBox": f"0 0 {_short(width)} {_short(height)}",
                "role": "img",
                "class": css,
                "font-size": "13",
            },
        )
        ElementTree.SubElement(self.root, "title").text = printable(title)
        if described:
            ElementTree.SubElement(self.root, "desc").text = printable(described)

    def add(self, tag: str, **attributes) -> ElementTree.Element:
        """One shape; an underscore in an attribute's name stands for a hyphen."""
        plain = {name.rstrip("_").replace("_", "-"): _short(value) for name, value in attributes.items()}
        return ElementTree.SubElement(self.root, tag, plain)

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, stroke: str = INK, width: float = 1.2, **more
    ) -> None:
        self.add("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=width, **more)

    def text(self, x: float, y: float, words: object, *, anchor: str = "start", fill: str = INK, **more) -> None:
        self.add("text", x=x, y=y, text_anchor=anchor, fill=fill, **more).text = printable(str(words))

    def svg(self) -> SafeString:
        """The drawing as text; ElementTree has escaped whatever came from people."""
        return mark_safe(ElementTree.tostring(self.root, encoding="unicode"))  # noqa: S308


def printable(text: str) -> str:
    """Without the control characters that XML 1.0 forbids (section 2.2 of that recommendation)."""
    return "".join(c for c in text if c in "\t\n\r" or (ord(c) >= 0x20 and not 0xD800 <= ord(c) <= 0xDFFF))


def _short(value: object) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
