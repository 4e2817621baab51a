"""The governing member in section, to scale and with what it lost, beside the row of members it stands in."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from inventory.drawings.ink import (
    ASPHALT,
    INK,
    PAPER,
    SOFT,
    VERMILION,
    WOOD,
    WOOD_DARK,
    Ink,
    refused_drawing,
    wrapped,
)
from inventory.drawings.shapes import feet_and_inches, inches, is_size

WIDTH, HEIGHT = 760.0, 216.0
ROW_WIDTH, ROW_LEFT = 400.0, 40.0
MEMBER_LEFT, MEMBER_TOP, MEMBER_MOST = 520.0, 40.0, 128.0
LARGEST_IN = 240.0
FLANGE_SIDE = 34.0


@dataclass(frozen=True, kw_only=True)
class MemberDrawing:
    """Plain values of the span and the governing member as stored, and the station the section is cut at."""

    key: str
    span: Mapping
    member: Mapping
    station_ft: float
    title: str


def member_section(drawing: MemberDrawing) -> str:
    """The section as SVG text: left the row across the deck, right the member itself with its losses at the station."""
    member = drawing.member
    if not (is_size(member.get("width_in"), LARGEST_IN) and is_size(member.get("depth_in"), LARGEST_IN)):
        sentence = "The size of the governing member does not stand in the stored inputs."
        return refused_drawing(key=drawing.key, title=drawing.title, sentences=[sentence])
    ink = Ink(key=drawing.key, width=WIDTH, height=HEIGHT, title=drawing.title, desc=member_words(drawing))
    _draw_row(ink, drawing)
    _draw_member(ink, drawing)
    return ink.svg()


def deck_on_members_in(span: Mapping) -> float:
    """Thickness of a deck that lies on the members, 0 where they are the deck themselves."""
    return float(span.get("deck_thickness_in") or 0.0) if span.get("deck_kind") not in (None, "", "none") else 0.0


def losses_here(drawing: MemberDrawing) -> list[Mapping]:
    """Losses that reach the station, an edge included."""
    return [
        loss
        for loss in drawing.member.get("losses") or []
        if loss["from_ft"] - 1e-4 <= drawing.station_ft <= loss["to_ft"] + 1e-4
    ]


def _draw_row(ink: Ink, drawing: MemberDrawing) -> None:
    span, member = drawing.span, drawing.member
    width_ft = span.get("deck_width_ft") or span.get("roadway_width_ft")
    if not is_size(width_ft, 2000.0):
        return
    unit = ROW_WIDTH / width_ft
    deck = deck_on_members_in(span) / 12 * unit
    layers = sum(layer.get("thickness_in", 0.0) for layer in span.get("surfacing") or []) / 12 * unit
    top = 62.0
    ink.text(ROW_LEFT, 22, "across the roadway", size=12.5, fill=SOFT)
    if layers:
        road = min(span.get("roadway_width_ft") or width_ft, width_ft)
        ink.box(ROW_LEFT + (width_ft - road) / 2 * unit, top - max(layers, 1.0), road * unit, max(layers, 1.0),
                kind="layer", fill=ASPHALT, stroke=INK, stroke_width=0.4)  # fmt: skip
    if deck:
        ink.box(ROW_LEFT, top, ROW_WIDTH, max(deck, 1.5), kind="deck", fill=WOOD_DARK)
    below = top + deck
    size = (member["width_in"] / 12 * unit, member["depth_in"] / 12 * unit)
    places = _places(member, width_ft)
    if member.get("role") == "lamination_deck" or not places:
        whole = member.get("role") in ("lamination_deck", "panel_deck")
        if whole:
            ink.box(ROW_LEFT, below, ROW_WIDTH, size[1], kind="member", fill=WOOD)
        else:
            places = [(width_ft / 2, True)]
        if whole:
            foot = unit if member["role"] == "lamination_deck" else size[0]
            ink.box(ROW_LEFT + ROW_WIDTH / 2, below, foot, size[1], kind="governing", fill=WOOD, stroke=VERMILION,
                    stroke_width=2.2)  # fmt: skip
    for depth, low in _flanges(member):
        y = below + (size[1] - depth / 12 * unit if low else 0.0)
        ink.box(ROW_LEFT, y, ROW_WIDTH, max(depth / 12 * unit, 1.5), kind="flange", fill=PAPER, stroke=SOFT)
    for place, governs in places:
        _draw_shape(ink, member, ROW_LEFT + place * unit - size[0] / 2, below, size, governs)
    foot = below + size[1]
    ink.dimension(ROW_LEFT, ROW_LEFT + ROW_WIDTH, foot + 30, f"{feet_and_inches(width_ft)} deck, out to out")
    for number, line in enumerate(_row_words(drawing)):
        ink.text(ROW_LEFT, foot + 52 + 16 * number, line, size=12.0)


def _places(member: Mapping, width_ft: float) -> list[tuple[float, bool]]:
    """Centres across the deck with whether the member rated is one of them; empty where the row is not known.

    A member named by its numbers ('stringer 5') is those of the row, counted from the left edge.
    """
    count, spacing = member.get("count"), member.get("spacing_ft")
    if not count or not spacing or not 2 <= count <= 200 or (count - 1) * spacing > width_ft:
        return []
    first = (width_ft - (count - 1) * spacing) / 2
    named = re.search(r"\b(?:stringer|web|panel) ([0-9, ]+)$", member.get("label", ""))
    numbers = {int(number) for number in named[1].replace(",", " ").split()} if named else set()
    outer = bool(member.get("exterior"))
    return [
        (first + at * spacing, at + 1 in numbers if numbers else (at in (0, count - 1)) == outer) for at in range(count)
    ]


def _flanges(member: Mapping) -> list[tuple[float, bool]]:
    """(depth in, whether it lies low) of the flanges between the webs of T and box spans."""
    named = ((member.get("flange_depth_in"), False), (member.get("bottom_flange_depth_in"), True))
    return [(depth, low) for depth, low in named if is_size(depth, LARGEST_IN)]


def _draw_shape(ink: Ink, member: Mapping, x: float, y: float, size: tuple[float, float], governs: bool) -> None:
    look = {"fill": WOOD if governs else PAPER, "stroke": VERMILION if governs else SOFT}
    if member.get("shape") == "round":
        ink.dot(x + size[0] / 2, y + size[1] / 2, size[1] / 2, kind="member", **look)
    else:
        ink.box(x, y, max(size[0], 1.5), size[1], kind="member", stroke_width=1.6 if governs else 0.8, **look)


def _row_words(drawing: MemberDrawing) -> list[str]:
    member = drawing.member
    spacing = f" at {feet_and_inches(member['spacing_ft'])}" if member.get("spacing_ft") else ""
    kind = {"lamination_deck": "one foot of the deck is rated", "panel_deck": "one panel is rated"}
    words = kind.get(member.get("role"), f"{member['label']}{spacing}: the members drawn in wood are meant")
    return wrapped(words, 62)


def _draw_member(ink: Ink, drawing: MemberDrawing) -> None:
    member = drawing.member
    per_foot = member.get("role") == "lamination_deck"
    width = 12.0 if per_foot else float(member["width_in"])
    depth = float(member["depth_in"])
    unit = min(MEMBER_MOST / depth, 180.0 / width)
    left, top = MEMBER_LEFT + (200.0 - width * unit) / 2, MEMBER_TOP
    ink.text(MEMBER_LEFT - 40, 22, f"the member at {drawing.station_ft:.2f} ft", size=12.5, fill=SOFT)
    for flange, low in _flanges(member):
        y = top + (depth - flange) * unit if low else top
        sides = (left + width * unit,) if member.get("exterior") else (left - FLANGE_SIDE, left + width * unit)
        for x in sides:
            ink.box(x, y, FLANGE_SIDE, flange * unit, kind="flange", fill=PAPER, stroke=SOFT, stroke_dasharray="5 3")
    if member.get("shape") == "round":
        ink.dot(left + width * unit / 2, top + depth * unit / 2, depth * unit / 2, kind="member", fill=WOOD, stroke=INK)
    else:
        ink.box(left, top, width * unit, depth * unit, kind="member", fill=WOOD, stroke=INK, stroke_width=1.4)
        if per_foot:
            for at in range(1, round(12.0 / member["width_in"])):
                x = left + at * member["width_in"] * unit
                ink.line(x, top, x, top + depth * unit, stroke=WOOD_DARK, stroke_width=0.7)
    for loss in losses_here(drawing):
        _draw_loss(ink, member, loss, (left, top, width, depth, unit))
    ink.dimension(left, left + width * unit, top + depth * unit + 28, "1 ft" if per_foot else inches(width))
    ink.upright_dimension(left - (FLANGE_SIDE + 16 if _flanges(member) else 18), top, top + depth * unit, inches(depth))


def _draw_loss(ink: Ink, member: Mapping, loss: Mapping, frame: tuple[float, float, float, float, float]) -> None:
    left, top, width, depth, unit = frame
    gone = {"kind": "loss", "fill": PAPER, "stroke": VERMILION, "stroke_dasharray": "4 3", "stroke_width": 1.3}
    deep = loss.get("depth_in", 0.0) * unit
    if loss["kind"] == "surface":
        box = {
            "top": (left, top, width * unit, deep),
            "bottom": (left, top + depth * unit - deep, width * unit, deep),
            "left": (left, top, deep, depth * unit),
            "right": (left + width * unit - deep, top, deep, depth * unit),
        }.get(loss.get("face"))
        if box:
            ink.box(*box, **gone)
    elif loss["kind"] in ("void", "low_resistance"):
        wide, high = loss["width_in"] * unit, loss["height_in"] * unit
        middle = top + (depth / 2 - loss.get("offset_in", 0.0)) * unit
        ink.box(left + (width * unit - wide) / 2, middle - high / 2, wide, high, **gone)
    elif loss["kind"] == "shell" and member.get("shape") == "round":
        ink.dot(left + width * unit / 2, top + depth * unit / 2, max(depth * unit / 2 - deep, 0.0), **gone)
    elif loss["kind"] == "shell":
        ink.box(left + deep, top + deep, max(width * unit - 2 * deep, 0.0), max(depth * unit - 2 * deep, 0.0), **gone)
    elif loss["kind"] == "split":
        x = left if loss.get("face") != "right" else left + width * unit - deep
        ink.line(x, top + depth * unit / 2, x + deep, top + depth * unit / 2, stroke=VERMILION, stroke_width=2.4)
    elif loss["kind"] == "lamination_lost":
        for at in range(min(int(loss.get("count", 0)), 8)):
            ink.box(left + at * member["width_in"] * unit, top, member["width_in"] * unit, depth * unit, **gone)


def member_words(drawing: MemberDrawing) -> str:
    member = drawing.member
    lost = [loss["kind"].replace("_", " ") for loss in losses_here(drawing)]
    words = f"Lost at {drawing.station_ft:.2f} ft: {', '.join(lost)}." if lost else "No loss there is on record."
    return f"{member['label']}: {member['width_in']:g} x {member['depth_in']:g} in. {words}"
