"""What it can carry: rating factors as bars and as a table, the governing case, or what is missing."""

from django.http import HttpRequest
from django.utils.safestring import mark_safe

from inspections.drawings.factors import FactorBar, factor_chart, factor_words
from inspections.models import Rating
from inspections.queries.pages import rating_owed
from inspections.queries.ratings import current_rating
from inspections.rules.proposal import emergency_sentences, place_of
from inventory.models import Structure

from .sharing import loads_shared


def rating_context(rating: Rating) -> dict:
    """Chart, table and words of one rating; used on the structure's page and where the engineer decides."""
    vehicles = rating.results.get("governing", []) if rating.is_rated else []
    bars = [
        FactorBar(
            label=row["name"],
            factor=row["posting_factor"],
            words=", ".join(part for part in (row["limit_state"], row["member"]) if part),
        )
        for row in vehicles
    ]
    return {
        "rating": rating,
        "vehicles": [
            {**row, "governs": place_of(row), "shown": factor_words(row["posting_factor"])} for row in vehicles
        ],
        "load_factor": load_factor_rows(rating),
        "posts_by": _posting_method(rating),
        "emergency": emergency_sentences((rating.results.get("posting") or {}).get("emergency")),
        # Built by our own writer, which escapes every text.
        "chart": mark_safe(factor_chart(bars, key=f"factors-{rating.pk}")) if bars else "",  # noqa: S308
        "shared": loads_shared(rating),
        "notes": rating.results.get("notes", []),
        "cautions": rating.results.get("cautions", []),
    }


def _posting_method(rating: Rating) -> str:
    by_factors = (rating.snapshot.get("policy") or {}).get("posting_method") == "LRFR"
    return "load and resistance factors" if by_factors else "allowable stress"


def load_factor_rows(rating: Rating) -> list[dict]:
    """The second method by vehicle and level, with its live-load factor and phi_c phi_s; [] in older ratings."""
    ratios = {}
    for span in rating.results.get("spans", []):
        for row in span["results"]:
            if row.get("method") == "LRFR":
                key = (span["label"], row["vehicle"], row["level"], row["member"], row["limit_state"])
                ratios[key] = row["resistance_factor"]
    found = []
    for row in rating.results.get("load_factor", []) if rating.is_rated else []:
        key = (row["span"], row["vehicle"], row["level"], row["member"], row["limit_state"])
        shown = factor_words(row["rating_factor"])
        found.append({**row, "governs": place_of(row), "shown": shown, "resistance_factor": ratios.get(key)})
    return found


def load(request: HttpRequest, structure: Structure) -> dict:
    rating = current_rating(structure)
    context = rating_context(rating) if rating else {"rating": None}
    return {**context, "owed": rating_owed(structure)}
