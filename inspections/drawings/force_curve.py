"""Rating factor against bar force: the least of each group of vehicles, today's reading, and what changes where."""

from collections.abc import Sequence
from dataclasses import dataclass

from inspections.rules.force_curve import CurveStep, GroupCurve
from inventory.drawings.ink import BLUE, INK, PAPER, SKY, SOFT, VERMILION, Ink

LEFT = 46.0
WIDTH = 506.0
HEIGHT = 230.0
TOP = 34.0
RIGHT = 196.0
BOTTOM = 74.0
# Told apart by dashes and by the words at their ends, not by colour alone.
LOOKS = {
    "general": (INK, 2.6, None),
    "legal": (BLUE, 1.5, "9 3"),
    "county": (SOFT, 1.5, "9 3 2 3"),
    "shv": (BLUE, 1.5, "3 3"),
    "emergency": (VERMILION, 1.5, "6 3 2 3"),
    "permit": (SOFT, 1.3, "4 2"),
    "design": (SKY, 1.3, "2 3"),
}


@dataclass(frozen=True, kw_only=True)
class CurveSheet:
    """What is drawn: groups, numbered steps, today's pressure (None not known), lb of a bar for 1 psi, closing at."""

    groups: Sequence[GroupCurve]
    steps: Sequence[CurveStep]
    today_psi: float | None
    force_per_psi_lb: float | None
    closing_psi: float
    title: str

    @property
    def top_psi(self) -> float:
        return max(run[-1][0] for group in self.groups for run in group.runs)

    @property
    def top_factor(self) -> float:
        """High enough for 1, low enough that the governing line fills the sheet; others are cut above it."""
        return 1.12 * max(1.25, min(1.6 * self.groups[0].highest, max(group.highest for group in self.groups)))


def curve_drawing(sheet: CurveSheet, *, key: str) -> str:
    """The curve as SVG; both axes from zero, every point in proportion."""
    ink = Ink(
        key=key,
        width=LEFT + WIDTH + RIGHT,
        height=TOP + HEIGHT + BOTTOM,
        title=sheet.title,
        desc=_described(sheet),
    )
    _draw_frame(ink, sheet)
    for group in reversed(sheet.groups):
        _draw_group(ink, sheet, group)
    _draw_ends(ink, sheet)
    _draw_steps(ink, sheet)
    _draw_today(ink, sheet)
    return ink.svg()


def _x(sheet: CurveSheet, psi: float) -> float:
    return LEFT + WIDTH * min(psi, sheet.top_psi) / sheet.top_psi


def _y(sheet: CurveSheet, factor: float) -> float:
    return TOP + HEIGHT - HEIGHT * min(max(factor, 0.0), sheet.top_factor) / sheet.top_factor


def _described(sheet: CurveSheet) -> str:
    governing = sheet.groups[0]
    if sheet.today_psi is None:
        told = "No reading in date: counted as no pressure, where the governing factor is "
        return f"{told}{governing.at(0.0):.2f}. The table below holds the same values."
    return (
        f"Today {sheet.today_psi:.0f} psi, governing factor {governing.at(sheet.today_psi):.2f}. "
        "The table below holds the same values."
    )


def _draw_frame(ink: Ink, sheet: CurveSheet) -> None:
    base = TOP + HEIGHT
    closing = _x(sheet, sheet.closing_psi)
    ink.hatched([(LEFT, TOP), (closing, TOP), (closing, base), (LEFT, base)])
    ink.text(LEFT + 5, TOP + 14, "closing", size=11.0, fill=SOFT, stroke=PAPER, stroke_width=3, paint_order="stroke")
    ink.line(LEFT, base, LEFT + WIDTH, base, stroke=SOFT)
    ink.line(LEFT, TOP, LEFT, base, stroke=SOFT)
    ink.text(LEFT - 8, TOP - 8, "factor", size=11.5, fill=SOFT, anchor="middle")
    _draw_factor_axis(ink, sheet)
    _draw_force_axis(ink, sheet)


def _draw_factor_axis(ink: Ink, sheet: CurveSheet) -> None:
    step = 0.5 if sheet.top_factor < 4 else 1.0 if sheet.top_factor < 8 else 5.0
    for count in range(1, int(sheet.top_factor / step) + 1):
        factor = count * step
        y, is_one = _y(sheet, factor), factor == 1.0
        ink.line(LEFT, y, LEFT + WIDTH, y, kind="factor-one" if is_one else "", stroke=INK if is_one else SOFT,
                 stroke_width=1.0 if is_one else 0.4, stroke_dasharray="5 3" if is_one else None)  # fmt: skip
        ink.text(LEFT - 6, y + 4, f"{factor:g}", size=11.0, fill=INK if is_one else SOFT, anchor="end")


