"""The face of a sign on its own: the sign in force, or one proposed (dashed while nobody has seen it standing)."""

from inventory.drawings.ink import INK, SOFT, Ink
from inventory.drawings.plates import draw_plate, plates_wide, sign_words
from inventory.drawings.shapes import SignShape


def sign_face(sign: SignShape, *, key: str) -> str:
    """The plate as SVG; where no sign stands, an empty outline that says so."""
    is_plate = sign.restriction in ("posted", "closed")
    width = 4 + plates_wide(sign)
    ink = Ink(key=key, width=width if is_plate else 96, height=70, title=f"Sign: {sign_words(sign)}", desc="")
    ink.root.set("class", "sign-face")
    if is_plate:
        draw_plate(ink, sign, x=2, y=2)
        return ink.svg()
    ink.box(2, 12, 92, 44, fill="none", stroke=INK, stroke_width=1, rx=4, stroke_dasharray="4 3")
    ink.text(48, 31, "no sign", anchor="middle", size=12.0)
    ink.text(48, 47, "open" if sign.restriction == "open" else "not known", anchor="middle", size=11.0, fill=SOFT)
    return ink.svg()
