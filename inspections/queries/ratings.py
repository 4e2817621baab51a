"""Ratings, the one that stands today, and what is still owed."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Exists, F, OuterRef, QuerySet

from inspections.models import Finding, OwedRating, Rating
from inspections.rules.pressure import last_current_day
from inspections.vocabulary.findings import FindingKind
from inspections.vocabulary.states import OwedState
from inventory.models import Structure
from inventory.queries.inspection_policy import agencies_by_bar_check
from inventory.vocabulary.structures import Status


def current_rating(structure: Structure) -> Rating | None:
    """The rating that settled the last rating owed: it stands today, even where the same one was made long ago."""
    owed = (
        OwedRating.objects.filter(structure=structure, state=OwedState.DONE, rating__isnull=False)
        .order_by("-settled_at", "-id")
        .select_related("rating", "rating__inspection")
        .first()
    )
    return owed.rating if owed else None


def standing_rating_pks(structure_ids: Iterable[int]) -> dict[int, int]:
    """The rating that stands today of many structures, as `current_rating` has it."""
    rows = OwedRating.objects.filter(structure__in=list(structure_ids), state=OwedState.DONE, rating__isnull=False)
    return dict(rows.order_by("settled_at", "id").values_list("structure_id", "rating_id"))


def ratings_for_forecast(pks: Iterable[int]) -> dict[int, dict]:
    """What a forecast reads of ratings, by row id: need, curve, pressures and closing line."""
    rows = Rating.objects.filter(pk__in=list(pks)).values_list(
        "pk", "results__pressed", "results__force_curve", "snapshot__pressures", "snapshot__policy"
    )
    return {
        pk: {
            "pk": pk,
            "results": {"pressed": pressed or {}, "force_curve": curve or []},
            "snapshot": {"pressures": pressures or [], "policy": policy or {}},
        }
        for pk, pressed, curve, pressures, policy in rows
    }


def owed_ratings(structure: Structure | None = None) -> QuerySet[OwedRating]:
    """Ratings still owed, oldest first; all of them or those of one structure."""
    rows = OwedRating.objects.filter(state=OwedState.OWED).order_by("id")
    return rows if structure is None else rows.filter(structure=structure)


def last_failure(structure: Structure) -> OwedRating | None:
    """The failed rating a person must look at: shown until a later rating is settled."""
    last = (
        OwedRating.objects.filter(structure=structure)
        .exclude(state=OwedState.OWED)
        .order_by("-settled_at", "-id")
        .first()
    )
    return last if last is not None and last.state == OwedState.FAILED else None


def structures_ahead() -> QuerySet[Structure]:
    """Structures in service whose members, bars or surfacing changed after the last rating, and none is owed."""
    return (
        Structure.objects.filter(status=Status.IN_SERVICE, revision__gt=F("standing__rated_revision"))
        .exclude(owed_ratings__state=OwedState.OWED)
        .order_by("pk")
    )


def structures_of_older_kernel(version: str, cause: str) -> QuerySet[Structure]:
    """Structures in service with ratings, none by this kernel, and not yet owed one for this very cause."""
    return (
        Structure.objects.filter(status=Status.IN_SERVICE, ratings__isnull=False)
        .exclude(ratings__kernel_version=version)
        .exclude(owed_ratings__state=OwedState.OWED)
        .exclude(owed_ratings__cause=cause)
        .distinct()
        .order_by("pk")
    )


def structures_rated_otherwise() -> QuerySet[Structure]:
    """Structures in service, rated before, whose agency has changed how it rates since; and none is owed."""
    rated = OwedRating.objects.filter(structure=OuterRef("pk"), rating__isnull=False)
    return (
        Structure.objects.filter(
            Exists(rated),
            status=Status.IN_SERVICE,
            agency__rating_settings__revision__gt=F("standing__rated_settings_revision"),
        )
        .exclude(owed_ratings__state=OwedState.OWED)
        .select_related("agency__rating_settings")
        .order_by("pk")
    )


def structures_never_seen() -> QuerySet[Structure]:
    """Structures in service that changed, and that have no standing row to compare with."""
    return Structure.objects.filter(status=Status.IN_SERVICE, revision__gt=0, standing__isnull=True).exclude(
        owed_ratings__state=OwedState.OWED
    )


def structures_with_expired_readings(as_of: date) -> list[Structure]:
    """Structures in service with a bar reading that still counted when their standing was last written, and no more."""
    found = set()
    for months, agency_ids in agencies_by_bar_check().items():
        rows = (
            Finding.objects.filter(
                kind=FindingKind.BAR_FORCE,
                inspection__structure__agency__in=agency_ids,
                inspection__structure__status=Status.IN_SERVICE,
                inspection__structure__standing__updated_on__lt=as_of,
                inspection__field_completed_on__lte=as_of,
            )
            .values_list(
                "inspection__structure_id",
                "inspection__field_completed_on",
                "inspection__structure__standing__updated_on",
            )
            .distinct()
        )
        found |= {pk for pk, on, written in rows if written <= last_current_day(on, months) < as_of}
    waiting = Structure.objects.filter(pk__in=found).exclude(owed_ratings__state=OwedState.OWED)
    return list(waiting.order_by("pk"))
