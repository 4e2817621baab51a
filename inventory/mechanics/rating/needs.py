"""What a span case lacks before it can be rated, as sentences for the person who can supply it."""

from __future__ import annotations

from dataclasses import replace

from .cases import FACES, ROLES, SURFACES, SYSTEMS, BarState, MemberCase, SpanCase
from .limits import LIMITS, limit_sentences
from .unit_lines import UnitSpan, unit_sentences

ROLE_OF = {
    "stringer": "stringer",
    "nail_laminated_deck": "lamination_deck",
    "stress_laminated_deck": "lamination_deck",
    "glulam_panel_deck": "panel_deck",
    "stress_laminated_t": "web",
    "stress_laminated_box": "web",
}
STRESSED = ("stress_laminated_deck", "stress_laminated_t", "stress_laminated_box")


def missing_sentences(case: SpanCase, unit: UnitSpan | None = None) -> tuple[str, ...]:
    """Everything missing or impossible, one sentence each; empty where the case is complete.

    ``unit`` the spans its stringers run through with; what any of them lacks keeps all from being rated.

    What is missing is told first; numbers out of reach (``limits``) once nothing is missing.
    """
    told: list[str] = []
    if case.system not in SYSTEMS:
        told.append(f"The system '{case.system}' is not one of {', '.join(SYSTEMS)}.")
    told += _unit_sentences(case, unit)
    for field, name in (
        ("span_ft", "span length"),
        ("roadway_width_ft", "roadway width"),
        ("deck_width_ft", "deck width"),
    ):
        if not getattr(case, field) > 0:
            told.append(f"The {name} is not given; enter it in feet, {LIMITS[SpanCase][field].words}.")
    told += _load_sentences(case)
    if case.lanes_loaded < 1:
        told.append("The number of loaded lanes is not given; enter 1 or more, at most 12.")
    if not case.members:
        told.append("No load-carrying member is on record for the span.")
    for layer in case.surfacing:
        if not (layer.thickness_in >= 0 and layer.unit_weight_pcf > 0):
            told.append(
                f"Surfacing '{layer.name}' needs a thickness (0 to 48 in) and a weight (above 0, at most 250 lb/ft3)."
            )
    if case.system in STRESSED and case.bars is None:
        told.append("No bar record: give the least local pressure, or say that it is not known.")
    if case.bars is not None:
        told += _bar_sentences(case.bars)
    for member in case.members:
        told += _member_sentences(case, member)
    return tuple(told) or limit_sentences(case)


def _unit_sentences(case: SpanCase, unit: UnitSpan | None) -> list[str]:
    if unit is None:
        if case.continuous_unit:
            return [f"The span runs through with others (unit {case.continuous_unit}); rate them together."]
        if not case.simply_supported:
            return ["The span is continuous, but which spans it runs through with is not recorded; record it."]
        return []
    told = list(unit_sentences(unit))
    for other in unit.cases:
        if other is not case and missing_sentences(replace(other, continuous_unit="", simply_supported=True)):
            told.append(f"Span {other.label} of the same unit cannot be rated, so this one cannot either.")
    return told


def _load_sentences(case: SpanCase) -> list[str]:
    """A weight below nothing (or not a number) would lift the span."""
    weights = {
        "weight of railing and curb": case.railing_plf,
        "other dead load": case.other_dead_psf,
        "thickness of the deck": case.deck_thickness_in,
        "unit weight of the deck": case.deck_unit_weight_pcf,
    }
    return [
        f"The {name} is {value:g}; it cannot be less than zero." for name, value in weights.items() if not value >= 0
    ]


def _bar_sentences(bars: BarState) -> list[str]:
    told = []
    if bars.surface not in SURFACES:
        told.append(f"Lamination surface '{bars.surface}' is not one of {', '.join(SURFACES)}.")
    if bars.joint_every is not None and bars.joint_every < 2:
        told.append(
            "Butt joints: give 2 or more, at most 100, for the number of laminations with one joint among them."
        )
    return told


def _member_sentences(case: SpanCase, member: MemberCase) -> list[str]:
    told = []
    wanted = ROLE_OF.get(case.system)
    if member.role not in ROLES or (wanted and member.role != wanted):
        told.append(f"{member.label}: role '{member.role}' does not fit a {case.system.replace('_', ' ')} span.")
    if not (member.width_in > 0 and member.depth_in > 0):
        told.append(f"{member.label}: width and depth are not given; measure them (above 0 and at most 120 in).")
    if member.role in ("stringer", "web") and not (member.spacing_ft and member.spacing_ft > 0):
        told.append(f"{member.label}: spacing is not given; measure it centre to centre (above 0 and at most 40 ft).")
    if member.role == "stringer" and case.deck_kind == "none":
        told.append("The deck on the stringers is not given; it decides how wheel loads spread.")
    if member.role == "stringer" and not case.deck_thickness_in > 0:
        told.append("The thickness of the deck on the stringers is not given (above 0 and at most 48 in).")
    if member.role == "web":
        told += _web_sentences(case, member)
    if member.shape not in ("rectangle", "round"):
        told.append(f"{member.label}: shape '{member.shape}' is neither rectangle nor round.")
    if member.bearing_length_in is not None and not member.bearing_length_in > 0:
        told.append(
            f"{member.label}: the bearing length must be above 0 and at most 120 in, or left open where not measured."
        )
    for loss in member.losses:
        if loss.kind == "surface" and loss.face not in FACES:
            told.append(f"{member.label}: name the decayed face (top, bottom, left or right).")
    return told


def _web_sentences(case: SpanCase, member: MemberCase) -> list[str]:
    told = []
    if member.flange_material is None or not (member.flange_depth_in and member.flange_depth_in > 0):
        told.append(
            f"{member.label}: depth (above 0, at most 60 in) and design values of the flange laminations are not given."
        )
    if case.system == "stress_laminated_box" and not (member.bottom_flange_depth_in or 0) > 0:
        told.append(f"{member.label}: depth of the bottom flange of the box is not given (above 0 and at most 60 in).")
    if member.shape == "round":
        told.append(f"{member.label}: a web is rectangular.")
    return told
