"""Samples, checks and differences a person may see; what a sample is drawn from; an inspection as it is compared."""

from datetime import date

from django.db.models import Prefetch, QuerySet

from inspections.models import Finding, Inspection, QualityCheck, QualityDifference, QualitySample
from inspections.rules.completeness import FULL_KINDS
from inspections.rules.quality import Element, Seen, Visit
from inspections.vocabulary.elements import element_words
from inspections.vocabulary.findings import RATED_PARTS, FindingKind
from inspections.vocabulary.states import InspectionState
from inventory.models import Agency, Person
from inventory.queries.people import agencies_of

from .inspections import RECEIVED, authors_of


def samples_for(person: Person) -> QuerySet[QualitySample]:
    """Samples of the person's agencies with their checks, the newest first."""
    checks = QualityCheck.objects.select_related("inspection__structure", "repeated").prefetch_related("differences")
    return (
        QualitySample.objects.filter(agency__in=agencies_of(person))
        .select_related("agency", "drawn_by")
        .prefetch_related(Prefetch("checks", queryset=checks.order_by("pk")))
        .order_by("-drawn_at", "-pk")
    )


def checks_for(person: Person) -> QuerySet[QualityCheck]:
    """Checks of the person's agencies."""
    return QualityCheck.objects.filter(sample__agency__in=agencies_of(person)).select_related(
        "sample__agency", "inspection__structure__agency", "inspection__inspector", "repeated__inspector", "closed_by"
    )


def differences_for(person: Person) -> QuerySet[QualityDifference]:
    return QualityDifference.objects.filter(check_of__sample__agency__in=agencies_of(person)).select_related(
        "check_of__sample__agency", "check_of__inspection__structure"
    )


def inspections_to_draw(agency: Agency, first: date, last: date) -> QuerySet[Inspection]:
    """Accepted full inspections of a period; none that came with a federal record, none that itself repeats another."""
    repeats = QualityCheck.objects.filter(repeated__isnull=False).values("repeated")
    return Inspection.objects.filter(
        structure__agency=agency, state=InspectionState.ACCEPTED.value, kind__in=[kind.value for kind in FULL_KINDS],
        field_completed_on__range=(first, last), from_record=False,
    ).exclude(pk__in=repeats)  # fmt: skip


def draw_names(inspections: QuerySet[Inspection]) -> dict[int, str]:
    """Row number to the name by which the rule draws."""
    rows = inspections.values_list("pk", "structure__number", "field_completed_on", "kind")
    return {pk: f"{number} {on.isoformat()} {kind}" for pk, number, on, kind in rows}


def could_repeat(check: QualityCheck) -> list[Inspection]:
    """Of the same kind and structure, made later by others: those that may be named as the one that repeats it."""
    first = check.inspection
    if first.field_completed_on is None:
        return []
    taken = QualityCheck.objects.filter(repeated__isnull=False).exclude(pk=check.pk).values("repeated")
    rows = (
        Inspection.objects.filter(
            structure=first.structure_id, kind=first.kind, state__in=RECEIVED, from_record=False,
            field_completed_on__gte=first.field_completed_on,
        )
        .exclude(pk=first.pk)
        .exclude(pk__in=taken)
        .select_related("inspector", "structure")
        .order_by("field_completed_on", "pk")
    )  # fmt: skip
    authors = authors_of(first)
    return [row for row in rows if not authors & authors_of(row)]


def visit_of(inspection: Inspection) -> Visit:
    """An inspection as the rule compares it."""
    elements = {
        row.number: Element(
            name=element_words(row.number), unit=row.unit, total=row.total, states=(row.cs1, row.cs2, row.cs3, row.cs4)
        )
        for row in inspection.elements.all()
    }
    findings = inspection.findings.select_related("member__span", "bar").order_by("pk")
    return Visit(
        ratings={label: getattr(inspection, f"{part}_rating") for part, label in RATED_PARTS.items()},
        elements=elements,
        findings=[_seen(row) for row in findings],
    )


def _seen(row: Finding) -> Seen:
    place = (row.span_index, row.member_id, row.member_number, row.bar_id, row.face)
    return Seen(
        identity=str(row.identity or ""),
        kind=row.kind,
        words=_words(row),
        place=place,
        station_ft=row.station_ft,
        carries_on=str(row.carries_on or ""),
        change=row.change,
    )


def _words(row: Finding) -> str:
    words = [FindingKind.label_of(row.kind)]
    if row.span_index:
        words.append(f"span {row.span_index}")
    if row.member_id:
        number = f" {row.member_number}" if row.member_number else ""
        words.append(f"{row.member.get_role_display().lower()}{number}")
    if row.bar_id:
        words.append(str(row.bar))
    if row.station_ft is not None:
        words.append(f"at {row.station_ft:g} ft")
    return ", ".join(words)
