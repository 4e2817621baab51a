"""The plates a driver sees: one gross limit (R12-1), limits by class with truck shapes (R12-5), and the limits of
emergency vehicles on a plate of their own (R12-7 [memory]; that it gives single axle, tandem and gross [checked]).

Legends and codes: Manual on Uniform Traffic Control Devices, weight-limit signs [checked: 2003 edition, section 2B.49];
black on white, upright rectangle [memory]. Closed: ROAD CLOSED (R11-2), black on white, wider than high [memory].
"""

from .ink import INK, PAPER, SOFT, Ink
from .shapes import SignShape

CLASS_NAMES = ("single unit", "one trailer", "two trailers")
EMERGENCY_NAMES = ("single axle", "tandem", "gross")
PLATE_STEP, EMERGENCY_WIDE = 64.0, 76.0


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


def plates_wide(sign: SignShape) -> float:
    """Room the plates take side by side."""
    if sign.restriction != "posted" or not sign.emergency_tons:
        return 60.0
    return EMERGENCY_WIDE + (PLATE_STEP if has_two_plates(sign) else 0.0)


def draw_sign_post(ink: Ink, sign: SignShape, *, x: float, far_x: float, ground: float) -> None:
    """The plate on a post beside the near approach; dashed while nobody has seen it standing.

    Each approach has every plate; where there are two, the emergency vehicles' is drawn at the far one, for room.
    """
    if sign.restriction == "posted" and sign.emergency_tons:
        if has_two_plates(sign):
            _post(ink, x, ground)
            _draw_one(ink, sign, x=x - 30, y=ground - 92)
            x = far_x
        _post(ink, x, ground)
        _draw_emergency(ink, sign, x=x - EMERGENCY_WIDE / 2, y=ground - 92)
        return
    _post(ink, x, ground)
    _draw_one(ink, sign, x=x - 30, y=ground - 92)


def _post(ink: Ink, x: float, ground: float) -> None:
    ink.line(x, ground, x, ground - 30, kind="sign-post", stroke=SOFT, stroke_width=3)


def draw_plate(ink: Ink, sign: SignShape, *, x: float, y: float) -> None:
    """Plates 66 high, 60 wide or `EMERGENCY_WIDE`, the first with its corner at x, y and a second beside it."""
    if sign.restriction == "posted" and sign.emergency_tons:
        two = has_two_plates(sign)
        if two:
            _draw_one(ink, sign, x=x, y=y)
        _draw_emergency(ink, sign, x=x + (PLATE_STEP if two else 0.0), y=y)
        return
    _draw_one(ink, sign, x=x, y=y)


def _draw_emergency(ink: Ink, sign: SignShape, *, x: float, y: float) -> None:
    dashes = "5 3" if sign.is_awaited else None
    wide = EMERGENCY_WIDE
    ink.box(x, y, wide, 66, kind="sign", fill="#ffffff", stroke=INK, stroke_width=2, rx=4, stroke_dasharray=dashes)
    for place, word in enumerate(("EMERGENCY", "VEHICLE", "WEIGHT LIMIT")):
        ink.text(x + wide / 2, y + 10 + 8 * place, word, anchor="middle", size=8.0, bold=True, kind="legend")
    for place, (word, ton) in enumerate(zip(("AXLE", "TANDEM", "GROSS"), sign.emergency_tons, strict=False)):
        line = y + 39 + 11 * place
        ink.text(x + 5, line, word, size=8.0, bold=True, kind="legend")
        shown = tons(ton) if ton is None else f"{tons(ton)}T"
        ink.text(x + wide - 5, line, shown, anchor="end", size=9.5, bold=True, kind="legend")


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
