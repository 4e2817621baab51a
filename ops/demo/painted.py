"""Photographs of the demonstration: painted, because nothing in the county exists."""

import io
from random import Random

from PIL import Image, ImageDraw, ImageFont

SIZE = (960, 720)
SKY, WATER, WOOD, DARK, STEEL = (196, 210, 214), (96, 118, 116), (158, 118, 74), (84, 58, 36), (205, 92, 20)


def painted(scene: str, seed: int) -> bytes:
    """A JPEG of one scene: `gap` (a pile clear of its cap), `barrier` (the road shut), `span` (from the side) or
    `deck` (from above). The same scene and seed give the same bytes."""
    chance = Random(f"{scene} {seed}")
    picture = Image.new("RGB", SIZE, SKY)
    pen = ImageDraw.Draw(picture)
    {"gap": _gap, "barrier": _barrier, "span": _span, "deck": _deck}[scene](pen, chance)
    pen.rectangle((0, 682, 960, 720), fill=(255, 255, 255))
    words = "Painted for the demonstration: no real place."
    pen.text((12, 686), words, fill=(28, 40, 49), font=ImageFont.load_default(size=24))
    kept = io.BytesIO()
    picture.save(kept, "JPEG", quality=82)
    return kept.getvalue()


def _grain(pen: ImageDraw.ImageDraw, chance: Random, box: tuple[int, int, int, int], upright: bool = False) -> None:
    pen.rectangle(box, fill=WOOD, outline=DARK, width=3)
    for _line in range(14):
        shade = tuple(max(0, each - chance.randint(8, 40)) for each in WOOD)
        if upright:
            x = chance.randint(box[0] + 4, box[2] - 4)
            pen.line((x, box[1] + 4, x + chance.randint(-3, 3), box[3] - 4), fill=shade, width=2)
        else:
            y = chance.randint(box[1] + 4, box[3] - 4)
            pen.line((box[0] + 4, y, box[2] - 4, y + chance.randint(-3, 3)), fill=shade, width=2)


def _gap(pen: ImageDraw.ImageDraw, chance: Random) -> None:
    pen.rectangle((0, 560, 960, 720), fill=WATER)
    _grain(pen, chance, (60, 120, 900, 230))
    for place, x in enumerate((130, 330, 540, 750)):
        _grain(pen, chance, (x, 290 if place == 1 else 230, x + 80, 620), upright=True)
    pen.ellipse((300, 220, 440, 310), outline=STEEL, width=8)


def _barrier(pen: ImageDraw.ImageDraw, chance: Random) -> None:
    pen.polygon(((380, 250), (580, 250), (960, 720), (0, 720)), fill=(120, 122, 120))
    for y in (330, 430):
        for place in range(12):
            fill = STEEL if place % 2 else (255, 255, 255)
            pen.rectangle((120 + 60 * place, y, 180 + 60 * place, y + 46), fill=fill, outline=DARK)
    for x in (150, 780):
        _grain(pen, chance, (x, 310, x + 30, 560), upright=True)


def _span(pen: ImageDraw.ImageDraw, chance: Random) -> None:
    pen.rectangle((0, 520, 960, 720), fill=WATER)
    _grain(pen, chance, (40, 250, 920, 370))
    pen.rectangle((40, 226, 920, 250), fill=(61, 71, 77))
    for x in range(90, 920, 110):
        _grain(pen, chance, (x, 120, x + 22, 250), upright=True)
    _grain(pen, chance, (40, 130, 920, 160))


def _deck(pen: ImageDraw.ImageDraw, chance: Random) -> None:
    for place in range(16):
        _grain(pen, chance, (0, 45 * place, 960, 45 * place + 44))
    pen.line((180, 210, 700, 236), fill=DARK, width=7)
