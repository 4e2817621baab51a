"""Ratings, the one that stands today, and what is still owed."""

from datetime import date

from django.db.models import F, QuerySet

from inspections.models import OwedRating, Rating
from inspections.vocabulary.states import OwedState
from inventory.models import Person, Structure
from inventory.queries.people import agencies_of
from inventory.vocabulary.structures import Status


def ratings_for(person: Person) -> QuerySet[Rating]:
    """The ratings of the person's agencies, newest first."""
    return (
        Rating.objects.filter(structure__agency__in=agencies_of(person))
        .select_related("structure", "structure__agency", "inspection")
        .order_by("-made_at", "-id")
    )


def current_rating(structure: Structure) -> Rating | None:
    """The rating that settled the last rating owed: it stands today, even where the same one was made long ago."""
    owed = (
        OwedRating.objects.filter(structure=structure, state=OwedState.DONE, rating__isnull=False)
        .order_by("-settled_at", "-id")
        .select_related("rating", "rating__inspection")
        .first()
    )
    return owed.rating if owed else None


def owed_ratings(structure: Structure | None = None) -> QuerySet[OwedRating]:
    """Ratings still owed, oldest first; all of them or those of one structure."""
    rows = OwedRating.objects.filter(state=OwedState.OWED).order_by("id")
    return rows if structure is None else rows.filter(structure=structure)


def last_failure(structure: Structure) -> OwedRating | None:
    """The failed rating a person must look at: shown until a later rating is settled."""
    last = OwedRating.objects.filter(structure=structure).exclude(state=OwedState.OWED).order_by("-settled_at").first()
    return last if last is not None and last.state == OwedState.FAILED else None


def structures_ahead() -> QuerySet[Structure]:
    """Structures in service whose members, bars or surfacing changed after the last rating, and none is owed."""
    return (
        Structure.objects.filter(status=Status.IN_SERVICE, revision__gt=F("standing__rated_revision"))
        .exclude(owed_ratings__state=OwedState.OWED)
        .order_by("pk")
    )


def structures_never_seen() -> QuerySet[Structure]:
    """Structures in service that changed, and that have no standing row to compare with."""
    return Structure.objects.filter(status=Status.IN_SERVICE, revision__gt=0, standing__isnull=True).exclude(
        owed_ratings__state=OwedState.OWED
    )


def structures_with_bars_read(before: date) -> QuerySet[Structure]:
    """Structures whose standing still shows a bar pressure although every reading is from before a day."""
    return (
        Structure.objects.filter(
            status=Status.IN_SERVICE, spans__stressing__isnull=False, standing__least_pressure_psi__isnull=False
        )
        .exclude(inspections__findings__kind="bar_force", inspections__field_completed_on__gte=before)
        .exclude(owed_ratings__state=OwedState.OWED)
        .distinct()
    )
