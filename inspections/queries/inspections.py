"""Inspections, what still stands of their findings, and the decisions that followed."""

from collections.abc import Sequence
from datetime import date

from django.db.models import QuerySet

from inspections.models import Finding, Inspection, Receipt, Recommendation
from inspections.rules.losses import is_still_there, which_stand
from inspections.vocabulary.states import InspectionState, ReceiptState, RecommendationState
from inventory.models import Event, Posting, Standing, Structure

RECEIVED = (
    InspectionState.SUBMITTED,
    InspectionState.RATED,
    InspectionState.ACCEPTED,
    InspectionState.SENT_BACK,
)
"""States in which what the inspector found counts: also while it is reviewed or put right, since it was seen."""
RELIED_ON = (InspectionState.SUBMITTED, InspectionState.RATED, InspectionState.ACCEPTED)


def received_inspections(structure: Structure, as_of: date | None = None) -> QuerySet[Inspection]:
    """Inspections handed over, newest first, up to a day."""
    rows = Inspection.objects.filter(structure=structure, state__in=RECEIVED, field_completed_on__isnull=False)
    if as_of is not None:
        rows = rows.filter(field_completed_on__lte=as_of)
    return rows.order_by("-field_completed_on", "-id")


def last_inspection(structure: Structure) -> Inspection | None:
    """The latest inspection handed over, of any kind but the county's own bar check."""
    return received_inspections(structure).exclude(kind="bar_check").first()


def last_codes(structure: Structure, names: Sequence[str]) -> dict[str, str]:
    """Column ("deck_rating") to the code last given to that component by an inspection handed over and not sent back;
    left out where none gave one. A special inspection that rates one component leaves the others as they were."""
    found: dict[str, str] = {}
    for row in received_inspections(structure).filter(state__in=RELIED_ON).values(*names):
        found |= {name: code for name, code in row.items() if code and name not in found}
    return found


def component_rating(structure: Structure, name: str, as_of: date) -> str:
    """The code last given to one component ("superstructure_rating") by a day, "" where none was.

    Of inspections handed over and not sent back; where none gave it, as the register holds it from the federal record.
    """
    given = received_inspections(structure, as_of).filter(state__in=RELIED_ON).exclude(**{name: ""})
    found = given.values_list(name, flat=True).first()
    if found is None:
        found = Standing.objects.filter(structure=structure).values_list(name, flat=True).first()
    return found or ""


def standing_findings(structure: Structure, as_of: date | None = None) -> list[Finding]:
    """The findings that still stand, newest inspection first: the form shows them as last time's.

    Which ones a later inspection replaces is the rule `losses.which_stand`; what was marked repaired or gone is kept
    with its inspection and stands no more.
    """
    inspections = list(received_inspections(structure, as_of))
    findings = Finding.objects.filter(inspection__in=[row.pk for row in inspections]).select_related(
        "inspection", "member", "member__span", "bar", "bar__system", "photo"
    )
    by_inspection: dict[int, list[Finding]] = {}
    for finding in findings:
        by_inspection.setdefault(finding.inspection_id, []).append(finding)
    stands = []
    for inspection, kinds in which_stand([(row, row.kind, row.state) for row in inspections]):
        mine = [row for row in by_inspection.get(inspection.pk, []) if row.kind in kinds]
        stands += [row for row in mine if is_still_there(row.kind, row.change)]
    return stands


def posting_in_force(structure: Structure) -> Posting | None:
    """The one posting that nothing has superseded."""
    return Posting.objects.filter(structure=structure, superseded_on__isnull=True).first()


def open_proposal(structure: Structure) -> Recommendation | None:
    """The recommendation that awaits the engineer."""
    return (
        Recommendation.objects.filter(structure=structure, state=RecommendationState.PROPOSED)
        .select_related("rating")
        .first()
    )


def authors_of(inspection: Inspection) -> frozenset[int]:
    """Ids of everyone who led, entered, saved or submitted any part of an inspection."""
    told = Event.objects.filter(
        structure_id=inspection.structure_id,
        verb__in=("open_inspection", "save_inspection", "submit_inspection"),
        detail__inspection=inspection.pk,
        by__isnull=False,
    ).values_list("by_id", flat=True)
    named = {inspection.inspector_id, inspection.leader_id} - {None}
    # A record from the field may be filed by the office: whoever entered it and whoever sent it are authors too.
    sent = Receipt.objects.filter(inspection=inspection.pk, state=ReceiptState.FILED)
    for person, entered_by in sent.values_list("person_id", "body__made_by__id"):
        named |= {person} | ({entered_by} if type(entered_by) is int else set())
    return frozenset(told) | named
