"""Which spans may be taken as an orthotropic plate, and the plate each makes; a refusal is part of a sentence.

Longitudinal stress-laminated decks (ratios by the measured pressure, EM 7700-8 chapter 9, memory and model),
nail-laminated decks that act together (no bending across, torsion alone: EN 1995-2 gives E_90 = 0 for them, memory;
G 0.03 E as for stressed decks, the lower of what is known, model), webs of T and box spans with their flanges, and
stringers under a deck that is continuous across them. Members of one span are alike or nearly so; a stiffer outer
member stands as a beam under the edge. Panels joined by stiffeners alone are no plate, nor are planks.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.bars import PressureWorth
from inventory.mechanics.material import Service, modulus
from inventory.mechanics.plate import (
    Deck,
    PlateStiffness,
    Roadway,
    TransverseRatios,
    slab_stiffness,
    transverse_ratios,
)
from inventory.mechanics.plate.stiffness import LEAST_PRESSURE_PSI

from .cases import MemberCase, SpanCase
from .elements import member_service
from .policy import RatingPolicy
from .ribbed_plates import inner_member, member_deck, ribbed_deck
from .sections import member_section
from .shares import butt_joint_ratio

NAILED = TransverseRatios(e_ratio=1e-4, g_ratio=0.03, mark="model")
"""Nail-laminated: as good as no bending across; torsion of the stressed deck at 40 psi."""
MOST_SKEW_DEG = 30.0
MOST_SPACING_FT = 5.0
"""Farther apart, members smeared into a plate carry less than each by itself by more than 5 % (outer ones; held
against a finite element model of single beams)."""
FEWEST_MEMBERS = 4
UNLIKE = 0.25
"""Members whose stiffness differs more than this from the first inner one are not smeared into one plate."""
CONTINUOUS_DECKS = ("nail_laminated", "glulam_panel", "stress_laminated")

Step = tuple[str, float | str, str, str, str, str]


@dataclass(frozen=True, kw_only=True)
class PlateModel:
    """The plate of a span and the member's place in it; ``edges_in`` empty where a foot of deck is rated."""

    roadway: Roadway
    thickness_in: float
    stiffness_words: str
    words: str
    rest_words: str
    steps: tuple[Step, ...]
    edges_in: tuple[float, ...] = ()
    members: tuple[int, ...] = ()
    spacing_ft: float = 0.0

    @property
    def is_per_foot(self) -> bool:
        return not self.edges_in


def plate_of(*, case: SpanCase, member: MemberCase, worth: PressureWorth | None) -> PlateModel | str:
    """The plate for a member of the span, or the reason against it in words; ``OutsideValidity`` from its ranges."""
    if abs(case.skew_deg) > MOST_SKEW_DEG:
        return f"the skew of {case.skew_deg:g} degrees is over {MOST_SKEW_DEG:g}"
    if not case.simply_supported or case.continuous_unit:
        return "the plate stands on two bearings and this span runs on over its pier"
    if case.system in ("stress_laminated_deck", "nail_laminated_deck"):
        return _slab(case, member, worth)
    if case.system in ("stress_laminated_t", "stress_laminated_box"):
        return _ribbed(case, member, worth)
    if case.system == "stringer":
        return _stringers(case, member)
    return "panels joined by stiffeners alone do not make a plate"


def pressure_ratios(worth: PressureWorth | None) -> TransverseRatios | str:
    """E_T/E_L and G/E_L at the pressure counted on; below the need or 40 psi there is no plate action."""
    if worth is None or worth.treatment != "stressed":
        return "the bar pressure is below its need, so the deck is no plate"
    if worth.pressure_psi < LEAST_PRESSURE_PSI:
        return f"no transverse stiffness is known below {LEAST_PRESSURE_PSI:g} psi of bar pressure"
    return transverse_ratios(pressure_psi=worth.pressure_psi)


