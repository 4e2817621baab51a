"""Intervals people set for one structure, and visits owed because something happened."""

from collections.abc import Iterable

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from inspections.models import Inspection, InspectionNeed, OwedVisit
from inspections.queries.inspections import RELIED_ON
from inspections.vocabulary.states import VisitState
from inventory.models import Person, Structure
from inventory.queries.people import agencies_of, agencies_permitting
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import Status

MAY_REPORT = (Permit.MANAGE_REMINDERS, Permit.ENTER_INSPECTION)
SEARCHED = ("number", "name", "road_name", "feature_crossed")


def needs_in_force(structure: Structure) -> QuerySet[InspectionNeed]:
    """What people set for this structure, by kind."""
    return structure.inspection_needs.filter(ended_on__isnull=True).select_related("set_by").order_by("kind")


def needs_ended(structure: Structure) -> QuerySet[InspectionNeed]:
    """Those that were ended, the last first."""
    return (
        structure.inspection_needs.filter(ended_on__isnull=False).select_related("set_by").order_by("-ended_on", "-pk")
    )


def needs_for(person: Person) -> QuerySet[InspectionNeed]:
    """The rows of the person's agencies."""
    return InspectionNeed.objects.filter(structure__agency__in=agencies_of(person)).select_related("structure__agency")


def visits_for(person: Person) -> QuerySet[OwedVisit]:
    """The visits of the person's agencies."""
    return OwedVisit.objects.filter(structure__agency__in=agencies_of(person)).select_related("structure__agency")


def open_visits(structure: Structure) -> QuerySet[OwedVisit]:
    """The visits one structure still owes."""
    return structure.owed_visits.filter(state=VisitState.OPEN.value).order_by("due_on", "pk")


def closed_visits(structure: Structure) -> QuerySet[OwedVisit]:
    """Visits made or set aside, the last event first."""
    return structure.owed_visits.exclude(state=VisitState.OPEN.value).order_by("-happened_on", "-pk")


def visits_inspected(structure_ids: Iterable[int]) -> QuerySet[OwedVisit]:
    """Open visits that an inspection of their kind, handed in and not sent back, made on the day of the event or
    later, has answered; `answered_by` is the first such inspection."""
    answers = Inspection.objects.filter(
        structure=OuterRef("structure"),
        kind=OuterRef("kind"),
        state__in=RELIED_ON,
        field_completed_on__gte=OuterRef("happened_on"),
    ).order_by("field_completed_on", "pk")
    rows = OwedVisit.objects.filter(structure__in=list(structure_ids), state=VisitState.OPEN.value)
    rows = rows.annotate(
        answered_by=Subquery(answers.values("pk")[:1]), answered_on=Subquery(answers.values("field_completed_on")[:1])
    )
    return rows.filter(answered_by__isnull=False).order_by("structure", "pk")


def structures_to_report(person: Person) -> QuerySet[Structure]:
    """Structures in service where the person may say that something happened."""
    agencies = agencies_permitting(person, MAY_REPORT[0]) | agencies_permitting(person, MAY_REPORT[1])
    rows = Structure.objects.filter(agency__in=agencies.values("pk"), status=Status.IN_SERVICE.value)
    return rows.select_related("agency").order_by("feature_crossed", "road_name", "number")


def found_by_words(rows: QuerySet[Structure], words: str) -> QuerySet[Structure]:
    """Every word must stand in number, name, road or what is crossed."""
    for word in words.replace("\x00", " ").split()[:8]:
        anywhere = Q()
        for field in SEARCHED:
            anywhere |= Q(**{f"{field}__icontains": word})
        rows = rows.filter(anywhere)
    return rows


def over_water(rows: QuerySet[Structure]) -> QuerySet[Structure]:
    """Those over water, and those of which nobody said."""
    return rows.filter(Q(over_water=True) | Q(over_water__isnull=True)).order_by(
        F("feature_crossed").asc(), "road_name", "number"
    )
