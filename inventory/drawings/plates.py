"""The plates a driver sees: one gross limit (R12-1), limits by class with truck shapes (R12-5), and the limits of
emergency vehicles on a plate of their own (R12-7 [memory]; that it gives single axle, tandem and gross [checked]).

Legends and codes: Manual on Uniform Traffic Control Devices, weight-limit signs [checked: 2003 edition, section 2B.49];
black on white, upright rectangle [memory]. Closed: ROAD CLOSED (R11-2), black on white, wider than high [memory].
"""

from .ink import INK, PAPER, SOFT, Ink
from .shapes import SignShape

CLASS_NAMES = ("single unit", "one trailer", "two trailers")
EMERGENCY_NAMES = ("single axle", "tandem", "gross")
PLATE_STEP = 64.0


def tons(value: float | None) -> str:
    return "-" if value is None else f"{value:g}"


def sign_words(sign: SignShape) -> str:
    """The sign in a phrase."""
    if sign.restriction == "closed":
        words = "road closed"
    elif sign.restriction != "posted":
        words = "none" if sign.restriction == "open" else "not known"
    else:
        words = _posted_words(sign)
    return words + (", not yet seen standing" if sign.is_awaited else "")


def _posted_words(sign: SignShape) -> str:
    said = []
    if sign.single_ton is not None:
        said.append(f"weight limit {tons(sign.single_ton)} tons")
    elif sign.class_tons:
        limits = ", ".join(f"{name} {tons(ton)} T" for name, ton in zip(CLASS_NAMES, sign.class_tons, strict=False))
        said.append(f"weight limit by class: {limits}")
    if sign.emergency_tons:
        given = zip(EMERGENCY_NAMES, sign.emergency_tons, strict=False)
        said.append("emergency vehicles: " + ", ".join(f"{name} {tons(ton)} T" for name, ton in given))
    return "; ".join(said) or "posted, limit not on record"


def has_two_plates(sign: SignShape) -> bool:
    """True where trucks and emergency vehicles each have their plate."""
    is_posted = sign.restriction == "posted" and bool(sign.emergency_tons)
    return is_posted and (sign.single_ton is not None or bool(sign.class_tons))


def draw_sign_post(ink: Ink, sign: SignShape, *, x: float, ground: float) -> None:
    """The plate, or both, on posts beside the near approach; dashed while nobody has seen them standing."""
    for place in range(2 if has_two_plates(sign) else 1):
        post = x + place * PLATE_STEP
        ink.line(post, ground, post, ground - 30, kind="sign-post", stroke=SOFT, stroke_width=3)
    draw_plate(ink, sign, x=x - 30, y=ground - 92)


def draw_plate(ink: Ink, sign: SignShape, *, x: float, y: float) -> None:
    """Plates, each in a space 60 wide and 66 high, the first with its corner at x, y and a second beside it."""
    if sign.restriction == "posted" and sign.emergency_tons:
        two = has_two_plates(sign)
        if two:
            _draw_one(ink, sign, x=x, y=y)
        _draw_emergency(ink, sign, x=x + (PLATE_STEP if two else 0.0), y=y)
        return
    _draw_one(ink, sign, x=x, y=y)


def _draw_emergency(ink: Ink, sign: SignShape, *, x: float, y: float) -> None:
    dashes = "5 3" if sign.is_awaited else None
    ink.box(x, y, 60, 66, kind="sign", fill="#ffffff", stroke=INK, stroke_width=2, rx=4, stroke_dasharray=dashes)
    for place, word in enumerate(("EMERGENCY", "VEHICLE", "WEIGHT LIMIT")):
        ink.text(x + 30, y + 10 + 8 * place, word, anchor="middle", size=7.5, bold=True, kind="legend")
    for place, (word, ton) in enumerate(zip(("AXLE", "TANDEM", "GROSS"), sign.emergency_tons, strict=False)):
        line = y + 39 + 11 * place
        ink.text(x + 4, line, word, size=8.0, bold=True, kind="legend")
        ink.text(x + 56, line, f"{tons(ton)}T", anchor="end", size=9.5, bold=True, kind="legend")


def _draw_one(ink: Ink, sign: SignShape, *, x: float, y: float) -> None:
    dashes = "5 3" if sign.is_awaited else None
    is_closed = sign.restriction == "closed"
    # ROAD CLOSED is wider than high; it hangs at the lower end of the room kept for a plate.
    top, high = (y + 26, 40) if is_closed else (y, 66)
    ink.box(x, top, 60, high, kind="sign", fill="#ffffff", stroke=INK, stroke_width=2, rx=4, stroke_dasharray=dashes)
    middle = x + 30
    if is_closed:
        ink.text(middle, top + 17, "ROAD", anchor="middle", size=12.5, bold=True, kind="legend")
        ink.text(middle, top + 33, "CLOSED", anchor="middle", size=12.5, bold=True, kind="legend")
        return
    ink.text(middle, y + 13, "WEIGHT", anchor="middle", size=10.5, bold=True, kind="legend")
    ink.text(middle, y + 24, "LIMIT", anchor="middle", size=10.5, bold=True, kind="legend")
    if sign.single_ton is None and sign.class_tons:
        for place, ton in enumerate(sign.class_tons[:3]):
            _draw_truck(ink, x + 5, y + 36 + 13 * place, trailers=place)
            ink.text(x + 56, y + 36 + 13 * place, f"{tons(ton)}T", anchor="end", size=10.5, bold=True, kind="legend")
        return
    ink.text(middle, y + 46, tons(sign.single_ton), anchor="middle", size=20.0, bold=True, kind="legend")
    ink.text(middle, y + 60, "TONS", anchor="middle", size=10.5, bold=True, kind="legend")


def _draw_truck(ink: Ink, x: float, base: float, *, trailers: int) -> None:
    """A truck in outline, 6 units high, with none, one or two trailers."""
    for place in range(trailers + 1):
        ink.box(x + 9 * place, base - 7, 8, 5, kind="truck", fill=INK, stroke="none")
        for wheel in (2, 6):
            ink.dot(x + 9 * place + wheel, base - 1, 1.1, fill=INK, stroke=PAPER, stroke_width=0.3)