def _slab(case: SpanCase, member: MemberCase, worth: PressureWorth | None) -> PlateModel | str:
    if case.system == "nail_laminated_deck":
        ratios = NAILED if case.deck_interconnected else "the laminations are not on record as acting together"
        pressed = ""
    else:
        ratios = pressure_ratios(worth)
        pressed = f" at {worth.pressure_psi:.0f} psi" if worth is not None else ""
    if isinstance(ratios, str):
        return ratios
    deck = slab_deck(case=case, member=member, ratios=ratios)
    words = f"E_T/E_L {ratios.e_ratio:.4f}, G/E_L {ratios.g_ratio:.4f}{pressed}"
    if case.system == "nail_laminated_deck":
        words = f"no bending across (E_T/E_L {ratios.e_ratio:g}), G/E_L {ratios.g_ratio:.2f}, nail-laminated"
    joints = (
        "C_bj",
        butt_joint_ratio(case),
        "",
        "(j - 1)/j on D_x; 1 where no lamination is jointed",
        "butt joints",
        "model",
    )
    return PlateModel(
        roadway=roadway_on(case, deck),
        thickness_in=member.depth_in,
        stiffness_words=words,
        words="the deck as an orthotropic plate with free edges",
        rest_words="shear and bearing by the rule of the deck, thin plates having no finite shear beside a wheel",
        steps=(*_ratio_steps(ratios, pressed), joints, *_steps(deck.stiffness)),
    )


def slab_deck(*, case: SpanCase, member: MemberCase, ratios: TransverseRatios) -> Deck:
    """The plate of a longitudinal laminated deck with E' of the laminations, butt joints in D_x alone."""
    stiffness = slab_stiffness(
        thickness_in=member.depth_in,
        e_psi=modulus(value=member.material, service=member_service(case, member)).stress_psi,
        e_ratio=ratios.e_ratio,
        g_ratio=ratios.g_ratio,
        joint_factor=butt_joint_ratio(case),
    )
    return Deck(span_in=12.0 * case.span_ft, width_in=12.0 * case.deck_width_ft, stiffness=stiffness)


def _ribbed(case: SpanCase, member: MemberCase, worth: PressureWorth | None) -> PlateModel | str:
    ratios = pressure_ratios(worth)
    if isinstance(ratios, str):
        return ratios
    if refusal := _row_refusal(case):
        return refusal
    found = ribbed_deck(case=case, ratios=ratios)
    if isinstance(found, str):
        return found
    if found.outer_ratio < 1.0 - UNLIKE:
        return "the outer webs are much weaker than the inner ones"
    deck, inner = found.deck, inner_member(case)
    words = f"E_T/E_L {ratios.e_ratio:.4f}, G/E_L {ratios.g_ratio:.4f} at {worth.pressure_psi:.0f} psi"
    steps = (
        (
            "I of a web",
            found.web_inertia_in4,
            "in4",
            "web with its flanges on both sides",
            "transformed section",
            "model",
        ),
    )
    return _of_members(
        case,
        member,
        deck,
        thickness_in=inner.flange_depth_in,
        stiffness_words=f"{words}, D_x = E I/S",
        words="webs and flanges as one orthotropic plate",
        steps=(*_ratio_steps(ratios, f" at {worth.pressure_psi:.0f} psi"), *steps, *_steps(deck.stiffness)),
    )


