"""Checks of bars, plates and pressure kept with a rating, as rows of a table."""

from inspections.models import Rating

FIGURES = {"psi": "{:,.0f}", "in": "{:.3g}", "": "{:.4g}"}


def pressed_parts(rating: Rating | None) -> list[dict]:
    """One part for each stressed span: rows with their demand, limit and word, or the sentence why there are none."""
    if rating is None:
        return []
    parts = []
    for label, row in rating.results.get("pressed", {}).items():
        checks = [_check_row(check) for check in row["checks"]]
        parts.append(
            {
                "title": f"Pressure, bars and anchorages, span {label}",
                "checks": checks,
                "broken": [check for check in checks if check["holds"] is False],
                "refusal": row["refusal"],
            }
        )
    return parts


def _check_row(check: dict) -> dict:
    figure = FIGURES.get(check["unit"], "{:.4g}")
    shown = {
        f"{name}_shown": "not on record" if check[name] is None else figure.format(check[name])
        for name in ("demand", "limit")
    }
    word = {True: "holds", False: "does not hold", None: "not checked"}[check["holds"]]
    return check | shown | {"word": word}
