"""Members of every system, sized by span the way a county office would have found them on old drawings."""

from dataclasses import dataclass

from inventory.models import Bar, MemberGroup, Span, StressingSystem

BEAMS = {"species": "Douglas fir-larch", "size_class": "beams and stringers", "product": "sawn"}
DIMENSION = {"species": "Douglas fir-larch", "size_class": "dimension, 2 to 4 in thick", "product": "sawn"}
GLULAM_BEAM = {
    "species": "Glulam DF/DF",
    "grade": "24F-V4",
    "size_class": "glulam beam, bending about x-x",
    "product": "glulam",
}
GLULAM_PANEL = {
    "species": "Glulam DF",
    "grade": "Combination 2 (L2), y-y axis, 4 or more laminations",
    "size_class": "glulam deck panel, bending about y-y",
    "product": "glulam",
}
POSTS = {"species": "Douglas fir-larch", "size_class": "posts and timbers", "product": "sawn"}
PSL = {"species": "PSL", "grade": "2.0E", "size_class": "parallel strand lumber", "product": "psl"}
SOURCE = "published table of the species, grade and size class"


@dataclass(frozen=True)
class Width:
    """Roadway and deck width of a structure, ft, and its traffic lanes."""

    roadway_ft: float
    deck_ft: float
    lanes: int


def width_of(year: int) -> Width:
    """Older bridges are narrower."""
    if year < 1975:
        return Width(18.0, 19.5, 1)
    return Width(24.0, 26.0, 2) if year < 2000 else Width(28.0, 30.0, 2)


