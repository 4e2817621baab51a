"""What the county sheet's template is filled with."""

from datetime import datetime

from django.core.paginator import Page
from django.http import QueryDict
from django.urls import reverse

from inventory.models import Agency
from inventory.pages import ListLink, list_links
from inventory.vocabulary.structures import ConditionClass
from maps.drawings.symbols import symbol_sheet, symbol_words
from maps.geometry import Bounds
from maps.queries.marks import SHAPES, Mark, Tally

_BAR_LENGTH = 140  # of the longest count bar, in drawing units
_CONDITION_RANGES = {
    ConditionClass.GOOD: "lowest 7 or more",
    ConditionClass.FAIR: "lowest 5 or 6",
    ConditionClass.POOR: "lowest 4 or less",
    ConditionClass.NOT_RATED: "no rating on record",
}


def county_context(
    *, filtered, query: QueryDict, agencies: list[Agency], total: int, tally: Tally, owed: list[Mark], rows: list[Mark],
    page: Page, bounds: Bounds | None, lines_drawn_at: datetime | None,
) -> dict:  # fmt: skip
    """Plain values for the template; `filtered` is the bound filter, `page` the page of the list beside the map."""
    kept = query.copy()
    kept.pop("page", None)
    return {
        "filter": filtered,
        "filter_words": filter_words(filtered),
        "query": kept.urlencode(),
        "agencies": agencies,
        "agency_words": ", ".join(agency.name for agency in agencies),
        "total": total,
        "tally": tally,
        "more_soon": max(0, tally.soon + tally.late - len(owed)),
        "owed": owed,
        "rows": [(mark, symbol_words(mark)) for mark in rows],
        "page": page,
        "links": [(link.label, _address(link, kept)) for link in list_links() if link.url_name != "maps:county"],
        "bounds": bounds.grown(0.03).as_text() if bounds else "",
        "lines_drawn_at": lines_drawn_at,
        "symbols": symbol_sheet(),
        "conditions": [(c, c.label, words) for c, words in _CONDITION_RANGES.items()],
        "shapes": list(SHAPES.items()),
        "bars": (bars := count_bars(tally)),
        "bars_height": 26 * len(bars),
    }


def _address(link: ListLink, query: QueryDict) -> str:
    """Where a way out of the list leads, the list's own parameters added."""
    address = reverse(link.url_name, kwargs=dict(link.kwargs))
    return f"{address}?{query.urlencode()}" if query else address


def count_bars(tally: Tally) -> list[dict]:
    """Open, posted, closed and not known as bars to one scale; a count above nought is never drawn as nothing."""
    counts = [
        ("no restriction", tally.open, "open"),
        ("posted", tally.posted, "posted"),
        ("closed", tally.closed, "closed"),
        ("not known", tally.unknown, "unknown"),
    ]
    largest = max((count for _, count, _ in counts), default=0) or 1
    return [
        {
            "word": word,
            "count": count,
            "code": code,
            "y": 26 * index,
            "length": _bar_length(count, largest),
            "end": 126 + _bar_length(count, largest),
        }
        for index, (word, count, code) in enumerate(counts)
        if count or code != "unknown"
    ]


def filter_words(filtered) -> str:
    """What the filter asks, in words, for the title block; "all" where it asks nothing."""
    fields = filtered.form.fields
    said = []
    for name, value in filtered.chosen.items():
        labels = {str(code): label for code, label in getattr(fields[name], "choices", [])}
        said.append(f"{fields[name].label.lower()}: {labels.get(value, value)}")
    return "; ".join(said) or "all"


def _bar_length(count: int, largest: int) -> float:
    return max(3.0, _BAR_LENGTH * count / largest) if count else 0.0
