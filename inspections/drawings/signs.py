"""The face of a weight-limit sign, drawn from the restriction: black on white, as the sign stands at the road.

Layouts after MUTCD R12-1 (one gross limit) and R12-5 (three classes, each with its own truck); [checked: MUTCD 2003
section 2B.49 for what each sign shows; the trucks are our own drawing].
"""

from .ink import INK, VERMILION, Sheet


def sign_face(
    *,
    restriction: str,
    single_ton: float | None = None,
    single_unit_ton: float | None = None,
    combination_ton: float | None = None,
    double_ton: float | None = None,
    words: str = "",
) -> str:
    """The sign as SVG; for an open road or an unknown restriction a plate without a sign, in words."""
    if restriction == "closed":
        return _closed()
    if restriction != "posted":
        return _no_sign(words)
    if single_ton is not None:
        return _one_limit(single_ton)
    return _three_limits((single_unit_ton, combination_ton, double_ton))


def _plate(width: float, height: float, title: str) -> Sheet:
    sheet = Sheet(width=width, height=height, title=title, css="sign-face")
    sheet.add("rect", x=1.5, y=1.5, width=width - 3, height=height - 3, rx=8, fill="#fff", stroke=INK, stroke_width=1)
    sheet.add("rect", x=5, y=5, width=width - 10, height=height - 10, rx=6, fill="none", stroke=INK, stroke_width=2.5)
    return sheet


def _centred(sheet: Sheet, x: float, y: float, words: str, size: int, fill: str = INK) -> None:
    sheet.text(x, y, words, anchor="middle", fill=fill, font_size=size, font_weight="bold")


def _one_limit(ton: float) -> str:
    sheet = _plate(120, 150, f"Sign: weight limit {ton:g} tons")
    _centred(sheet, 60, 36, "WEIGHT", 19)
    _centred(sheet, 60, 58, "LIMIT", 19)
    _centred(sheet, 60, 103, f"{ton:g}", 44)
    _centred(sheet, 60, 132, "TONS", 19)
    return sheet.svg()


def _three_limits(tons: tuple[float | None, ...]) -> str:
    names = ("single unit", "one trailer", "two trailers")
    told = ", ".join(f"{name} {ton:g} tons" for name, ton in zip(names, tons, strict=True) if ton is not None)
    sheet = _plate(150, 160, f"Sign: weight limit, {told or 'no class limited'}")
    _centred(sheet, 75, 30, "WEIGHT LIMIT", 16)
    for row, ton in enumerate(tons):
        if ton is None:
            continue
        y = 66 + row * 38
        _truck(sheet, 14, y, trailers=row)
        sheet.text(140, y, f"{ton:g}T", anchor="end", font_size=22, font_weight="bold")
    return sheet.svg()


def _truck(sheet: Sheet, x: float, y: float, *, trailers: int) -> None:
    boxes = {0: ((0, 30),), 1: ((0, 8), (11, 44)), 2: ((0, 8), (11, 24), (38, 24))}[trailers]
    end = max(start + length for start, length in boxes)
    for start, length in boxes:
        sheet.add("rect", x=x + end - start - length, y=y - 17, width=length, height=12, fill=INK)
    sheet.add("path", d=f"M{x + end + 1} {y - 5} v-9 h5 l4 5 v4 z", fill=INK)
    for wheel in (3, end - 6, end + 6):
        sheet.add("circle", cx=x + wheel, cy=y - 2.5, r=3, fill=INK)


def _closed() -> str:
    sheet = _plate(150, 110, "Sign: bridge closed")
    _centred(sheet, 75, 48, "BRIDGE", 24, VERMILION)
    _centred(sheet, 75, 82, "CLOSED", 24, VERMILION)
    return sheet.svg()


def _no_sign(words: str) -> str:
    sheet = Sheet(width=150, height=64, title=f"No sign: {words or 'nothing in force'}", css="sign-face")
    sheet.add("rect", x=2, y=2, width=146, height=60, rx=6, fill="none", stroke=INK, stroke_dasharray="5 4")
    sheet.text(75, 29, "no sign", anchor="middle", font_size=14)
    sheet.text(75, 48, words or "nothing in force", anchor="middle", font_size=12)
    return sheet.svg()