def _draw_force_axis(ink: Ink, sheet: CurveSheet) -> None:
    base = TOP + HEIGHT
    wide = next(width for width in (10, 20, 25, 50) if sheet.top_psi / width <= 11)
    for psi in range(0, int(sheet.top_psi) + 1, wide):
        x = _x(sheet, psi)
        ink.line(x, base, x, base + 5, stroke=SOFT)
        ink.text(x, base + 18, f"{psi}", size=11.0, anchor="middle", fill=SOFT)
        if sheet.force_per_psi_lb:
            kip = psi * sheet.force_per_psi_lb / 1000.0
            ink.text(x, base + 50, f"{kip:.3g}", size=11.0, anchor="middle", fill=SOFT)
    ink.text(LEFT + WIDTH + 33, base + 18, "psi, least local", size=11.5, fill=SOFT)
    if sheet.force_per_psi_lb:
        ink.text(LEFT + WIDTH + 33, base + 50, "kip in one bar", size=11.5, fill=SOFT)


def _draw_group(ink: Ink, sheet: CurveSheet, group: GroupCurve) -> None:
    colour, width, dash = LOOKS[group.key]
    for number, run in enumerate(group.runs):
        d = "M" + " L".join(f"{_x(sheet, psi):.2f} {_y(sheet, factor):.2f}" for psi, factor in run)
        ink.path(d, kind=f"curve-{group.key}", stroke=colour, stroke_width=width, stroke_dasharray=dash)
        if group.key == "general" and number:
            before, after = group.runs[number - 1][-1], run[0]
            if abs(after[1] - before[1]) > 1e-4:
                x = _x(sheet, after[0])
                ink.line(x, _y(sheet, before[1]), x, _y(sheet, after[1]), stroke=colour, stroke_dasharray="1 3")
                ink.dot(x, _y(sheet, before[1]), 3.2, fill=PAPER, stroke=colour, stroke_width=1.2)
                ink.dot(x, _y(sheet, after[1]), 3.2, fill=colour, stroke=colour, stroke_width=1.2)


def _draw_ends(ink: Ink, sheet: CurveSheet) -> None:
    """The names at the right ends, apart from each other, each with a piece of its own line."""
    ends = sorted(((_y(sheet, group.runs[-1][-1][1]), group) for group in sheet.groups), key=lambda end: end[0])
    y = 0.0
    for at, group in ends:
        colour, width, dash = LOOKS[group.key]
        y = max(at, y + 16.0, TOP)
        ink.line(LEFT + WIDTH + 6, y, LEFT + WIDTH + 28, y, stroke=colour, stroke_width=width, stroke_dasharray=dash)
        ink.text(LEFT + WIDTH + 33, y + 4, group.name, size=11.5, bold=group.key == "general")


def _draw_steps(ink: Ink, sheet: CurveSheet) -> None:
    """A tick and a number for each threshold; the words stand in the table. Numbers that would meet stand higher."""
    base, last, raised = TOP + HEIGHT, -99.0, 0
    for step in sheet.steps:
        x = _x(sheet, step.pressure_psi)
        raised = (raised + 1) % 3 if x - last < 14 else 0
        last = x
        ink.line(x, base - 6, x, base + 6, kind="curve-step", stroke=VERMILION, stroke_width=1.6)
        ink.text(x, base - 10 - 12 * raised, f"{step.number}", size=11.0, anchor="middle", fill=VERMILION, bold=True,
                 stroke=PAPER, stroke_width=3, paint_order="stroke")  # fmt: skip


def _draw_today(ink: Ink, sheet: CurveSheet) -> None:
    psi = sheet.today_psi or 0.0
    x, factor = _x(sheet, psi), sheet.groups[0].at(psi)
    ink.line(x, TOP - 6, x, TOP + HEIGHT, kind="curve-today", stroke=BLUE, stroke_width=1.4, stroke_dasharray="7 2")
    ink.dot(x, _y(sheet, factor), 5.0, kind="today-dot", fill=BLUE, stroke=PAPER, stroke_width=1.2)
    if sheet.today_psi is None:
        words = "no reading in date"
    else:
        words = f"today {psi:.0f} psi" + (", off the sheet" if psi > sheet.top_psi else "")
    near_right = x > LEFT + WIDTH * 0.8
    ink.text(x, TOP - 12, words, size=12.0, fill=BLUE, bold=True, anchor="end" if near_right else "start")
