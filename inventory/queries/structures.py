"""Structures a person may see, and one page of them."""

from dataclasses import dataclass

from django.db.models import F, QuerySet

from inventory.models import Person, Structure

from .people import agencies_of

PAGE_ROWS = 50

# Heading of a list column -> the field it sorts by. Ties are broken by the row id, so that pages never overlap.
SORTS = {
    "number": "number",
    "road": "road_name",
    "system": "system",
    "built": "year_built",
    "length": "length_ft",
    "condition": "standing__lowest_rating",
    "sign": "standing__posted_ton",
    "factor": "standing__least_factor",
    "bars": "standing__bar_state",
    "due": "standing__next_due_on",
}


def structures_for(person: Person) -> QuerySet[Structure]:
    """All structures of the person's agencies, with what a list shows."""
    # The agencies are looked up first: with one known agency the database reads its index in order and sorts nothing.
    agencies = list(agencies_of(person).values_list("pk", flat=True))
    scope = {"agency_id": agencies[0]} if len(agencies) == 1 else {"agency_id__in": agencies}
    return Structure.objects.filter(**scope).select_related("standing", "agency")


def in_order(structures: QuerySet[Structure], sort: str) -> QuerySet[Structure]:
    """Sorted by a key of SORTS, "-" before it for descending; empty values stand last either way."""
    name = sort.removeprefix("-")
    field = F(SORTS.get(name, "number"))
    if SORTS.get(name, "number") == "number":
        # A number is never empty, and a plain order can be read straight from the index.
        return structures.order_by("-number" if sort.startswith("-") else "number", "pk")
    order = field.desc(nulls_last=True) if sort.startswith("-") else field.asc(nulls_last=True)
    return structures.order_by(order, "pk")


@dataclass(frozen=True, kw_only=True)
class StructurePage:
    """One page of a list: its rows, its place and the size of the whole."""

    rows: list[Structure]
    number: int
    last: int
    total: int

    @property
    def first_row(self) -> int:
        return (self.number - 1) * PAGE_ROWS + 1 if self.total else 0

    @property
    def last_row(self) -> int:
        return self.first_row + len(self.rows) - 1 if self.total else 0


def page_of(structures: QuerySet[Structure], *, sort: str, number: int) -> StructurePage:
    """One page in three queries whatever the size: count, the ids of the page from indexes, the rows of those ids.

    A page number outside the list is moved to its nearest page.
    """
    total = structures.order_by().count()
    last = max(1, -(-total // PAGE_ROWS))
    number = min(max(number, 1), last)
    begin = (number - 1) * PAGE_ROWS
    keys = list(in_order(structures, sort).values_list("pk", flat=True)[begin : begin + PAGE_ROWS])
    found = Structure.objects.select_related("standing", "agency").in_bulk(keys)
    return StructurePage(rows=[found[key] for key in keys if key in found], number=number, last=last, total=total)
