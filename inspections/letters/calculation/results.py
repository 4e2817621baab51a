"""Results of a rating as tables: every vehicle's factors, and one row for each member, limit state and vehicle."""

from collections.abc import Mapping

from inspections.rules.proposal import emergency_sentences

from .words import effect_words, factor_words, number_words, runs_of, span_words, table, tons_words

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
STATE_ORDER = {"bending": 0, "hogging": 1, "shear": 2, "bearing": 3, "interface": 4}
SHORT_LEVELS = {"legal": "", "design inventory": "inv.", "design operating": "op.", "permit": "permit"}


def vehicle_table(results: Mapping) -> dict | None:
    """Every vehicle in one table, with the factors of each method that was used; None without a result."""
    load_factor = _by_vehicle(results.get("load_factor") or [])
    many = len(results.get("spans") or []) > 1
    rows = [_vehicle_row(row, load_factor.pop(row["vehicle"], {}), many) for row in results.get("governing") or []]
    rows += [_design_row(levels, many) for levels in load_factor.values()]
    if not rows:
        return None
    heads = ["Vehicle", "Tons", "RF inv.", "RF op."]
    if results.get("load_factor"):
        heads += ["RF inv.", "RF op.", "RF legal", "γ_LL"]
        groups = [["", 2], ["Allowable stress", 2], ["Load and resistance factor", 4], ["Posting", 2], ["", 1]]
    else:
        rows = [row[:4] + row[8:] for row in rows]
        groups = [["", 2], ["Allowable stress", 2], ["Posting", 2], ["", 1]]
    heads += ["RF", "Tons", "What governs"]
    figures = range(1, len(heads) - 1)
    made = table("Rating factors of every vehicle", heads, rows, figures=tuple(figures), fills=len(heads) - 1)
    return {**made, "groups": groups}


def _by_vehicle(rows: list[Mapping]) -> dict[str, dict[str, Mapping]]:
    found: dict[str, dict[str, Mapping]] = {}
    for row in rows:
        found.setdefault(row["vehicle"], {})[row["level"]] = row
    return found


def _governs(row: Mapping, many: bool) -> str:
    span = f"{span_words(row['span']).lower()}, " if many and row.get("span") else ""
    return f"{span}{row['member']}: {row['limit_state']} at {row['station_ft']:.2f} ft"


def _lrfr_cells(levels: Mapping[str, Mapping]) -> tuple[str, str, str, str]:
    plain = levels.get("legal") or levels.get("permit") or {}
    live = plain or levels.get("design inventory") or {}
    return (
        factor_words((levels.get("design inventory") or {}).get("rating_factor")),
        factor_words((levels.get("design operating") or {}).get("rating_factor")),
        factor_words(plain.get("rating_factor")),
        f"{live['live_factor']:.2f}" if live else "",
    )


def _vehicle_row(row: Mapping, levels: Mapping[str, Mapping], many: bool) -> tuple:
    return (
        row["name"],
        f"{row['gross_tons']:g}",
        factor_words(row["inventory_factor"]),
        factor_words(row["operating_factor"]),
        *_lrfr_cells(levels),
        factor_words(row["posting_factor"]),
        tons_words(row["posting_tons"]),
        _governs(row, many),
    )


def _design_row(levels: Mapping[str, Mapping], many: bool) -> tuple:
    """A vehicle of the load factor method alone (HL-93, a permit vehicle)."""
    row = min(levels.values(), key=lambda row: row["rating_factor"])
    safe = tons_words((levels.get("legal") or {}).get("safe_tons"))
    return (row["name"], f"{row['gross_tons']:g}", "", "", *_lrfr_cells(levels), "", safe, _governs(row, many))


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
        limits = "; ".join(part for part in (one, ", ".join(classes)) if part)
        said[0] = f"Post: {limits}" if limits else "Post for emergency vehicles; no legal truck needs a limit"
    said[0] += "."
    return [*said, *posting.get("sentences", []), *emergency_sentences(posting.get("emergency"))]


def pressed_table(results: Mapping) -> dict | None:
    """Bars, plates and pressure of the stressed spans: demand against limit, with the formula and its clause."""
    heads = ("Span", "Check", "Demand", "Limit", "Unit", "Holds", "Formula", "Clause and mark")
    rows = []
    for label, span in (results.get("pressed") or {}).items():
        if span.get("refusal"):
            rows.append((span_words(label), "not checked", "", "", "", "", span["refusal"], ""))
        for one in span.get("checks") or []:
            holds = {True: "yes", False: "NO", None: "not known"}[one["holds"]]
            numbers = (number_words(_short(one[name])) for name in ("demand", "limit"))
            clause = f"{one['source']}, {one['mark']}"
            rows.append((span_words(label), one["name"], *numbers, one["unit"], holds, one["formula"], clause))
    return table("Bars, plates and pressure", heads, rows, figures=(2, 3)) if rows else None


