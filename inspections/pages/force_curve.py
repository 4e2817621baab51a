"""The curve of bar force kept with a rating, as a drawing, its thresholds and a table that says the same."""

from django.utils.safestring import mark_safe

from inspections.drawings.force_curve import CurveSheet, curve_drawing
from inspections.models import Rating
from inspections.rules.force_curve import GroupCurve, curve_steps, group_curves


def curve_parts(rating: Rating | None) -> list[dict]:
    """One part for each stressed span of a rating; empty where none was kept with it."""
    if rating is None:
        return []
    closing_psi = rating.snapshot.get("policy", {}).get("closing_pressure_psi", 20.0)
    return [_part(row, closing_psi, rating.pk) for row in rating.results.get("force_curve", [])]


def _part(row: dict, closing_psi: float, key: int) -> dict:
    title = f"Rating against bar force, span {row['span']}"
    curve = row["curve"]
    if curve is None:
        return {"title": title, "reasons": row["reasons"]}
    groups = group_curves(curve)
    steps = curve_steps(row["thresholds"], curve)
    sheet = CurveSheet(
        groups=groups,
        steps=steps,
        today_psi=curve["today_psi"],
        force_per_psi_lb=curve["force_per_psi_lb"],
        closing_psi=closing_psi,
        title=title,
    )
    drawing = curve_drawing(sheet, key=f"force-curve-{key}-{row['span']}")
    return {
        "title": title,
        "drawing": mark_safe(drawing),  # noqa: S308 the writer escapes every text
        "steps": steps,
        "groups": groups,
        "rows": _table(groups, curve),
        "needed_psi": curve["needed_psi"],
        "need_words": curve["need_words"],
        "falls": row.get("falls", []),
        "method": curve["posting_method"],
        "today_psi": curve["today_psi"],
        "has_force": curve["force_per_psi_lb"] is not None,
        "factor_today": groups[0].at(curve["today_psi"] or 0.0),
    }


def _table(groups: list[GroupCurve], curve: dict) -> list[dict]:
    """Factors at both ends of every piece and at today's pressure, pressure rising; a jump has two rows."""
    ends = [(psi, place, number) for number, piece in enumerate(curve["pieces"])
            for psi, place in ((piece["pressures_psi"][0], 0), (piece["pressures_psi"][-1], -1))]  # fmt: skip
    rows = [
        {
            "psi": psi,
            "words": "just below" if place == -1 and number < len(curve["pieces"]) - 1 else "",
            "factors": [group.runs[number][place][1] for group in groups],
        }
        for psi, place, number in ends
    ]
    if curve["today_psi"] is not None:
        today = curve["today_psi"]
        rows.append({"psi": today, "words": "today", "factors": [group.at(today) for group in groups]})
        rows.sort(key=lambda row: row["psi"])
    per_psi = curve["force_per_psi_lb"]
    return [row | {"force_lb": None if per_psi is None else row["psi"] * per_psi} for row in rows]
