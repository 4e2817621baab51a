"""Lists of the inspections room, each scoped by what the person may see or decide."""

from django.db.models import Q, QuerySet

from inspections.models import Inspection, OwedRating, Rating, Recommendation
from inspections.vocabulary.states import InspectionState, OwedState, RecommendationState
from inventory.models import Event, Person, Sign, Structure
from inventory.queries.people import agencies_of, agencies_permitting
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import SignState

OPEN_STATES = (
    InspectionState.SENT_BACK,
    InspectionState.DRAFT,
    InspectionState.SUBMITTED,
    InspectionState.RATED,
)


def inspections_for(person: Person) -> QuerySet[Inspection]:
    """All inspections of the person's agencies."""
    return Inspection.objects.filter(structure__agency__in=agencies_of(person)).select_related(
        "structure__agency", "inspector", "reviewed_by"
    )


def open_inspections(person: Person) -> QuerySet[Inspection]:
    """Not yet accepted, oldest work first; somebody must still do something about each."""
    return inspections_for(person).filter(state__in=OPEN_STATES).order_by("structure__number", "id")


def inspections_to_review(person: Person) -> QuerySet[Inspection]:
    """Rated and awaiting the person's review."""
    agencies = agencies_permitting(person, Permit.REVIEW_INSPECTION)
    return (
        inspections_for(person)
        .filter(state=InspectionState.RATED, structure__agency__in=agencies)
        .order_by("submitted_at", "id")
    )


def ratings_for(person: Person) -> QuerySet[Rating]:
    return Rating.objects.filter(structure__agency__in=agencies_of(person)).select_related(
        "structure__agency", "inspection"
    )


def recommendations_for(person: Person) -> QuerySet[Recommendation]:
    return Recommendation.objects.filter(structure__agency__in=agencies_of(person)).select_related(
        "structure__agency", "rating__inspection", "decided_by", "posting"
    )


def proposals_to_decide(person: Person) -> QuerySet[Recommendation]:
    """Open proposals of the agencies where the person decides, the gravest first."""
    agencies = agencies_permitting(person, Permit.DECIDE_POSTING)
    return (
        recommendations_for(person)
        .filter(state=RecommendationState.PROPOSED, structure__agency__in=agencies)
        .order_by("-needs_review_now", "made_on", "id")
    )


def signs_for(person: Person) -> QuerySet[Sign]:
    return Sign.objects.filter(posting__structure__agency__in=agencies_of(person)).select_related(
        "posting__structure__agency", "confirmed_by", "photo"
    )


def signs_to_see_to(person: Person) -> QuerySet[Sign]:
    """Signs ordered or missing where the person may confirm them."""
    agencies = agencies_permitting(person, Permit.CONFIRM_SIGN)
    return (
        signs_for(person)
        .filter(
            state__in=(SignState.ORDERED, SignState.MISSING),
            posting__superseded_on__isnull=True,
            posting__structure__agency__in=agencies,
        )
        .order_by("posting__decided_on", "posting__structure__number", "approach")
    )


def signs_standing(person: Person) -> QuerySet[Sign]:
    """Confirmed signs of the postings in force, for reporting one missing."""
    agencies = agencies_permitting(person, Permit.CONFIRM_SIGN)
    return (
        signs_for(person)
        .filter(
            state=SignState.CONFIRMED,
            posting__superseded_on__isnull=True,
            posting__structure__agency__in=agencies,
        )
        .order_by("posting__structure__number", "approach")
    )


def rating_owed(structure: Structure) -> OwedRating | None:
    """A rating still to be made, or one that was given up; None where neither is so."""
    newest = OwedRating.objects.filter(structure=structure).order_by("-id").first()
    return newest if newest is not None and newest.state != OwedState.DONE else None


def last_save(inspection: Inspection) -> Event | None:
    """Who saved, submitted or judged an inspection last, and when."""
    return (
        Event.objects.filter(
            Q(detail__inspection=inspection.pk), structure=inspection.structure, verb__endswith="inspection"
        )
        .select_related("by")
        .order_by("-at", "-id")
        .first()
    )
