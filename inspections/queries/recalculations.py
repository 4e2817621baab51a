"""Looks at what newer formulas and tables would do, and the ratings they are about."""

from collections.abc import Iterator
from datetime import datetime

from django.db.models import Count, Q, QuerySet

from inspections.models import OwedRating, Rating, RecalculatedRating, Recalculation
from inspections.rules.recalculation import plain_version, tables_mark
from inspections.vocabulary.states import OwedState, RecalculationState
from inventory.models import Agency, Person, Structure
from inventory.queries.people import agencies_permitting
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import Status

COLUMNS = (
    "pk",
    "structure_id",
    "structure__number",
    "structure__road_name",
    "structure__feature_crossed",
    "structure__agency__name",
    "as_of",
    "kernel_version",
    "table_versions",
    "snapshot",
    "is_rated",
    "results",
    "reasons",
    "flags",
    "least_factor",
    "governing",
)
AT_ONCE = 100
COMPARED = ("posting", "governing", "close_recommended")
"""Of a rating's results, what an answer is compared by: the rest is many times as large."""
UNDER_WAY = (RecalculationState.ASKED, RecalculationState.RUNNING)


def standing_rating_ids(agency: Agency | None = None) -> list[int]:
    """The rating that stands today for every structure in service, by structure; of one agency or of all."""
    rows = OwedRating.objects.filter(
        state=OwedState.DONE, rating__isnull=False, structure__status=Status.IN_SERVICE
    ).order_by("structure_id", "settled_at", "id")
    if agency is not None:
        rows = rows.filter(structure__agency=agency)
    # In this order the last of each structure stands.
    return list(dict(rows.values_list("structure_id", "rating_id")).values())


def ratings_as_values(ids: list[int]) -> Iterator[dict]:
    """Ratings as plain values with snapshot and what is compared, in the order of `ids`, a hundred at a time."""
    for start in range(0, len(ids), AT_ONCE):
        part = ids[start : start + AT_ONCE]
        rows = {row["pk"]: row for row in Rating.objects.filter(pk__in=part).values(*COLUMNS)}
        for pk in part:
            if pk in rows:
                results = rows[pk]["results"]
                yield rows[pk] | {"results": {name: results[name] for name in COMPARED if name in results}}


def rated_anew(ids: list[int]) -> Iterator[tuple[dict, dict]]:
    """(the rating before, the standing one) of every structure whose rating before this one was of other versions.

    `ids` are standing ratings. A structure rated once more since then is not among them: its change has been seen.
    """
    for start in range(0, len(ids), AT_ONCE):
        part = set(ids[start : start + AT_ONCE])
        structures = Rating.objects.filter(pk__in=part).values("structure_id")
        rows = Rating.objects.filter(structure__in=structures).order_by("structure_id", "id")
        pairs, before = [], None
        for row in rows.values("pk", "structure_id", "kernel_version", "table_versions"):
            if row["pk"] in part and before is not None and before["structure_id"] == row["structure_id"]:
                if any(before[name] != row[name] for name in ("kernel_version", "table_versions")):
                    pairs.append((before["pk"], row["pk"]))
            before = row
        found = {row["pk"]: row for row in ratings_as_values([pk for pair in pairs for pk in pair])}
        yield from ((found[old], found[new]) for old, new in pairs)


def recalculations_for(person: Person) -> QuerySet[Recalculation]:
    """Those of the agencies where the person may ask for one, newest first, with how far each has come."""
    agencies = agencies_permitting(person, Permit.RECALCULATE)
    waiting, failed = Q(lines__state=OwedState.OWED), Q(lines__state=OwedState.FAILED)
    return (
        Recalculation.objects.filter(agency__in=agencies)
        .select_related("agency", "asked_by", "decided_by")
        .annotate(
            touched=Count("lines"),
            waiting=Count("lines", filter=waiting),
            failed=Count("lines", filter=failed),
            changed=Count("lines", filter=Q(lines__is_changed=True)),
        )
        .order_by("-asked_at", "-id")
    )


def lines_of(recalculation: Recalculation) -> QuerySet[RecalculatedRating]:
    """Its structures, by number."""
    return recalculation.lines.select_related("rating__structure").order_by("rating__structure__number", "id")


def under_way(agency: Agency) -> Recalculation | None:
    """A look that the worker has not finished; a second one beside it would say the same."""
    return Recalculation.objects.filter(agency=agency, state__in=UNDER_WAY).first()


def recalculations_left(before: datetime) -> list[int]:
    """Ids of looks under way on which nothing has been written since `before`."""
    rows = Recalculation.objects.filter(state__in=UNDER_WAY, worked_at__lt=before)
    return list(rows.order_by("id").values_list("pk", flat=True))


def version_to_keep(*, structure: Structure, digest: str, kernel_version: str, table_versions: dict) -> str:
    """The version under which an answer is kept: the kernel's, marked with its tables where that one is taken.

    The same inputs and kernel with other tables are another rating; a rating is never changed.
    """
    same = Rating.objects.filter(structure=structure, digest=digest, kernel_version__startswith=kernel_version)
    for version, tables in same.order_by("id").values_list("kernel_version", "table_versions"):
        if plain_version(version) == kernel_version and tables == table_versions:
            return version
    taken = same.filter(kernel_version=kernel_version).exists()
    return f"{kernel_version}+{tables_mark(table_versions)}" if taken else kernel_version
