"""An inspection comes in: opened, saved as a draft as often as wanted, submitted once complete."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID, uuid4

from django.core.exceptions import ValidationError
from django.db import transaction

from inspections.assembly.inspection_content import VISIT_FIELDS, content_of
from inspections.models import ElementState, Finding, Inspection, InspectionPhoto, InspectionVersion, PhotoPlace
from inspections.reckoning.proposed_ratings import proposals_of
from inspections.rules import lifecycle
from inspections.rules.clocks.terms import day
from inspections.rules.completeness import before_built, submission_faults
from inspections.rules.evidence import element_faults, evidence_faults, range_faults
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import InspectionKind
from inspections.vocabulary.states import InspectionState
from inventory.actions.tell import tell_event
from inventory.models import MemberGroup, Person, Structure
from inventory.vocabulary.roles import Permit

from .asked import mark_answered, still_asked
from .lock import day_of, lock_row, lock_structure, require_move, require_permit
from .rate import owe_rating
from .received_rows import doubled_elements, element_row, finding_rows

FIELDS = VISIT_FIELDS


@transaction.atomic
def open_inspection(
    *,
    structure: Structure,
    kind: str,
    by: Person,
    at: datetime,
    identity: UUID | None = None,
    inspector: Person | None = None,
    permit: Permit = Permit.ENTER_INSPECTION,
) -> Inspection:
    """Start a draft for a structure; the person who opens it is its inspector, unless the office files another's.

    `identity` was made on a device; `permit` is SETTLE_RECEIPTS where the office files what it held.
    """
    structure = lock_structure(structure.pk)
    require_permit(by, structure, permit)
    if kind not in {member.value for member in InspectionKind}:
        raise Refused(f"'{kind}' is not a kind of inspection: choose one from the list.")
    inspection = Inspection.objects.create(
        structure=structure, kind=kind, inspector=inspector or by, identity=identity or uuid4()
    )
    tell_event(
        verb="open_inspection",
        sentence=f"{InspectionKind.label_of(kind)} inspection opened.",
        at=at,
        by=by,
        structure=structure,
        detail={"inspection": inspection.pk},
    )
    return inspection


@transaction.atomic
def save_draft(
    *,
    inspection: Inspection,
    revision: int,
    fields: dict,
    findings: list[dict],
    elements: list[dict],
    by: Person,
    at: datetime,
    device: UUID | None = None,
    permit: Permit = Permit.ENTER_INSPECTION,
    asked: Sequence[dict] = (),
) -> Inspection:
    """Save the whole form, or nothing: the findings and elements given replace those saved before.

    `fields` are columns of the inspection (any of FIELDS); each finding is a dict of Finding columns, where `member`,
    `bar` and `photo` may be rows or ids and `identity` says which finding it goes on as; each element a dict of
    ElementState columns. A draft may be incomplete; a value that cannot be is refused. `device` is where it was
    entered, None at the office. Returns the saved inspection, its revision one higher; what it says is kept as a
    version. `asked` are rows of what was asked for with "why_not"; what is given now is marked as answered.
    """
    structure = lock_structure(inspection.structure_id)
    require_permit(by, structure, permit)
    inspection = lock_row(inspection, revision, "this inspection")
    if inspection.state not in lifecycle.EDITABLE:
        raise Refused(
            f"This inspection is '{InspectionState.label_of(inspection.state).lower()}' and can no longer be changed. "
            "Ask the reviewing engineer to send it back, or open a new inspection."
        )
    _set_fields(inspection, fields, structure)
    rows, faults = finding_rows(inspection, structure, findings)
    faults += [fault for element in elements for fault in element_faults(element)]
    faults += doubled_elements(elements)
    if faults:
        raise Refused(*faults)
    inspection.revision += 1
    inspection.device = device or inspection.device
    _save_clean(inspection)
    inspection.findings.all().delete()
    Finding.objects.bulk_create(rows)
    inspection.elements.all().delete()
    ElementState.objects.bulk_create([element_row(inspection, element) for element in elements])
    if mark_answered(inspection, asked):
        inspection.save(update_fields=["asked"])
    keep_version(inspection, device=device, by=by, at=at)
    tell_event(
        verb="save_inspection",
        sentence=f"Draft of the {InspectionKind.label_of(inspection.kind).lower()} inspection saved, "
        f"{len(rows)} finding{'' if len(rows) == 1 else 's'}.",
        at=at,
        by=by,
        structure=structure,
        detail={"inspection": inspection.pk, "revision": inspection.revision},
    )
    return inspection


@transaction.atomic
def submit_inspection(*, inspection: Inspection, revision: int, by: Person, at: datetime) -> Inspection:
    """Hand the inspection over to be rated; refused with every missing thing named. Leaves a rating owed."""
    structure = lock_structure(inspection.structure_id)
    permits = require_permit(by, structure, Permit.ENTER_INSPECTION)
    inspection = lock_row(inspection, revision, "this inspection")
    require_move(lifecycle.INSPECTION, inspection.state, InspectionState.SUBMITTED, permits)
    findings = _with_photos(inspection)
    spans = dict(structure.spans.values_list("index", "length_ft"))
    waived = _not_on_record(structure, spans)
    faults = submission_faults(_as_mapping(inspection), findings, day_of(at))
    faults += before_built(inspection.field_completed_on, structure.year_built)
    for position, finding in enumerate(findings, start=1):
        faults += evidence_faults(finding, position, waived=waived)
        faults += range_faults(finding, position, span_ft=spans.get(finding["span_index"]))
    for element in inspection.elements.values():
        faults += element_faults(element)
    # A photograph named in the record may have come after the last save.
    mark_answered(inspection)
    faults += still_asked(inspection)
    if faults:
        raise Refused(*faults)
    again = inspection.state == InspectionState.SENT_BACK
    inspection.state = InspectionState.SUBMITTED
    inspection.submitted_at = at
    inspection.rating_proposals = proposals_of(inspection, as_of=day_of(at))
    inspection.revision += 1
    inspection.save()
    label = InspectionKind.label_of(inspection.kind)
    tell_event(
        verb="submit_inspection",
        sentence=f"{label} inspection of {day(inspection.field_completed_on)} submitted{' again' if again else ''}.",
        at=at,
        by=by,
        structure=structure,
        detail={"inspection": inspection.pk, "findings": len(findings)},
    )
    owe_rating(
        structure=structure,
        cause=f"{label} inspection of {day(inspection.field_completed_on)}",
        at=at,
        inspection=inspection,
    )
    return inspection


def _not_on_record(structure: Structure, spans: dict) -> frozenset[str]:
    """What no finding can name, because the structure's record does not hold it yet."""
    if not spans:
        return frozenset({"span_index", "member", "member_number"})
    has_members = MemberGroup.objects.filter(span__structure=structure).exists()
    return frozenset() if has_members else frozenset({"member", "member_number"})