def _stringers(case: SpanCase, member: MemberCase) -> PlateModel | str:
    deck_case, inner = case.deck, inner_member(case)
    if case.deck_kind not in CONTINUOUS_DECKS:
        return "planks may be jointed over any stringer, so they make no plate with them"
    if deck_case is None or not deck_case.continuous:
        return "the deck is not on record with its wood and as continuous over the stringers"
    if deck_case.losses:
        return "losses are on record in the deck"
    if refusal := _row_refusal(case):
        return refusal
    stiff = [_stringer_stiffness(case, stringer) for stringer in case.members]
    if max(stiff) > (1.0 + UNLIKE) * min(stiff):
        return "the stringers are not alike"
    service = Service(
        wet=case.wet_service if deck_case.wet_service is None else deck_case.wet_service,
        temperature_f=case.service_temperature_f,
        incised=bool(deck_case.incised),
        maker_wet=deck_case.maker_wet,
    )
    deck_e = modulus(value=deck_case.material, service=service).stress_psi
    along = _stringer_stiffness(case, inner) / (12.0 * inner.spacing_ft)
    stiffness = PlateStiffness(dx_lbin=along, dy_lbin=deck_e * deck_case.thickness_in**3 / 12.0, dk_lbin=0.0)
    return _of_members(
        case,
        member,
        member_deck(case, inner, stiffness),
        thickness_in=deck_case.thickness_in,
        stiffness_words=f"D_x = E I/S, D_y = E t3/12 of the deck, no torsion, D_y/D_x {stiffness.dy_lbin / along:.4f}",
        words="stringers and deck as one orthotropic plate",
        steps=_steps(stiffness),
    )


def _stringer_stiffness(case: SpanCase, stringer: MemberCase) -> float:
    section = member_section(stringer, (), RatingPolicy())
    return modulus(value=stringer.material, service=member_service(case, stringer)).stress_psi * section.inertia_in4


def _of_members(case: SpanCase, member: MemberCase, deck: Deck, **words) -> PlateModel:
    """The strips of the members across the plate, and which of them the member stands for."""
    inner, count = inner_member(case), inner_member(case).count
    pitch = 12.0 * inner.spacing_ft
    places = tuple(range(count))
    if any(other.exterior for other in case.members):
        places = (0, count - 1) if member.exterior else places[1:-1]
    return PlateModel(
        roadway=roadway_on(case, deck),
        edges_in=tuple(pitch * at for at in range(count + 1)),
        members=places,
        spacing_ft=inner.spacing_ft,
        rest_words="shear by 13.6.5 with that share in V_LD; a wheel over the bearing by the lever",
        **words,
    )


def _row_refusal(case: SpanCase) -> str:
    """Why the members are not one row of four or more, close, none missing and evenly spaced; "" where they are."""
    count, spacing = inner_member(case).count or 0, inner_member(case).spacing_ft or 0.0
    alike = all((member.count, member.spacing_ft) == (count, spacing) for member in case.members)
    if count < FEWEST_MEMBERS or not alike:
        return f"fewer than {FEWEST_MEMBERS} members, all whole and evenly spaced, are on record"
    if spacing > MOST_SPACING_FT:
        return f"members more than {MOST_SPACING_FT:g} ft apart are not spread into a plate"
    return ""


def roadway_on(case: SpanCase, deck: Deck) -> Roadway:
    """Curbs at equal distances from the edges of the plate; outside it where a deck overhangs its outer members."""
    near = (deck.width_in - 12.0 * case.roadway_width_ft) / 2.0
    return Roadway(deck=deck, near_curb_in=near, far_curb_in=deck.width_in - near)


def _ratio_steps(ratios: TransverseRatios, pressed: str) -> tuple[Step, ...]:
    source = "EM 7700-8 chapter 9; 0.013 and 0.03 at 40 psi to 0.020 and 0.05 at 100 psi"
    if not pressed:
        source = "EN 1995-2 Table 5.1 for E; the lower known value for G"
    return (
        ("E_T/E_L", ratios.e_ratio, "", f"transverse over longitudinal{pressed}", source, ratios.mark),
        ("G/E_L", ratios.g_ratio, "", f"shear over longitudinal{pressed}", source, ratios.mark),
    )


def _steps(s: PlateStiffness) -> tuple[Step, ...]:
    rows = (("D_x", s.dx_lbin, "along the span"), ("D_y", s.dy_lbin, "across it"), ("D_k", s.dk_lbin, "torsion"))
    return tuple((name, value, "lb-in2/in", words, "plate theory", "computed") for name, value, words in rows)
