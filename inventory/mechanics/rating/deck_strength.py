"""Strength of a transverse deck per foot of its length along the bridge, as found.

Planks lie flat (C_F by the wide face and C_fu, or C_d of LRFD in its place for planks 4 in nominal), laminations stand
on edge (C_r or C_d), glulam panels bend about y-y (F_by, F_vy, C_fu). Losses: the thinnest and the most hollowed place
counts everywhere, because a wheel may stand anywhere (model).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.material import (
    Allowable,
    Factor,
    Use,
    bending_resistance,
    bending_stress,
    shear_resistance,
    shear_stress,
)
from inventory.mechanics.section import NetSection
from inventory.mechanics.tables import deck_strips as table
from inventory.mechanics.tables import load_factors
from inventory.mechanics.tables.design_values import DesignValue
from inventory.mechanics.trace import Trace

from .cases import DeckCase, MemberCase, SpanCase
from .elements import member_material, member_service, trace_allowable
from .policy import RatingPolicy
from .sections import pieces_along, split_depth_in, thin_shell

LABEL = "deck"


@dataclass(frozen=True, kw_only=True)
class DeckStrength:
    """Stresses, and per inch along the bridge the section modulus (in3/in) and I b/Q (in2/in) of the weakest place."""

    bending: Allowable
    shear: Allowable
    modulus_in2: float
    shear_in: float

    @property
    def moment_lbft(self) -> float:
        """Per foot of deck along the bridge, lb-ft."""
        return self.bending.stress_psi * self.modulus_in2

    @property
    def shear_lb(self) -> float:
        """Per foot of deck along the bridge, lb."""
        return self.shear.stress_psi * self.shear_in * 12.0


def deck_member(deck: DeckCase) -> MemberCase:
    """One plank, lamination or panel as a member, so that the rules of losses hold for it."""
    return MemberCase(
        label=LABEL,
        role="stringer",
        material=deck.material,
        width_in=deck.width_in,
        depth_in=deck.thickness_in,
        incised=deck.incised,
        wet_service=deck.wet_service,
        maker_wet=deck.maker_wet,
        losses=deck.losses,
    )


def deck_strength(
    *, case: SpanCase, deck: DeckCase, strip_in: float, policy: RatingPolicy, strength: str, trace: Trace
) -> DeckStrength:
    """Strength by one method: ``strength`` "" for allowable stress, else the limit state of the factored resistance.

    ``strip_in`` the width that carries a wheel: a panel's void stands against no more than that. Raises
    ``OutsideValidity`` for design values that do not fit the kind of deck or a loss that is not on it.
    """
    member = deck_member(deck)
    value, service = member_material(member), member_service(case, member)
    _check_material(deck, value)
    use = _use(deck)
    if strength:
        bending = bending_resistance(value=value, service=service, use=use, strength=strength)
        shear = shear_resistance(value=value, service=service, strength=strength)
    else:
        bending = bending_stress(value=value, service=service, use=use)
        shear = shear_stress(value=value, service=service)
    if deck.kind == "plank":
        bending = _lying_flat(bending, deck, value, for_lrfd=bool(strength))
    trace.heading(f"Factored resistances, {strength}: {LABEL}" if strength else f"Allowable stresses: {LABEL}")
    for allowable in (bending, shear):
        trace_allowable(trace, allowable, value)
    modulus, factor = _weakest(case, deck, member, strip_in, policy)
    trace.heading(f"Sections: {LABEL}")
    trace.add("S", modulus * 12.0, "in3/ft", "weakest place, net of loss, x lost laminations", "mechanics", "computed")
    trace.add("I b/Q", factor * 12.0, "in2/ft", "weakest place, least over the depth", "mechanics", "computed")
    return DeckStrength(bending=bending, shear=shear, modulus_in2=modulus, shear_in=factor)


def _use(deck: DeckCase) -> Use:
    """Sizes as the size factor takes them: the thickness of the piece and its wide face."""
    if deck.kind == "plank":
        return Use(width_in=deck.thickness_in, depth_in=deck.width_in, span_ft=deck.support_spacing_ft)
    sharing = "nail_laminated" if deck.kind == "nail_laminated" else "single"
    return Use(width_in=deck.width_in, depth_in=deck.thickness_in, span_ft=deck.support_spacing_ft, sharing=sharing)


def _check_material(deck: DeckCase, value: DesignValue) -> None:
    wanted = {
        "plank": ("dimension", "timber"),
        "nail_laminated": ("dimension",),
        "glulam_panel": ("glulam_y",),
    }.get(deck.kind)
    if wanted is None:
        raise OutsideValidity(
            name="transverse deck", value=deck.kind, valid="plank, nail_laminated, glulam_panel", source=table.STANDARD
        )
    if value.kind not in wanted:
        words = {
            "plank": "values of sawn lumber or timber",
            "nail_laminated": "values of lumber 2 to 4 in thick",
            "glulam_panel": "glulam values for bending about y-y (load on the wide faces of the laminations)",
        }[deck.kind]
        name = f"design values of the {deck.kind.replace('_', ' ')} deck"
        raise OutsideValidity(name=name, value=value.title, valid=words, source="NDS Supplement 4A, 4B, 4D, 5B")
    if deck.kind == "plank" and deck.thickness_in > deck.width_in:
        raise OutsideValidity(
            name="thickness of a plank",
            value=deck.thickness_in,
            valid=f"at most its width of {deck.width_in:g} in",
            unit="in",
            source="planks lie flat",
        )


def flat_factor(*, deck: DeckCase, value: DesignValue, for_lrfd: bool) -> Factor:
    """C_fu of a plank lying flat; LRFD takes C_d in its place for planks 4 in nominal, never both (8.4.4.8, memory)."""
    thick = deck.thickness_in > table.PLANK_THICKNESS_IN[0]
    if value.kind == "timber":
        number = 1.0
        if value.size_class == "beams and stringers":
            number = table.FLAT_USE_TIMBER.get(value.grade, min(table.FLAT_USE_TIMBER.values()))
        return Factor(
            symbol="C_fu", value=number, formula=f"flat, {value.size_class}", source="NDS Supplement 4D", mark="memory"
        )
    if for_lrfd and thick:
        number = load_factors.PLANK_DECK_FACTOR[-1][1]
        for widest, factor in load_factors.PLANK_DECK_FACTOR:
            if deck.width_in <= widest:
                number = factor
                break
        return Factor(
            symbol="C_d", value=number, formula="planks 4 in nominal", source="AASHTO LRFD 8.4.4.8", mark="memory"
        )
    number = table.FLAT_USE_WIDER[1 if thick else 0]
    for widest, thin_value, thick_value in table.FLAT_USE:
        if deck.width_in <= widest:
            number = thick_value if thick else thin_value
            break
    return Factor(symbol="C_fu", value=number, formula="lying flat", source="NDS Supplement 4A", mark="checked-2nd")


def _lying_flat(bending: Allowable, deck: DeckCase, value: DesignValue, *, for_lrfd: bool) -> Allowable:
    found = flat_factor(deck=deck, value=value, for_lrfd=for_lrfd)
    kept = tuple(factor for factor in bending.factors if factor.symbol != found.symbol)
    return replace(bending, factors=(*kept, found))


def _weakest(
    case: SpanCase, deck: DeckCase, member: MemberCase, strip_in: float, policy: RatingPolicy
) -> tuple[float, float]:
    """Least S and least I b/Q per inch over the whole deck, with what is left of the strip beside lost laminations."""
    width = min(deck.width_in, strip_in) if deck.kind == "glulam_panel" else deck.width_in
    narrow = replace(member, width_in=width)
    pieces = pieces_along(member=narrow, span_ft=case.deck_width_ft, policy=policy)
    standing = standing_ratio(deck=deck, strip_in=strip_in)
    modulus = min(_per_inch(piece.section, "modulus_in3", width) for piece in pieces)
    shear = min(_per_inch(piece.section, "shear_in2", width) for piece in pieces)
    return modulus * standing, shear * standing * deck_shear_ratio(narrow, policy)


def _per_inch(section: NetSection, name: str, width_in: float) -> float:
    return getattr(section, name) / width_in


def standing_ratio(*, deck: DeckCase, strip_in: float) -> float:
    """Part of the strip that still stands: lost laminations are left out; a lost plank or panel is a hole (model)."""
    lost = sum(loss.count for loss in deck.losses if loss.kind == "lamination_lost")
    if not lost:
        return 1.0
    if deck.kind != "nail_laminated":
        return 0.0
    return max(0.0, 1.0 - lost * deck.width_in / strip_in)


def deck_shear_ratio(member: MemberCase, policy: RatingPolicy) -> float:
    """Everywhere on a deck is near a support: 0 with too thin a sound shell, a half with deep splits (owner policy)."""
    if thin_shell(member=member, losses=member.losses, policy=policy):
        return 0.0
    return 0.5 if split_depth_in(member.losses) > member.width_in / 2.0 else 1.0
