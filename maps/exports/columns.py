"""The columns of an exported list: the same in every kind of file, with the unit in the name."""

import math
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from django.db.models import QuerySet

from inventory.models import Structure
from inventory.vocabulary.structures import BarStanding, ConditionClass, Restriction, Status, System


@dataclass(frozen=True)
class Column:
    """`kind` is text, whole, figure, yesno or date; `words` turns a stored code into what people read."""

    name: str
    field: str
    kind: str = "text"
    words: Callable | None = None


COLUMNS = (
    Column("agency", "agency__name"),
    Column("number", "number"),
    Column("name", "name"),
    Column("road", "road_name"),
    Column("feature_crossed", "feature_crossed"),
    Column("location", "location"),
    Column("system", "system", words=System.label_of),
    Column("status", "status", words=Status.label_of),
    Column("year_built", "year_built", "whole"),
    Column("length_ft", "length_ft", "figure"),
    Column("max_span_ft", "max_span_ft", "figure"),
    Column("span_count", "span_count", "whole"),
    Column("roadway_width_ft", "roadway_width_ft", "figure"),
    Column("adt", "adt", "whole"),
    Column("detour_mi", "standing__detour_mi", "figure"),
    Column("condition", "standing__condition_class", words=ConditionClass.label_of),
    Column("lowest_rating", "standing__lowest_rating", "whole"),
    Column("least_legal_factor", "standing__least_factor", "figure"),
    Column("governing", "standing__governing"),
    Column("rated_on", "standing__rated_on", "date"),
    Column("restriction", "standing__restriction", words=Restriction.label_of),
    Column("sign", "standing__sign_words"),
    Column("posted_ton", "standing__posted_ton", "figure"),
    Column("emergency_gross_ton", "standing__emergency_gross_ton", "figure"),
    Column("sign_awaited", "standing__sign_awaited", "yesno"),
    Column("bars", "standing__bar_state", words=BarStanding.label_of),
    Column("least_pressure_psi", "standing__least_pressure_psi", "figure"),
    Column("last_inspected_on", "standing__last_inspected_on", "date"),
    Column("next_due_on", "standing__next_due_on", "date"),
    Column("next_due", "standing__next_due_words"),
    Column("lat_deg", "lat_deg", "figure"),
    Column("lon_deg", "lon_deg", "figure"),
)
LAT, LON = (next(i for i, c in enumerate(COLUMNS) if c.name == name) for name in ("lat_deg", "lon_deg"))
NAMES = tuple(column.name for column in COLUMNS)


def rows_of(structures: QuerySet[Structure]) -> Iterator[tuple]:
    """Plain values in the order of `COLUMNS` and of the queryset, after the primary key; one query."""
    fields = [column.field for column in COLUMNS]
    for pk, *values in structures.values_list("pk", *fields):
        yield (pk, *(_shown(column, value) for column, value in zip(COLUMNS, values, strict=True)))


def _shown(column: Column, value: object) -> object:
    if column.words is not None:
        return column.words(value) or None
    if column.kind == "text":
        return clean_text(value) or None
    if column.kind == "figure" and value is not None and not math.isfinite(value):
        return None  # no file format has a cell for infinity
    return value


def clean_text(value: object) -> str:
    """One line of text without control characters, which no spreadsheet file may hold."""
    if value is None:
        return ""
    return "".join(" " if _unwritable(char) else char for char in str(value)).strip()


def _unwritable(char: str) -> bool:
    return char in "\ufffe\uffff" or unicodedata.category(char) in ("Cc", "Cs", "Zl", "Zp")