def keep_version(inspection: Inspection, *, device: UUID | None, by: Person, at: datetime) -> None:
    """What the inspection says now, read fresh: the base of the next three-way look."""
    fresh = Inspection.objects.get(pk=inspection.pk)
    InspectionVersion.objects.update_or_create(
        inspection=inspection,
        revision=inspection.revision,
        defaults={"content": content_of(fresh), "device": device, "by": by, "at": at},
    )


def _with_photos(inspection: Inspection) -> list[dict]:
    """The findings by column; a photograph on its way, or linked to the inspection, counts as the finding's own."""
    named = set(
        PhotoPlace.objects.filter(inspection=inspection, finding_identity__isnull=False).values_list(
            "finding_identity", flat=True
        )
    ) | set(
        InspectionPhoto.objects.filter(inspection=inspection, finding_identity__isnull=False).values_list(
            "finding_identity", flat=True
        )
    )
    found = []
    for row in inspection.findings.all():
        values = _as_mapping(row)
        if values["photo"] is None and row.identity in named:
            values["photo"] = "on its way"
        found.append(values)
    return found


def _set_fields(inspection: Inspection, fields: dict, structure: Structure) -> None:
    unknown = sorted(set(fields) - set(FIELDS))
    if unknown:
        raise Refused(f"An inspection has no field {', '.join(unknown)}: nothing was saved.")
    for name, value in fields.items():
        if name == "leader":
            inspection.leader = _leader(value, structure)
        else:
            setattr(inspection, name, value)
    reasons = inspection.rating_reasons
    if not isinstance(reasons, dict) or any(not isinstance(why, str) for why in reasons.values()):
        raise Refused("The reasons of the component ratings must be words, one text for each component.")


def _leader(value, structure: Structure) -> Person | None:
    """A member of the agency, by row or id; whether they are qualified is said beside the inspection, not here."""
    if value in (None, ""):
        return None
    found = Person.objects.filter(pk=getattr(value, "pk", value), memberships__agency=structure.agency).first()
    if found is None:
        raise Refused("The team leader chosen does not belong to this agency: choose another.")
    return found


def _save_clean(inspection: Inspection) -> None:
    try:
        inspection.clean_fields(exclude=["structure", "inspector", "reviewed_by"])
    except ValidationError as problem:
        raise Refused(
            *(
                f"{inspection._meta.get_field(name).verbose_name.capitalize()}: {' '.join(messages)}"
                for name, messages in problem.message_dict.items()
            )
        )
    inspection.save()


def _as_mapping(row) -> dict:
    """Columns by name; a link is its id."""
    return {field.name: field.value_from_object(row) for field in row._meta.concrete_fields}
