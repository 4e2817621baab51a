"""Inputs of a rating, each with its date and source: geometry, members, design values, losses, surfacing, bars."""

from collections.abc import Mapping

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


def input_tables(cases: list[Mapping]) -> list[dict]:
    """Tables for every span in order; alike spans stand in the same tables, one row each."""
    return [
        _geometry(cases),
        *_present(_members(cases), _design_values(cases), _losses(cases), _dead(cases), _bars(cases)),
    ]


def _present(*tables: dict) -> list[dict]:
    return [one for one in tables if one["rows"]]


def _geometry(cases: list[Mapping]) -> dict:
    heads = ("Span", "Length, ft", "System", "Deck", "Roadway / deck, ft", "Lanes", "Service", "Inspected")
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
                f"{'wet' if case.get('wet_service') else 'dry'}, {case.get('service_temperature_f', 100):g} °F",
                case.get("inspection_date") or "not known",
            )
        )
    return table("Geometry", heads, rows, figures=(1, 5))


def _each_member(cases: list[Mapping]):
    for case in cases:
        for member in case.get("members") or []:
            yield span_words(case.get("label", "")), member


def _members(cases: list[Mapping]) -> dict:
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


def _design_values(cases: list[Mapping]) -> dict:
    """One row for each material and the members that are of it."""
    heads = ("Species and grade", "Size class", "F_b", "F_v", "F_cp", "E, psi", "Source and edition", "Mark", "Members")
    found: dict[tuple, list[str]] = {}
    for span, member in _each_member(cases):
        for key, part in (("material", ""), ("flange_material", " flange")):
            if value := member.get(key):
                row = (
                    f"{value.get('species', '')} {value.get('grade', '')}",
                    value.get("size_class", ""),
                    *(f"{value.get(name, 0):,.0f}" for name in ("fb_psi", "fv_psi", "fc_perp_psi", "e_psi")),
                    f"{value.get('source', '')}, edition {value.get('edition', '')}",
                    value.get("mark", ""),
                )
                found.setdefault(row, []).append(f"{span} {member.get('label', '')}{part}")
    rows = [(*row, "; ".join(dict.fromkeys(members))) for row, members in found.items()]
    return table("Design values, psi", heads, rows, figures=(2, 3, 4, 5))


def _losses(cases: list[Mapping]) -> dict:
    heads = ("Span", "Member", "Found", "From ft", "To ft", "Size", "Measured by", "Inspected")
    rows = []
    dates = {span_words(case.get("label", "")): case.get("inspection_date") or "not known" for case in cases}
    for span, member in _each_member(cases):
        for loss in member.get("losses") or []:
            rows.append(
                (
                    span,
                    member.get("label", ""),
                    " ".join(part for part in (loss["kind"].replace("_", " "), loss.get("face", "")) if part),
                    f"{loss['from_ft']:g}",
                    f"{loss['to_ft']:g}",
                    _loss_size(loss),
                    loss.get("measured_by") or "not recorded",
                    dates[span],
                )
            )
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


def _dead(cases: list[Mapping]) -> dict:
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


def _bars(cases: list[Mapping]) -> dict:
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
