"""Inputs of a rating, each with its date and source: geometry, members, design values, losses, surfacing, bars."""

from collections.abc import Iterator, Mapping, Sequence

from inventory.vocabulary.structures import DeckKind

from .words import number_words, span_words, table

SYSTEM_WORDS = {
    "stringer": "stringers under a deck",
    "nail_laminated_deck": "nail- or spike-laminated deck",
    "stress_laminated_deck": "stress-laminated deck",
    "glulam_panel_deck": "glulam panel deck",
    "stress_laminated_t": "stress-laminated T-beams",
    "stress_laminated_box": "stress-laminated box beams",
}


def input_tables(cases: Sequence[Mapping], caps: Sequence[Mapping] = ()) -> list[dict]:
    """Tables for every span in order; alike spans stand in the same tables, one row each."""
    tables = (_members(cases), _decks(cases), _caps(caps), _design_values(cases, caps), _losses(cases, caps))
    return [_geometry(cases), _service(cases), *_present(*tables, _dead(cases), _bars(cases))]


def _present(*tables: dict) -> list[dict]:
    return [one for one in tables if one["rows"]]


def _geometry(cases: Sequence[Mapping]) -> dict:
    heads = ("Span", "Length, ft", "System", "Deck", "Roadway / deck, ft", "Lanes", "Skew", "Runs on")
    rows = []
    for case in cases:
        deck = DeckKind.label_of(case.get("deck_kind") or "none").lower()
        thick = case.get("deck_thickness_in")
        rows.append(
            (
                span_words(case.get("label", "")),
                f"{case.get('span_ft', 0):.2f}",
                SYSTEM_WORDS.get(case.get("system"), str(case.get("system", "")).replace("_", " ")),
                f"{deck}, {thick:g} in" if thick else deck,
                f"{number_words(case.get('roadway_width_ft'))} / {number_words(case.get('deck_width_ft'))}",
                number_words(case.get("lanes_loaded")),
                f"{case.get('skew_deg', 0):g}°",
                f"unit {case['continuous_unit']}" if case.get("continuous_unit") else "no",
            )
        )
    return table("Geometry, from the record", heads, rows, figures=(1, 5))


def _service(cases: Sequence[Mapping]) -> dict:
    heads = ("Span", "Inspected", "Service", "Condition rating", "Trucks a day", "Wheel loads shared by")
    shared = {"rules": "the rules", "refined": "plate analysis, where it can"}
    rows = [
        (
            span_words(case.get("label", "")),
            case.get("inspection_date") or "not known",
            f"{'wet' if case.get('wet_service') else 'dry'}, up to {case.get('service_temperature_f', 100):g} °F",
            number_words(case.get("condition_rating")),
            number_words(case.get("adtt")),
            shared.get(case.get("distribution", "rules"), str(case.get("distribution"))),
        )
        for case in cases
    ]
    return table("Service, condition and traffic", heads, rows, figures=(3, 4))


def _decks(cases: Sequence[Mapping]) -> dict:
    heads = ("Span", "Transverse deck", "Size, in", "Supports, ft", "Support width, in", "Runs on", "Interconnected")
    rows = []
    for case in cases:
        if deck := case.get("deck"):
            rows.append(
                (
                    span_words(case.get("label", "")),
                    deck["kind"].replace("_", " "),
                    f"{deck['thickness_in']:g} thick, {deck['width_in']:g} wide",
                    f"{deck['support_spacing_ft']:g} on {deck.get('support', 'timber')}",
                    f"{deck['support_width_in']:g}",
                    number_words(deck.get("continuous")),
                    number_words(deck.get("interconnected")),
                )
            )
    return table("Transverse decks", heads, rows, figures=(4,))


def _caps(caps: Sequence[Mapping]) -> dict:
    heads = ("Cap", "Size, in", "Piles", "Pile spacing, ft", "Bearing on a pile, in", "Carries", "Condition")
    rows = [
        (
            cap["label"],
            f"{cap['width_in']:g} x {cap['depth_in']:g}",
            number_words(cap.get("pile_count")),
            f"{cap['pile_spacing_ft']:g}",
            f"{cap['pile_bearing_in']:g}",
            " and ".join(span_words(one).lower() for one in (cap.get("before"), cap.get("after")) if one),
            number_words(cap.get("condition_rating")),
        )
        for cap in caps
    ]
    return table("Pile caps", heads, rows, figures=(2, 3, 4))


def _each_part(cases: Sequence[Mapping], caps: Sequence[Mapping]) -> Iterator[tuple[str, str, Mapping, str]]:
    """(span, name, part, date of the inspection) of members, transverse decks and caps."""
    for case in cases:
        span, day = span_words(case.get("label", "")), case.get("inspection_date") or "not known"
        for member in case.get("members") or []:
            yield span, member.get("label", ""), member, day
        if case.get("deck"):
            yield span, "deck", case["deck"], day
    for cap in caps:
        yield "", cap["label"], cap, next((case.get("inspection_date") or "" for case in cases), "") or "not known"


def _each_member(cases: Sequence[Mapping]):
    for case in cases:
        for member in case.get("members") or []:
            yield span_words(case.get("label", "")), member


