"""What is missing before a structure can be rated, in sentences: the worklist of a register grown from records.

Unknown counts as absent: a value nobody entered is asked for, never assumed. What each kind of span needs follows from
what its rating is computed from (trade practice, no single source).
"""

from dataclasses import dataclass, field

from inventory.vocabulary.structures import ON_STRINGERS, WITH_BARS, MemberRole, System

# The members that carry each system; a span needs at least one group of them.
CARRIES: dict[str, frozenset[str]] = {
    System.SAWN_STRINGER: frozenset({MemberRole.STRINGER}),
    System.GLULAM_STRINGER: frozenset({MemberRole.STRINGER}),
    System.NAIL_LAMINATED: frozenset({MemberRole.LAMINATION}),
    System.SPIKE_LAMINATED: frozenset({MemberRole.LAMINATION}),
    System.GLULAM_PANEL: frozenset({MemberRole.PANEL}),
    System.STRESS_LAMINATED: frozenset({MemberRole.LAMINATION, MemberRole.PANEL}),
    System.STRESS_LAMINATED_T: frozenset({MemberRole.WEB}),
    System.STRESS_LAMINATED_BOX: frozenset({MemberRole.WEB}),
}


@dataclass(frozen=True)
class MemberFacts:
    role: str
    count: int = 1
    spacing_ft: float | None = None
    species: str = ""
    grade: str = ""
    product: str = ""
    fb_psi: float | None = None
    fv_psi: float | None = None


@dataclass(frozen=True)
class SpanFacts:
    index: int
    length_ft: float | None
    system: str
    members: tuple[MemberFacts, ...] = ()
    deck_thickness_in: float | None = None
    has_stressing: bool = False
    bar_count: int = 0
    usable_bar_count: int = 0
    design_force_lb: float | None = None


@dataclass(frozen=True)
class StructureFacts:
    """`span_count`, `max_span_ft` and `surface_material` are what the record says; the rest is what was entered."""

    spans: tuple[SpanFacts, ...] = ()
    span_count: int | None = None
    max_span_ft: float | None = None
    roadway_width_ft: float | None = None
    surface_material: str = ""
    layer_count: int = 0
    has_bar_reading: bool = False
    recorded_faults: tuple[str, ...] = field(default=())


def missing_before_rating(facts: StructureFacts) -> list[str]:
    """Every thing that must be entered first, the largest first; an empty list means nothing is known to lack."""
    missing = []
    if not facts.spans:
        missing.append("No span is entered: enter the length and system of each span" + _on_record(facts) + ".")
    elif facts.span_count and len(facts.spans) < facts.span_count:
        missing.append(f"{len(facts.spans)} of the {facts.span_count} spans on record are entered.")
    for span in facts.spans:
        missing.extend(f"Span {span.index}: {sentence}" for sentence in _missing_in_span(span))
    if any(span.system in WITH_BARS for span in facts.spans) and not facts.has_bar_reading:
        missing.append("No bar force reading counts now: measure the bars and enter the readings.")
    if not facts.roadway_width_ft:
        missing.append("The roadway width between curbs is not entered.")
    if facts.surface_material and not facts.layer_count:
        missing.append(
            f"The record says a surface of {facts.surface_material}, but no layer is entered: measure its thickness."
        )
    missing.extend(f"The record's value was not taken: {sentence}." for sentence in facts.recorded_faults)
    return missing


def _on_record(facts: StructureFacts) -> str:
    parts = []
    if facts.span_count:
        parts.append(f"{facts.span_count} span{'s' if facts.span_count > 1 else ''}")
    if facts.max_span_ft:
        parts.append(f"the longest {facts.max_span_ft:.1f} ft")
    return f" (the record says {', '.join(parts)})" if parts else ""


def _missing_in_span(span: SpanFacts) -> list[str]:
    found = []
    if not span.length_ft or span.length_ft <= 0:
        found.append("the length centre to centre of bearings is not entered.")
    if span.system in (System.UNKNOWN, System.OTHER, ""):
        found.append("the system is not chosen: stringers, laminated deck, panels, or a stress-laminated kind.")
    if not span.members:
        found.append("no members are entered: count, width, depth, species and grade are needed.")
    else:
        found.extend(_missing_members(span))
    if span.system in ON_STRINGERS and not span.deck_thickness_in:
        found.append("the deck on the stringers has no thickness.")
    if span.system in WITH_BARS:
        found.extend(_missing_bars(span))
    return found


def _missing_members(span: SpanFacts) -> list[str]:
    found = []
    carrying = CARRIES.get(span.system, frozenset())
    if carrying and not any(member.role in carrying for member in span.members):
        names = " or ".join(sorted(MemberRole.label_of(role).lower() for role in carrying))
        found.append(f"no {names} is entered, and that is what carries this system.")
    for member in span.members:
        name = MemberRole.label_of(member.role).lower()
        if member.fb_psi is None and not (member.species and member.grade):
            found.append(f"the {name} group has neither species and grade nor a bending value with its source.")
        elif member.fv_psi is None and not (member.species and member.grade):
            found.append(f"the {name} group has neither species and grade nor a shear value with its source.")
        if member.role == MemberRole.STRINGER and member.count > 1 and not member.spacing_ft:
            found.append("the stringers have no spacing.")
    return found


def _missing_bars(span: SpanFacts) -> list[str]:
    if not span.has_stressing:
        return ["the stressing system is not entered: bar diameter, spacing and the depth the bars squeeze."]
    found = []
    if not span.bar_count:
        found.append("no bars are entered.")
    elif not span.usable_bar_count:
        found.append("none of its bars is fit for use.")
    if span.design_force_lb is None:
        found.append("the design force of the bars is not entered; it comes from the design or the engineer.")
    return found