def _short(value: float | None) -> float | None:
    """Four figures: a pressure or a force is not known finer."""
    return value if value is None else float(f"{value:.4g}")


def result_pairs(results: Mapping) -> list[dict]:
    """For each span, member and limit state the two methods side by side, one row for each vehicle and level."""
    pairs = []
    for span in results.get("spans") or []:
        keys = list(dict.fromkeys((row["member"], row["limit_state"]) for row in span["results"]))
        for member, state in sorted(keys, key=lambda key: (_place(keys, key[0]), STATE_ORDER.get(key[1], 9))):
            rows = [row for row in span["results"] if (row["member"], row["limit_state"]) == (member, state)]
            asr = [row for row in rows if row.get("method", "ASR") == "ASR"]
            lrfr = [row for row in rows if row.get("method") == "LRFR"]
            title = f"{span_words(span['label'])}, {member}: {state}, {rows[0]['unit']}"
            pairs.append(
                {
                    "title": runs_of(title),
                    "left": _asr_table(asr) if asr else None,
                    "right": _lrfr_table(lrfr) if lrfr else None,
                }
            )
    return pairs


def _place(keys: list[tuple[str, str]], member: str) -> int:
    return next(at for at, key in enumerate(keys) if key[0] == member)


def _asr_table(rows: list[Mapping]) -> dict:
    """Both levels of a vehicle share a row where the numbers of one section give both factors as printed."""
    by_vehicle: dict[str, dict[str, Mapping]] = {}
    for row in rows:
        by_vehicle.setdefault(row["vehicle"], {})[row["level"]] = row
    cells = []
    for vehicle, levels in by_vehicle.items():
        low, high = levels.get("inventory"), levels.get("operating")
        if low and high and _at_one_section(low, high):
            cells.append(_asr_cells(vehicle, low, low, high))
        else:
            cells += [
                _asr_cells(vehicle, row, low and row is low and low, row is high and high) for row in levels.values()
            ]
    heads = ("Allowable stress", "z, ft", "C inv.", "C op.", "D", "L", "RF inv.", "RF op.")
    return table("", heads, cells, figures=range(1, 8), fills=0)


def _at_one_section(low: Mapping, high: Mapping) -> bool:
    """Whether (C - D) / L of the operating level at the section of the inventory level prints the least factor."""
    if low["live_effect"] <= 0 or low["capacity"] <= 0:
        return False
    ratio = high["capacity"] / low["capacity"]
    if abs(ratio - 1.33) > 1e-6 and abs(ratio - 1.0) > 1e-6:
        return False
    here = max(0.0, (high["capacity"] - low["dead_effect"]) / low["live_effect"])
    return factor_words(here) == factor_words(high["rating_factor"])


def _asr_cells(vehicle: str, at: Mapping, low, high) -> tuple:
    return (
        vehicle,
        f"{at['station_ft']:.2f}",
        effect_words(low["capacity"] if low else None),
        effect_words(high["capacity"] if high else None),
        effect_words(at["dead_effect"]),
        effect_words(at["live_effect"]),
        factor_words(low["rating_factor"] if low else None),
        factor_words(high["rating_factor"] if high else None),
    )


def _lrfr_table(rows: list[Mapping]) -> dict:
    cells = [
        (
            f"{row['vehicle']} {SHORT_LEVELS.get(row['level'], row['level'])}".strip(),
            f"{row['station_ft']:.2f}",
            effect_words(row["capacity"]),
            effect_words(row["dead_effect"] - row["wearing_effect"]),
            effect_words(row["wearing_effect"]),
            effect_words(row["live_effect"]),
            f"{row['live_factor']:.2f}",
            factor_words(row["rating_factor"]),
        )
        for row in rows
    ]
    heads = ("Load and resist.", "z, ft", "C", "DC", "DW", "L", "γ_LL", "RF")
    return table("", heads, cells, figures=range(1, 8), fills=0)


def factor_note(results: Mapping) -> list[list[str]]:
    """How a row of the pairs is checked."""
    rows = [row for span in results.get("spans") or [] for row in span["results"]]
    one = next((row for row in rows if row.get("method") == "LRFR"), None)
    words = "z from the near bearing. Allowable stress: RF = (C - D) / L."
    if one is not None:
        words += (
            f" Load and resistance factor: RF = (C - {one['dc_factor']:g} DC - {one['dw_factor']:g} DW) / (γ_LL L); "
            "C holds phi_c phi_s; of the legal level where none is named."
        )
    return runs_of(words)