def _members(cases: Sequence[Mapping]) -> dict:
    heads = ("Span", "Member", "Size, in", "Spacing, ft", "Count", "Bearing, in", "Free edge, ft", "Incised")
    rows = [
        (
            span,
            member.get("label", ""),
            _size(member),
            number_words(member.get("spacing_ft")) if member.get("spacing_ft") else "",
            number_words(member.get("count")) if member.get("count") else "",
            number_words(member.get("bearing_length_in")),
            "braced" if member.get("braced", True) else number_words(member.get("unbraced_ft")),
            number_words(member.get("incised")),
        )
        for span, member in _each_member(cases)
    ]
    return table("Members", heads, rows, figures=(3, 4, 5))


def _size(member: Mapping) -> str:
    if member.get("shape") == "round":
        return f"round {member.get('depth_in', 0):g}"
    size = f"{member.get('width_in', 0):g} x {member.get('depth_in', 0):g}"
    flange = member.get("flange_depth_in")
    return f"{size}, flange {flange:g}" if flange else size


def _design_values(cases: Sequence[Mapping], caps: Sequence[Mapping]) -> dict:
    """One row for each material and the members that are of it."""
    heads = ("Species and grade", "Size class", "F_b", "F_v", "F_cp", "E, psi", "Source and edition", "Mark", "Members")
    found: dict[tuple, list[str]] = {}
    for span, name, part, _day in _each_part(cases, caps):
        for key, words in (("material", ""), ("flange_material", " flange")):
            if value := part.get(key):
                row = (
                    f"{value.get('species', '')} {value.get('grade', '')}",
                    value.get("size_class", ""),
                    *(f"{value.get(stress, 0):,.0f}" for stress in ("fb_psi", "fv_psi", "fc_perp_psi", "e_psi")),
                    f"{value.get('source', '')}, edition {value.get('edition', '')}",
                    value.get("mark", ""),
                )
                found.setdefault(row, []).append(f"{span} {name}{words}".strip())
    rows = [(*row, "; ".join(dict.fromkeys(members))) for row, members in found.items()]
    return table("Design values, psi", heads, rows, figures=(2, 3, 4, 5))


def _losses(cases: Sequence[Mapping], caps: Sequence[Mapping]) -> dict:
    heads = ("Span", "Member", "Found", "From ft", "To ft", "Size", "Measured by", "Inspected")
    rows = [
        (
            span,
            name,
            " ".join(words for words in (loss["kind"].replace("_", " "), loss.get("face", "")) if words),
            f"{loss['from_ft']:g}",
            f"{loss['to_ft']:g}",
            _loss_size(loss),
            loss.get("measured_by") or "not recorded",
            day,
        )
        for span, name, part, day in _each_part(cases, caps)
        for loss in part.get("losses") or []
    ]
    return table("Losses as found", heads, rows, figures=(3, 4))


def _loss_size(loss: Mapping) -> str:
    parts = []
    if loss.get("depth_in"):
        parts.append(f"{loss['depth_in']:g} in deep")
    if loss.get("width_in") or loss.get("height_in"):
        parts.append(f"{loss.get('width_in', 0):g} x {loss.get('height_in', 0):g} in")
    if loss.get("offset_in"):
        parts.append(f"centre {abs(loss['offset_in']):g} in {'above' if loss['offset_in'] > 0 else 'below'} mid-depth")
    if loss.get("resistance_ratio") is not None:
        parts.append(f"{loss['resistance_ratio']:.0%} of sound resistance")
    if loss.get("count"):
        parts.append(f"{loss['count']} laminations")
    return ", ".join(parts)


def _dead(cases: Sequence[Mapping]) -> dict:
    heads = ("Span", "Load", "Amount", "Where it comes from")
    rows = []
    for case in cases:
        span = span_words(case.get("label", ""))
        for layer in case.get("surfacing") or []:
            where = "thickness measured" if layer.get("measured") else "thickness from the record"
            amount = f"{layer.get('thickness_in', 0):g} in at {layer.get('unit_weight_pcf', 0):g} lb/ft³"
            rows.append((span, f"surfacing: {layer.get('name', '')}", amount, where))
        if case.get("railing_plf"):
            rows.append((span, "railing and curb, each side", f"{case['railing_plf']:g} lb/ft", "record"))
        if case.get("other_dead_psf"):
            rows.append((span, "other", f"{case['other_dead_psf']:g} lb/ft²", "record"))
    return table("Surfacing and other dead load", heads, rows)


def _bars(cases: Sequence[Mapping]) -> dict:
    heads = ("Span", "Least local pressure, psi", "Read on", "Needed, psi", "Butt joints", "Joint every", "Surface")
    rows = []
    for case in cases:
        if bars := case.get("bars"):
            rows.append(
                (
                    span_words(case.get("label", "")),
                    number_words(bars.get("least_local_pressure_psi")),
                    bars.get("reading_date") or "not known",
                    number_words(bars.get("needed_pressure_psi")),
                    number_words(bars.get("butt_jointed")),
                    number_words(bars.get("joint_every")),
                    number_words(bars.get("surface")),
                )
            )
    return table("Bars", heads, rows, figures=(1, 3))
