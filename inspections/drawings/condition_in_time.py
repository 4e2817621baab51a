"""Condition over the years: ratings as steps, element quantities as shares, the sizes of one finding against its days.

Every mark has its word or number beside it: colour says nothing alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from inventory.drawings.ink import BLUE, INK, LINE, PAPER, SKY, SOFT, VERMILION, Ink

from .label_room import LabelRoom
from .markers import draw_marker
from .time_axis import TimeAxis, day_words, draw_time_axis

LEFT, WIDTH, RIGHT, TOP, HEIGHT, FOOT = 60.0, 248.0, 86.0, 30.0, 130.0, 34.0
CLASSES = ((7, "Good from 7"), (5, "Fair from 5"))
STATES = (("1 good", PAPER), ("2 fair", SKY), ("3 poor", VERMILION), ("4 severe", INK))
LEGEND_PX = 24.0


@dataclass(frozen=True, kw_only=True)
class RatingSteps:
    """One component: (day, code 0 to 9) by rising day; `word` of the newest code."""

    label: str
    points: tuple[tuple[date, int], ...]
    word: str = ""


@dataclass(frozen=True, kw_only=True)
class ElementShares:
    """One element: (day, shares of states 1 to 4 that add up to 1) by rising day."""

    label: str
    points: tuple[tuple[date, tuple[float, float, float, float]], ...]


@dataclass(frozen=True, kw_only=True)
class SizeLine:
    """One size of a finding: (day, value)."""

    label: str
    unit: str
    points: tuple[tuple[date, float], ...]


def _sheet(key: str, title: str, desc: str, days: Sequence[date], extra: float = 0.0) -> tuple[Ink, TimeAxis]:
    ink = Ink(key=key, width=LEFT + WIDTH + RIGHT, height=TOP + HEIGHT + FOOT + extra, title=title, desc=desc)
    axis = TimeAxis(first=min(days), last=max(days), left=LEFT, width=WIDTH)
    ink.text(LEFT - 46, 17, title, size=13.0, bold=True)
    ink.line(LEFT, TOP + HEIGHT, LEFT + WIDTH, TOP + HEIGHT, stroke_width=0.9)
    draw_time_axis(ink, axis, base=TOP + HEIGHT, top=TOP)
    return ink, axis


def rating_steps(sheet: RatingSteps, *, today: date, key: str) -> str:
    """Codes 0 to 9 upwards; each holds until the next inspection."""
    _, last_code = sheet.points[-1]
    desc = "; ".join(f"{day_words(day)}: {code}" for day, code in sheet.points)
    ink, axis = _sheet(key, sheet.label, desc, [*(day for day, _ in sheet.points), today])

    def y(code: float) -> float:
        return TOP + HEIGHT * (9 - code) / 9

    for code in range(10):
        ink.text(LEFT - 8, y(code) + 4, f"{code}", size=10.5, fill=SOFT, anchor="end")
        ink.line(LEFT, y(code), LEFT + WIDTH, y(code), stroke=LINE, stroke_width=0.4)
    for code, words in CLASSES:
        ink.line(LEFT, y(code), LEFT + WIDTH, y(code), kind="class-limit", stroke=SOFT, stroke_width=1,
                 stroke_dasharray="6 3")  # fmt: skip
        ink.text(LEFT + WIDTH + 8, y(code) + 4, words, size=10.5, fill=SOFT)
    path = [f"M{axis.x(sheet.points[0][0]):.2f} {y(sheet.points[0][1]):.2f}"]
    for day, code in sheet.points[1:]:
        path.append(f"H{axis.x(day):.2f} V{y(code):.2f}")
    ink.path(" ".join([*path, f"H{axis.x(today):.2f}"]), kind="steps", stroke=BLUE, stroke_width=2)
    for day, code in sheet.points:
        ink.dot(axis.x(day), y(code), 2.8, kind="rated", fill=INK, stroke=INK)
    ink.text(LEFT + WIDTH + RIGHT - 8, 17, f"now {last_code} {sheet.word}".strip(), size=12.0, bold=True, anchor="end")
    return ink.svg()


def element_shares(sheet: ElementShares, *, key: str) -> str:
    """A bar for each inspection, state 1 lowest; the share is written in each part that has room for it."""
    desc = "; ".join(
        f"{day_words(day)}: " + ", ".join(f"{share:.0%} in state {n}" for n, share in enumerate(shares, 1) if share > 0)
        for day, shares in sheet.points
    )
    ink, axis = _sheet(key, sheet.label, desc, [day for day, _ in sheet.points], LEGEND_PX)
    gaps = [axis.x(later) - axis.x(day) for (day, _), (later, _) in pairwise(sheet.points)]
    wide = max(4.0, min([24.0, *(gap * 0.8 for gap in gaps)]))
    for share in (0.0, 0.5, 1.0):
        ink.text(LEFT - 16, TOP + HEIGHT * (1 - share) + 4, f"{share:.0%}", size=10.5, fill=SOFT, anchor="end")
    for day, shares in sheet.points:
        base = TOP + HEIGHT
        for number, (share, (_, fill)) in enumerate(zip(shares, STATES, strict=True), start=1):
            tall = HEIGHT * share
            if tall <= 0:
                continue
            ink.box(axis.x(day) - wide / 2, base - tall, wide, tall, kind=f"state-{number}", fill=fill, stroke=INK)
            if tall > 12 and wide >= 10:
                ink.text(axis.x(day), base - tall / 2 + 4, f"{number}", size=10.5, anchor="middle",
                         fill=PAPER if number > 2 else INK)  # fmt: skip
            base -= tall
    for place, (words, fill) in enumerate(STATES):
        x, y = LEFT + place * 82, TOP + HEIGHT + FOOT + 4
        ink.box(x, y, 14, 12, fill=fill, stroke=INK)
        ink.text(x + 20, y + 10, words, size=11.0)
    return ink.svg()


def size_in_time(sheet: SizeLine, *, title: str, key: str) -> str:
    """One size of one finding against the days it was measured, from zero up."""
    desc = "; ".join(f"{day_words(day)}: {value:g} {sheet.unit}" for day, value in sheet.points)
    ink, axis = _sheet(key, title, desc, [day for day, _ in sheet.points])
    values = [value for _, value in sheet.points]
    low, high = min(0.0, *values), max(0.0, *values)
    span = (high - low) * 1.1 or 1.0

    def y(value: float) -> float:
        return TOP + HEIGHT - HEIGHT * (value - low) / span

    ink.line(LEFT, y(0.0), LEFT + WIDTH, y(0.0), stroke=SOFT, stroke_width=0.6)
    ink.text(LEFT - 8, y(0.0) + 4, "0", size=10.5, fill=SOFT, anchor="end")
    d = " L".join(f"{axis.x(day):.2f} {y(value):.2f}" for day, value in sheet.points)
    ink.path(f"M{d}", kind="size-line", stroke=BLUE, stroke_width=1.8)
    room = LabelRoom()
    for day, value in sheet.points:
        draw_marker(ink, "square", axis.x(day), y(value), kind="measured")
        words = f"{value:g} {sheet.unit}"
        for at in (y(value) - 9, y(value) + 17):
            if at < TOP + HEIGHT - 3 and room.take_words(axis.x(day), at, words, size=11.0, anchor="middle"):
                ink.text(axis.x(day), at, words, size=11.0, anchor="middle", kind="value-word")
                break
    return ink.svg()
