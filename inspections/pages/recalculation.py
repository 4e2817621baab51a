"""What a recalculation found, as lines for the page and as a table for a file."""

import json
from collections.abc import Iterable, Mapping

from defusedcsv import csv

from inspections.rules.recalculation import difference, is_changed

HEADINGS = (
    "agency",
    "structure",
    "road",
    "feature",
    "changed",
    "old least factor",
    "new least factor",
    "difference",
    "old governing case",
    "new governing case",
    "old posting asked for",
    "new posting asked for",
    "why",
    "problem",
)


def line_of(change: Mapping, causes: Iterable[str], problem: str = "") -> dict:
    """One structure: old and new beside each other, by how much, and whether that is up or down."""
    if not change:
        return {"causes": list(causes), "problem": problem, "is_changed": False, "is_rated_anew": False}
    by = difference(change)
    return {
        "old": change["old"],
        "new": change["new"],
        "old_factor": _factor(change["old"]["least_factor"]),
        "new_factor": _factor(change["new"]["least_factor"]),
        "by": "" if by is None else f"{by:+.3f}",
        "difference": "" if by is None else round(by, 4),
        "is_lower": by is not None and by < 0,
        "posting_changes": change["old"]["posting"] != change["new"]["posting"],
        "is_changed": is_changed(change),
        "is_rated_anew": "rated_anew" in change,
        "causes": list(causes),
        "problem": problem,
    }


def _factor(value: float | None) -> str:
    return "not rated" if value is None else f"{value:.3f}"


def touched_by(causes: Iterable[Iterable[str]]) -> list[tuple[str, int]]:
    """Each change with the number of structures it touches, the widest first."""
    counts: dict[str, int] = {}
    for told in causes:
        for cause in told:
            counts[cause] = counts.get(cause, 0) + 1
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))


def cells_of(structure: Mapping, line: Mapping) -> tuple:
    """The cells of one structure; `structure` has agency, number, road, feature."""
    old, new = line.get("old", {}), line.get("new", {})
    return (
        structure["agency"],
        structure["number"],
        structure["road"],
        structure["feature"],
        "yes" if line["is_changed"] else "no",
        "" if old.get("least_factor") is None else round(old["least_factor"], 4),
        "" if new.get("least_factor") is None else round(new["least_factor"], 4),
        line.get("difference", ""),
        old.get("governing", ""),
        new.get("governing", ""),
        old.get("posting", ""),
        new.get("posting", ""),
        " ".join(line["causes"]),
        line["problem"],
    )


def report_csv(handle, rows: Iterable[tuple]) -> None:
    """Headings and one line for each structure; no cell is taken for a formula."""
    writer = csv.writer(handle)
    writer.writerow(HEADINGS)
    writer.writerows(rows)


def report_json(handle, rows: Iterable[tuple], head: Mapping) -> None:
    """The same as one JSON object, with what was compared at its head."""
    keys = [heading.replace(" ", "_") for heading in HEADINGS]
    whole = {**head, "structures": [dict(zip(keys, row, strict=True)) for row in rows]}
    json.dump(whole, handle, indent=1, ensure_ascii=False)
    handle.write("\n")
