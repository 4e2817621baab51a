"""What was found last time, for the page on which the next inspection is entered."""

from django.db.models import QuerySet

from inspections.models import ElementState, Finding, Inspection
from inspections.vocabulary.findings import RATED_PARTS, FindingKind, ForceMethod
from inventory.models import Structure

from .inspections import RELIED_ON

STANDING_FORCE = (ForceMethod.LIFT_OFF, ForceMethod.LOAD_CELL, ForceMethod.HAND_LOOSE)


def inspections_handed_in(structure: Structure) -> QuerySet[Inspection]:
    """Submitted, rated or accepted, newest first; drafts and what was sent back do not count as seen."""
    return structure.inspections.filter(state__in=RELIED_ON).order_by("-field_completed_on", "-id")


def rated_inspections(structure: Structure) -> QuerySet[Inspection]:
    """Inspections that rated at least one part, newest first."""
    return inspections_handed_in(structure).exclude(**{f"{part}_rating": "" for part in RATED_PARTS})


def last_elements(structure: Structure, *, but: Inspection) -> list[ElementState]:
    """The element rows of the newest inspection that has any."""
    last = inspections_handed_in(structure).exclude(pk=but.pk).filter(elements__isnull=False).first()
    return list(last.elements.all()) if last else []


def last_bar_readings(structure: Structure, *, but: Inspection | None = None) -> dict[int, Finding]:
    """Bar id to its newest reading of the standing force; of two on one day the lower counts.

    A gauge at lock-off is no standing force and is left out.
    """
    rows = (
        Finding.objects.filter(
            bar__system__span__structure=structure,
            kind=FindingKind.BAR_FORCE,
            force_method__in=STANDING_FORCE,
            inspection__state__in=RELIED_ON,
        )
        .select_related("inspection")
        .order_by("inspection__field_completed_on", "id")
    )
    if but is not None:
        rows = rows.exclude(inspection=but)
    newest: dict[int, Finding] = {}
    for finding in rows:
        held = newest.get(finding.bar_id)
        same_day = held and held.inspection.field_completed_on == finding.inspection.field_completed_on
        if not (same_day and (held.force_lb or 0) <= (finding.force_lb or 0)):
            newest[finding.bar_id] = finding
    return newest


def where_words(finding: Finding) -> str:
    """The place of a finding in a phrase."""
    place = [f"span {finding.span_index}"] if finding.span_index else []
    if finding.member_id:
        number = f" {finding.member_number}" if finding.member_number else ""
        place.append(f"{finding.member.get_role_display().lower()}{number}")
    elif finding.member_number:
        place.append(f"member {finding.member_number}")
    if finding.bar_id:
        place.append(str(finding.bar))
    if finding.station_ft is not None:
        place.append(f"at {finding.station_ft:g} ft")
    return ", ".join(place)
