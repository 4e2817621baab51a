"""An axle train to scale: wheels at their places, weights above, spacings below; a variable spacing at its least."""

from collections.abc import Sequence

from .ink import INK, SOFT, Ink

LEFT, RIGHT = 30.0, 30.0
WIDTH = 700.0
WHEEL = 7.0
LEAST_GAP_FOR_WORDS = 46.0


def axle_train(
    *, axles_kip: Sequence[float], spacings_ft: Sequence[Sequence[float]], name: str, key: str, most_ft: float = 0.0
) -> str:
    """The train as SVG, front to the left. `most_ft` lets several drawings share one scale (ft across the drawing)."""
    places = [0.0]
    for least, _most in spacings_ft:
        places.append(places[-1] + least)
    length = max(most_ft, places[-1], 20.0)
    per_ft = (WIDTH - LEFT - RIGHT) / length
    words = "; ".join(
        [f"axles {', '.join(f'{axle:g}' for axle in axles_kip)} kip"]
        + ([f"spacings {', '.join(gap_words(gap) for gap in spacings_ft)} ft"] if spacings_ft else [])
    )
    base = 62.0
    ink = Ink(
        key=key, width=WIDTH, height=base + 56, title=f"Axle train of {name}", desc=f"Front to the left: {words}."
    )
    ink.line(LEFT - 20, base, WIDTH - RIGHT + 20, base, stroke=INK, stroke_width=1.4, kind="road")
    places = [LEFT + x * per_ft for x in places]
    _draw_body(ink, places, base)
    _draw_weights(ink, axles_kip, places, base)
    for gap, (x, following) in zip(spacings_ft, zip(places, places[1:], strict=False), strict=True):
        _draw_gap(ink, gap, x, following, base + 20)
    ink.scale_bar(LEFT, base + 46, per_ft)
    return ink.svg()


def gap_words(gap: Sequence[float]) -> str:
    least, most = gap
    return f"{least:g}" if least == most else f"{least:g} to {most:g}"


def _draw_body(ink: Ink, places: list[float], base: float) -> None:
    ink.line(
        places[0] - 8, base - 2 * WHEEL - 3, places[-1] + 8, base - 2 * WHEEL - 3, stroke=SOFT, stroke_width=2,
        kind="frame",
    )  # fmt: skip


def _draw_weights(ink: Ink, axles_kip: Sequence[float], places: list[float], base: float) -> None:
    """Words of axles close together stand on two levels, so that none covers another."""
    level, before = 0, -1e9
    for axle, x in zip(axles_kip, places, strict=True):
        ink.dot(x, base - WHEEL, WHEEL, kind="axle", fill=INK, stroke=INK)
        level = 1 - level if x - before < LEAST_GAP_FOR_WORDS else 0
        before = x
        ink.text(x, base - 2 * WHEEL - 10 - 14 * level, f"{axle:g} k", anchor="middle", size=12.0, kind="weight")


def _draw_gap(ink: Ink, gap: Sequence[float], x: float, following: float, y: float) -> None:
    ink.line(x, y, following, y, kind="spacing", stroke_width=0.9, stroke_dasharray=None if gap[0] == gap[1] else "5 3")
    for end in (x, following):
        ink.line(end - 3, y + 3, end + 3, y - 3, stroke_width=1.2)
    words = gap_words(gap) if following - x < LEAST_GAP_FOR_WORDS else f"{gap_words(gap)} ft"
    ink.text((x + following) / 2, y + 14, words, anchor="middle", size=12.0, kind="spacing-words")
