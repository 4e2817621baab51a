"""A trial beside today's rating: charts of both, every factor before and after, what was changed."""

from django.utils.safestring import mark_safe

from inspections.drawings.factors import FactorBar, factor_chart, factor_words
from inspections.reckoning.trials import Trial
from inspections.rules.proposal import place_of

POSTED = {"open": "Open", "close": "Close", "undetermined": "Cannot be said", "post": "Limits for some vehicles"}
SIGNS = (("single_unit_tons", "single unit"), ("combination_tons", "combination"), ("two_trailer_tons", "two trailers"))


def trial_context(trial: Trial) -> dict:
    """Both sides in the same words, so that they can be laid beside each other."""
    lines = [_line(line) for line in trial.lines]
    return {
        "trial": trial,
        "sides": [_side("Today", trial.before, "before"), _side("With the change", trial.after, "after")],
        "posting_lines": [line for line in lines if line["series"] == "posting"],
        "other_lines": [line for line in lines if line["series"] != "posting"],
        "least_change": _change_words(trial.before.least_factor, trial.after.least_factor),
    }


def _side(title: str, outcome, key: str) -> dict:
    rows = outcome.results.get("governing", [])
    bars = [FactorBar(label=row["name"], factor=row["posting_factor"], words=place_of(row)) for row in rows]
    return {
        "title": title,
        "outcome": outcome,
        "posting": posting_words(outcome.results.get("posting"), outcome.results.get("close_recommended", False)),
        # Built by our own writer, which escapes every text.
        "chart": mark_safe(factor_chart(bars, key=f"trial-{key}")) if bars else "",  # noqa: S308
    }


def posting_words(posting: dict | None, close: bool) -> str:
    """The suggested posting in one phrase."""
    if posting is None:
        return "Close until the engineer says otherwise" if close else "Cannot be said"
    if posting["action"] != "post" or posting["single_tons"] is None:
        return POSTED[posting["action"]]
    classes = [f"{word} {posting[name]:g}" for name, word in SIGNS if posting[name] is not None]
    return f"Post {posting['single_tons']:g} tons" + (f" ({', '.join(classes)})" if classes else "")


def _line(line) -> dict:
    return {
        "name": line.name,
        "series": line.series,
        "before": _shown(line.before),
        "after": _shown(line.after),
        "is_low": line.after is not None and line.after < 1,
        "change": _change_words(line.before, line.after),
    }


def _shown(factor: float | None) -> str:
    return "not rated" if factor is None else factor_words(factor)


def _change_words(before: float | None, after: float | None) -> str:
    if before is None or after is None:
        return ""
    if abs(after - before) < 5e-4:
        return "no change"
    word = "more" if after > before else "less"
    if before <= 0:
        return f"{after - before:.2f} {word}"
    return f"{abs(after - before) / before:.1%} {word}"
