"""Results of a rating as tables: every vehicle's factors, and one row for each member, limit state and vehicle."""

from collections.abc import Mapping

from inspections.rules.proposal import emergency_sentences

from .words import METHODS, effect_words, factor_words, span_words, table, tons_words

ACTION_WORDS = {
    "open": "No posting",
    "post": "Post",
    "close": "Close",
    "undetermined": "No posting can be suggested",
}
CLASS_WORDS = {
    "single_unit_tons": "single-unit trucks",
    "combination_tons": "combinations",
    "two_trailer_tons": "two trailers",
}
STATE_ORDER = {"bending": 0, "shear": 1, "bearing": 2, "interface": 3}


def vehicle_table(results: Mapping) -> dict | None:
    """Every vehicle in one table, with the factors of each method that was used; None without a result."""
    load_factor = _by_vehicle(results.get("load_factor") or [])
    rows = [_vehicle_row(row, load_factor.pop(row["vehicle"], {})) for row in results.get("governing") or []]
    rows += [_design_row(levels) for levels in load_factor.values()]
    if not rows:
        return None
    heads = ["Vehicle", "Tons", "Inventory", "Operating", "At posting level"]
    if results.get("load_factor"):
        heads += ["Design inv.", "Design op.", "Legal / permit", "γ_LL"]
    else:
        rows = [row[:5] + row[9:] for row in rows]
    heads += ["Safe, tons", "What governs"]
    figures = range(1, len(heads) - 1)
    return table("Rating factors of every vehicle", heads, rows, figures=tuple(figures))


def _by_vehicle(rows: list[Mapping]) -> dict[str, dict[str, Mapping]]:
    found: dict[str, dict[str, Mapping]] = {}
    for row in rows:
        found.setdefault(row["vehicle"], {})[row["level"]] = row
    return found


def _governs(row: Mapping) -> str:
    span = f", {span_words(row['span']).lower()}" if row.get("span") else ""
    return f"{row['limit_state']}, {row['member']}{span} at {row['station_ft']:.2f} ft"


def _lrfr_cells(levels: Mapping[str, Mapping]) -> tuple[str, str, str, str]:
    plain = levels.get("legal") or levels.get("permit") or {}
    live = plain or levels.get("design inventory") or {}
    return (
        factor_words((levels.get("design inventory") or {}).get("rating_factor")),
        factor_words((levels.get("design operating") or {}).get("rating_factor")),
        factor_words(plain.get("rating_factor")),
        f"{live['live_factor']:.2f}" if live else "",
    )


def _vehicle_row(row: Mapping, levels: Mapping[str, Mapping]) -> tuple:
    return (
        row["name"],
        f"{row['gross_tons']:g}",
        factor_words(row["inventory_factor"]),
        factor_words(row["operating_factor"]),
        factor_words(row["posting_factor"]),
        *_lrfr_cells(levels),
        tons_words(row["posting_tons"]),
        _governs(row),
    )


def _design_row(levels: Mapping[str, Mapping]) -> tuple:
    """A vehicle of the load factor method alone (HL-93, a permit vehicle)."""
    row = min(levels.values(), key=lambda row: row["rating_factor"])
    safe = tons_words((levels.get("legal") or {}).get("safe_tons"))
    return (row["name"], f"{row['gross_tons']:g}", "", "", "", *_lrfr_cells(levels), safe, _governs(row))


def posting_lines(results: Mapping) -> list[str]:
    """What is recommended and why, in sentences."""
    posting = results.get("posting")
    if not posting:
        return ["Closing is recommended."] if results.get("close_recommended") else []
    said = [ACTION_WORDS.get(posting.get("action"), str(posting.get("action")))]
    if posting.get("action") == "post":
        classes = [f"{words} {posting[key]:g} tons" for key, words in CLASS_WORDS.items() if posting.get(key)]
        single = posting.get("single_tons")
        one = f"one sign for all trucks {single:g} tons" if single else ""
        said[0] = "Post: " + "; ".join(part for part in (one, ", ".join(classes)) if part)
    said[0] += "."
    return [*said, *posting.get("sentences", []), *emergency_sentences(posting.get("emergency"))]


def result_tables(results: Mapping) -> list[dict]:
    """One table for each span and method: every result in a row, both levels of allowable stress side by side."""
    made = []
    for span in results.get("spans") or []:
        for method in METHODS:
            rows = [row for row in span["results"] if row.get("method", "ASR") == method]
            if rows:
                made.append(_asr_table(span, rows) if method == "ASR" else _lrfr_table(span, rows))
    return made


def _order(row: Mapping) -> tuple:
    return row["member"], STATE_ORDER.get(row["limit_state"], 9)


def _joined_order(each: tuple) -> tuple:
    return _order(_any(each[1]))


def _asr_table(span: Mapping, rows: list[Mapping]) -> dict:
    """Where both levels govern at one section they share a row; else each has its own."""
    joined: dict[tuple, dict[str, Mapping]] = {}
    for row in rows:
        key = (row["member"], row["limit_state"], row["vehicle"], round(row["station_ft"], 3))
        joined.setdefault(key, {})[row["level"]] = row
    cells = []
    for (member, state, vehicle, station), levels in sorted(joined.items(), key=_joined_order):
        one = _any(levels)
        low, high = levels.get("inventory") or {}, levels.get("operating") or {}
        cells.append(
            (
                member,
                state,
                vehicle,
                f"{station:.2f}",
                f"{one['distribution_factor']:.3f}",
                effect_words(low.get("capacity")),
                effect_words(high.get("capacity")),
                effect_words(one["dead_effect"]),
                effect_words(one["live_effect"]),
                factor_words(low.get("rating_factor")),
                factor_words(high.get("rating_factor")),
            )
        )
    heads = ("Member", "Check", "Vehicle", "x, ft", "g", "C inv.", "C op.", "D", "L", "RF inv.", "RF op.")
    title = f"{span_words(span['label'])}, allowable stress: RF = (C - D) / L; bending in lb-ft, others in lb"
    return table(title, heads, cells, figures=range(3, 11))


def _any(levels: Mapping[str, Mapping]) -> Mapping:
    return next(iter(levels.values()))


def _lrfr_table(span: Mapping, rows: list[Mapping]) -> dict:
    cells = [
        (
            row["member"],
            row["limit_state"],
            row["vehicle"],
            row["level"],
            f"{row['station_ft']:.2f}",
            effect_words(row["capacity"]),
            effect_words(row["dead_effect"] - row["wearing_effect"]),
            effect_words(row["wearing_effect"]),
            effect_words(row["live_effect"]),
            f"{row['live_factor']:.2f}",
            factor_words(row["rating_factor"]),
        )
        for row in sorted(rows, key=_order)
    ]
    heads = ("Member", "Check", "Vehicle", "Level", "x, ft", "C", "DC", "DW", "L", "γ_LL", "RF")
    one = rows[0]
    title = (
        f"{span_words(span['label'])}, load and resistance factor: RF = (C - {one['dc_factor']:g} DC - "
        f"{one['dw_factor']:g} DW) / (γ_LL L); bending in lb-ft, others in lb"
    )
    return table(title, heads, cells, figures=range(4, 11))
