"""Heights of one span's parts, from the top of the wood down, shared by elevation and cross-section."""

from dataclasses import dataclass

from .shapes import LayerShape, SpanShape, StructureShape, inches

ON_STRINGERS = frozenset({"sawn_stringer", "glulam_stringer"})
DECKED = frozenset({"nail_laminated", "spike_laminated", "glulam_panel", "stress_laminated"})
RIBBED = frozenset({"stress_laminated_t", "stress_laminated_box"})
CARRYING = {
    **dict.fromkeys(ON_STRINGERS, ("stringer",)),
    "nail_laminated": ("lamination",),
    "spike_laminated": ("lamination",),
    "stress_laminated": ("lamination",),
    "glulam_panel": ("panel",),
    **dict.fromkeys(RIBBED, ("web",)),
}
USUAL_DEPTH_IN = 12.0


@dataclass(frozen=True, kw_only=True)
class Profile:
    """`deck_in` lies on the members (0 where the members are the deck); `is_known` False means a depth was assumed."""

    deck_in: float
    member_in: float
    flange_in: float
    is_known: bool

    @property
    def total_in(self) -> float:
        return self.deck_in + self.member_in


def carrying_roles(span: SpanShape) -> tuple[str, ...]:
    """Roles that carry this system; every role that can carry where the system is not one of ours."""
    return CARRYING.get(span.system, ("stringer", "lamination", "panel", "web"))


def profile_of(span: SpanShape) -> Profile:
    """Depths of the deck, the members and the flange of one span, in inches."""
    carrying = span.of_role(*carrying_roles(span))
    flanges = span.of_role("flange")
    member_in = max((member.depth_in for member in carrying), default=0.0)
    flange_in = max((member.depth_in for member in flanges), default=0.0) if span.system in RIBBED else 0.0
    if not flange_in and span.system in RIBBED and span.stressing:
        flange_in = span.stressing.stressed_depth_in
    deck_in = 0.0
    if span.system in ON_STRINGERS or (span.system not in CARRYING and span.of_role("stringer")):
        deck_in = span.deck_thickness_in or max((m.depth_in for m in span.of_role("deck")), default=0.0)
    elif not member_in and span.system in DECKED:
        # A longitudinal deck whose laminations are not entered may still have its thickness on record.
        member_in = span.deck_thickness_in or (span.stressing.stressed_depth_in if span.stressing else 0.0)
    known = member_in > 0
    return Profile(deck_in=deck_in, member_in=member_in or USUAL_DEPTH_IN, flange_in=flange_in, is_known=known)


def missing_for_drawing(span: SpanShape) -> list[str]:
    """What a drawing of this span would need and the register does not have, in a few words each."""
    missing = []
    carrying = span.of_role(*carrying_roles(span))
    if span.system in ("unknown", "other", ""):
        missing.append("the system")
    if not carrying:
        missing.append(" or ".join(role.replace("_", " ") for role in carrying_roles(span)) + " sizes")
    if span.system in ON_STRINGERS and not (span.deck_thickness_in or span.of_role("deck")):
        missing.append("deck thickness")
    if span.system in RIBBED and not span.of_role("flange"):
        missing.append("flange laminations")
    if span.system == "stress_laminated_box" and not span.of_role("bottom_flange"):
        missing.append("bottom flange")
    if (span.system in RIBBED or span.system == "stress_laminated") and not (span.stressing and span.stressing.bars):
        missing.append("bars")
    for member in carrying:
        if member.role in ("stringer", "web") and member.count > 1 and member.spacing_ft is None:
            missing.append(f"{member.role} spacing")
    return missing


def layer_words(layer: LayerShape) -> str:
    """One layer in words: 2-1/2 in asphalt (2019, measured)."""
    facts = [str(layer.laid_year)] if layer.laid_year else []
    if layer.was_measured:
        facts.append("measured")
    size = f"{inches(layer.thickness_in)} " if layer.thickness_in else ""
    return f"{size}{layer.label.lower()}" + (f" ({', '.join(facts)})" if facts else "")


def surfacing_words(shape: StructureShape) -> str:
    """All standing layers in words, lowest first."""
    if not shape.layers:
        return "no surfacing on record"
    return "surfacing, lowest first: " + ", ".join(layer_words(layer) for layer in shape.layers)
