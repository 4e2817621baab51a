"""What the field pack of one structure is made of, and which structures a person is offered."""

from datetime import date, timedelta

from django.db.models import Prefetch, Q, QuerySet

from inspections.models import (
    ChannelSection,
    ChannelSurvey,
    FieldDay,
    FieldStop,
    Inspection,
    InspectionPhoto,
    OwedVisit,
    Reminder,
)
from inspections.rules.lifecycle import EDITABLE
from inspections.vocabulary.states import ReminderKind, VisitState
from inventory.models import Document, EmergencyContact, Jack, Person, Structure
from inventory.queries.people import agencies_of
from inventory.queries.structures import structures_for
from inventory.vocabulary.structures import Status

from .inspections import RELIED_ON, standing_findings
from .reminders import ACTIVE

DAYS_BACK, DAYS_AHEAD = 1, 62
MOST_PHOTOS = 40
"""Small copies of 480 pixels are about 40 kB each, so that a pack stays under 2 MB."""
DUE_IN_THE_FIELD = (
    ReminderKind.INSPECTION,
    ReminderKind.UNDERWATER,
    ReminderKind.IN_DEPTH,
    ReminderKind.SPECIAL,
    ReminderKind.DAMAGE,
    ReminderKind.SCOUR,
    ReminderKind.BAR_CHECK,
    ReminderKind.SIGN,
)


def structures_offered(person: Person) -> QuerySet[Structure]:
    """Every structure of the person's agencies that stands, by number."""
    return structures_for(person).exclude(status=Status.REMOVED).order_by("number", "pk")


def due_of(person: Person) -> dict[int, list[Reminder]]:
    """Structure id to what is owed there that is seen to on the spot, by date."""
    rows = Reminder.objects.filter(
        structure__agency__in=agencies_of(person), state__in=ACTIVE, kind__in=DUE_IN_THE_FIELD
    ).order_by("due_on", "kind")
    found: dict[int, list[Reminder]] = {}
    for row in rows:
        found.setdefault(row.structure_id, []).append(row)
    return found


def field_days_of(person: Person, as_of: date) -> list[FieldDay]:
    """The agencies' field days from yesterday to two months ahead, stops in their order."""
    return list(
        FieldDay.objects.filter(
            agency__in=agencies_of(person),
            on__gte=as_of - timedelta(days=DAYS_BACK),
            on__lte=as_of + timedelta(days=DAYS_AHEAD),
        )
        .select_related("leader")
        .prefetch_related(Prefetch("stops", queryset=FieldStop.objects.order_by("order", "pk")))
        .order_by("on", "pk")
    )


def contacts_of(agency_id: int) -> list[EmergencyContact]:
    return list(EmergencyContact.objects.filter(agency=agency_id).order_by("order", "pk"))


def jacks_of(structure: Structure) -> list[Jack]:
    return list(Jack.objects.filter(agency=structure.agency, retired_on__isnull=True).order_by("name", "pk"))


def drafts_of(structure: Structure) -> list[Inspection]:
    """Inspections of the structure that can still be changed, with all they hold."""
    return list(
        Inspection.objects.filter(structure=structure, state__in=EDITABLE)
        .select_related("inspector", "leader")
        .prefetch_related("findings", "elements", "channel_surveys__section")
        .order_by("pk")
    )


def visits_of(structure: Structure) -> list[OwedVisit]:
    return list(OwedVisit.objects.filter(structure=structure, state=VisitState.OPEN).order_by("due_on", "pk"))


def sections_of(structure: Structure) -> list[ChannelSection]:
    return list(ChannelSection.objects.filter(structure=structure).order_by("order", "pk"))


def last_surveys_of(structure: Structure) -> dict[int, ChannelSurvey]:
    """Section id to its newest soundings of an inspection handed in."""
    rows = (
        ChannelSurvey.objects.filter(section__structure=structure, inspection__state__in=RELIED_ON)
        .select_related("inspection")
        .order_by("inspection__field_completed_on", "pk")
    )
    return {row.section_id: row for row in rows}


def photos_of(structure: Structure) -> list[tuple[Document, str]]:
    """(photograph, identity of its finding or ""): of standing findings first, then of the newest inspection, then the
    newest others; at most MOST_PHOTOS."""
    stands = {row.identity: row.photo_id for row in standing_findings(structure) if row.identity}
    found: dict[int, str] = {pk: str(identity) for identity, pk in stands.items() if pk}
    linked = InspectionPhoto.objects.filter(inspection__structure=structure).order_by(
        "-inspection__field_completed_on", "order", "pk"
    )
    for row in linked.filter(finding_identity__in=list(stands)):
        found.setdefault(row.document_id, str(row.finding_identity))
    newest = Inspection.objects.filter(structure=structure, state__in=RELIED_ON).order_by("-field_completed_on", "-pk")
    if (last := newest.first()) is not None:
        for row in linked.filter(inspection=last):
            found.setdefault(row.document_id, str(row.finding_identity or ""))
    others = Document.objects.filter(structure=structure, kind="photo").exclude(served="").order_by("-at", "-pk")
    for pk in others.values_list("pk", flat=True)[:MOST_PHOTOS]:
        found.setdefault(pk, "")
    documents = Document.objects.filter(~Q(served=""), structure=structure, kind="photo").in_bulk(list(found))
    return [(documents[pk], identity) for pk, identity in found.items() if pk in documents][:MOST_PHOTOS]


def photo_of(structure: Structure, pk: int) -> Document | None:
    return Document.objects.filter(structure=structure, pk=pk, kind="photo").exclude(served="").first()