def sawn_stringers(span: Span, width: Width, year: int, grade: str) -> list[MemberGroup]:
    length = span.length_ft
    width_in, depth_in = (6, 14) if length < 16 else (6, 16) if length < 20 else (8, 18) if length < 24 else (10, 20)
    spacing = 2.0
    count = int(width.deck_ft // spacing)
    plank = year < 1985
    span.deck_kind, span.deck_thickness_in = ("plank", 3.0) if plank else ("nail_laminated", 5.5)
    deck = dict(width_in=11.25, depth_in=3.0) if plank else dict(width_in=1.5, depth_in=5.5)
    deck["runs_over_supports"] = True
    first = (width.deck_ft - (count - 1) * spacing) / 2
    return [
        MemberGroup(
            span=span,
            role="stringer",
            count=count,
            spacing_ft=spacing,
            first_offset_ft=first,
            width_in=width_in,
            depth_in=depth_in,
            bearing_length_in=10,
            grade=grade,
            value_source=SOURCE,
            **BEAMS,
        ),
        MemberGroup(span=span, role="deck", count=1, grade="No.2", value_source=SOURCE, **deck, **DIMENSION),
    ]


def glulam_stringers(span: Span, width: Width, year: int, grade: str) -> list[MemberGroup]:
    spacing = 5.0 if width.deck_ft > 24 else 4.5
    count = int(width.deck_ft // spacing)
    depth = round(span.length_ft * 0.9 / 1.5) * 1.5
    span.deck_kind, span.deck_thickness_in = "glulam_panel", 5.125
    first = (width.deck_ft - (count - 1) * spacing) / 2
    return [
        MemberGroup(
            span=span,
            role="stringer",
            count=count,
            spacing_ft=spacing,
            first_offset_ft=first,
            width_in=8.75,
            depth_in=depth,
            bearing_length_in=14,
            value_source=SOURCE,
            **GLULAM_BEAM,
        ),
        MemberGroup(
            span=span,
            role="deck",
            count=1,
            width_in=48,
            depth_in=5.125,
            runs_over_supports=True,
            value_source=SOURCE,
            **GLULAM_PANEL,
        ),
    ]


def laminations(span: Span, width: Width, year: int, grade: str) -> list[MemberGroup]:
    length = span.length_ft
    depth = 9.25 if length < 15 else 11.25 if length < 20 else 13.25 if length < 26 else 15.25
    thickness = 3.5
    span.deck_kind, span.deck_thickness_in = "none", depth
    span.interconnected = span.system != "nail_laminated" or year > 1970
    return [
        MemberGroup(
            span=span,
            role="lamination",
            count=round(width.deck_ft * 12 / thickness),
            width_in=thickness,
            depth_in=depth,
            bearing_length_in=12,
            grade=grade,
            value_source=SOURCE,
            **DIMENSION,
        )
    ]


def glulam_panels(span: Span, width: Width, year: int, grade: str) -> list[MemberGroup]:
    depth = 10.5 if span.length_ft < 22 else 12.25 if span.length_ft < 27 else 14.25
    count = round(width.deck_ft / 4)
    span.deck_kind, span.deck_thickness_in, span.interconnected = "none", depth, True
    return [
        MemberGroup(
            span=span,
            role="panel",
            count=count,
            spacing_ft=width.deck_ft / count,
            width_in=width.deck_ft / count * 12,
            depth_in=depth,
            bearing_length_in=12,
            value_source=SOURCE,
            **GLULAM_PANEL,
        ),
        MemberGroup(
            span=span,
            role="stiffener",
            count=3,
            spacing_ft=span.length_ft / 4,
            width_in=6.75,
            depth_in=4.5,
            value_source=SOURCE,
            **GLULAM_BEAM,
        ),
    ]


def ribs(span: Span, width: Width, year: int, grade: str) -> list[MemberGroup]:
    """T and box: webs of parallel strand lumber with laminations between them, boxes with a bottom flange too."""
    is_box = span.system == "stress_laminated_box"
    length = span.length_ft
    depth = 24 if length <= 36 else 27 if length <= 40 else 30 if length <= 44 else 33 if length <= 50 else 36
    count = int(width.deck_ft // 2)
    span.deck_kind, span.deck_thickness_in = "stress_laminated", 9.0
    first = (width.deck_ft - (count - 1) * 2.0) / 2
    flange = dict(width_in=1.5, depth_in=9.0, grade="No.1", value_source=SOURCE, **DIMENSION)
    groups = [
        MemberGroup(
            span=span,
            role="web",
            count=count,
            spacing_ft=2.0,
            first_offset_ft=first,
            width_in=5.25,
            depth_in=depth,
            bearing_length_in=14,
            fb_psi=2900,
            fv_psi=290,
            fc_perp_psi=750,
            e_psi=2_000_000,
            maker_wet_bending=0.80,
            maker_wet_shear=0.85,
            maker_wet_bearing=0.65,
            maker_wet_modulus=0.85,
            value_source="typical maker's value; the evaluation report of the product used governs",
            **PSL,
        ),
        MemberGroup(span=span, role="flange", count=(count - 1) * 12, **flange),
    ]
    if is_box:
        groups.append(MemberGroup(span=span, role="bottom_flange", count=(count - 1) * 12, **flange))
    return groups


def pier_cap(span: Span, width: Width, grade: str) -> MemberGroup:
    """Cap of the bent at the far end of a span: five piles reaching nearly as far as the deck."""
    side = 14 if span.length_ft < 25 else 16
    return MemberGroup(
        span=span,
        role="cap",
        at_end="far",
        count=5,
        spacing_ft=width.deck_ft // 4.5,
        width_in=side,
        depth_in=side,
        bearing_length_in=12 if span.length_ft < 25 else 14,
        grade=grade,
        value_source=SOURCE,
        **POSTS,
    )


def members_of(span: Span, width: Width, year: int, grade: str) -> list[MemberGroup]:
    """All member groups of a span, with the cap on which it meets the next."""
    groups = BUILDERS[span.system](span, width, year, grade)
    if span.index < span.structure.span_count:
        groups.append(pier_cap(span, width, grade))
    return groups


BUILDERS = {
    "sawn_stringer": sawn_stringers,
    "glulam_stringer": glulam_stringers,
    "nail_laminated": laminations,
    "spike_laminated": laminations,
    "glulam_panel": glulam_panels,
    "stress_laminated": laminations,
    "stress_laminated_t": ribs,
    "stress_laminated_box": ribs,
}


def stressing(span: Span) -> tuple[StressingSystem, list[Bar]]:
    """1 in bars at 4 ft and a design force that gives 100 psi on the stressed depth (LRFD 9.9.5.6.3, memory)."""
    depth = span.deck_thickness_in
    spacing_in = 48.0
    count = int(span.length_ft * 12 // spacing_in)
    first = (span.length_ft - (count - 1) * spacing_in / 12) / 2
    system = StressingSystem(
        span=span,
        bar_diameter_in=1.0,
        bar_area_in2=0.85,
        spacing_in=spacing_in,
        stressed_depth_in=depth,
        design_force_lb=round(100 * spacing_in * depth, -2),
        design_source="design drawings, sheet 4",
        plate_width_in=12,
        plate_height_in=min(14, depth),
        edge_species="red oak",
    )
    bars = [Bar(system=system, number=i + 1, station_ft=round(first + i * spacing_in / 12, 2)) for i in range(count)]
    return system, bars
