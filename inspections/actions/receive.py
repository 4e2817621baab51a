"""An inspection comes in: opened, saved as a draft as often as wanted, submitted once complete."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from inspections.models import ElementState, Finding, Inspection
from inspections.rules import lifecycle
from inspections.rules.clocks.terms import day
from inspections.rules.completeness import submission_faults
from inspections.rules.evidence import element_faults, evidence_faults, range_faults
from inspections.rules.gauge import BarKnown, Repeats, impossible
from inspections.rules.measured_sizes import size_faults
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import FindingKind, InspectionKind
from inspections.vocabulary.states import InspectionState
from inventory.actions.tell import tell_event
from inventory.models import Bar, Document, Jack, MemberGroup, Person, Structure
from inventory.vocabulary.roles import Permit

from .lock import day_of, lock_row, lock_structure, require_move, require_permit
from .rate import owe_rating

FIELDS = (
    "kind",
    "field_completed_on",
    "team",
    "weather",
    "air_temp_f",
    "deck_rating",
    "superstructure_rating",
    "substructure_rating",
    "channel_rating",
    "culvert_rating",
    "notes",
)
EDITABLE = (InspectionState.DRAFT, InspectionState.SENT_BACK)
FINDING_FIELDS = tuple(field.name for field in Finding._meta.concrete_fields if field.name not in ("id", "inspection"))
LINKS = {"member": MemberGroup, "bar": Bar, "jack": Jack, "photo": Document}


@transaction.atomic
def open_inspection(*, structure: Structure, kind: str, by: Person, at: datetime) -> Inspection:
    """Start a draft for a structure; the person who opens it is its inspector."""
    structure = lock_structure(structure.pk)
    require_permit(by, structure, Permit.ENTER_INSPECTION)
    if kind not in {member.value for member in InspectionKind}:
        raise Refused(f"'{kind}' is not a kind of inspection: choose one from the list.")
    inspection = Inspection.objects.create(structure=structure, kind=kind, inspector=by)
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
) -> Inspection:
    """Save the whole form, or nothing: the findings and elements given replace those saved before.

    `fields` are columns of the inspection (any of FIELDS); each finding is a dict of Finding columns, where `member`,
    `bar` and `photo` may be rows or ids; each element a dict of ElementState columns. A draft may be incomplete; a
    value that cannot be is refused. Returns the saved inspection, its revision one higher.
    """
    structure = lock_structure(inspection.structure_id)
    require_permit(by, structure, Permit.ENTER_INSPECTION)
    inspection = lock_row(inspection, revision, "this inspection")
    if inspection.state not in EDITABLE:
        raise Refused(
            f"This inspection is '{InspectionState.label_of(inspection.state).lower()}' and can no longer be changed. "
            "Ask the reviewing engineer to send it back, or open a new inspection."
        )
    _set_fields(inspection, fields)
    rows, faults = _finding_rows(inspection, structure, findings)
    faults += [fault for element in elements for fault in element_faults(element)]
    faults += _doubled_elements(elements)
    if faults:
        raise Refused(*faults)
    inspection.revision += 1
    _save_clean(inspection)
    inspection.findings.all().delete()
    Finding.objects.bulk_create(rows)
    inspection.elements.all().delete()
    ElementState.objects.bulk_create([_element_row(inspection, element) for element in elements])
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
    findings = [_as_mapping(row) for row in inspection.findings.all()]
    spans = dict(structure.spans.values_list("index", "length_ft"))
    waived = _not_on_record(structure, spans)
    faults = submission_faults(_as_mapping(inspection), findings, day_of(at))
    for position, finding in enumerate(findings, start=1):
        faults += evidence_faults(finding, position, waived=waived)
        faults += range_faults(finding, position, span_ft=spans.get(finding["span_index"]))
    for element in inspection.elements.values():
        faults += element_faults(element)
    if faults:
        raise Refused(*faults)
    again = inspection.state == InspectionState.SENT_BACK
    inspection.state = InspectionState.SUBMITTED
    inspection.submitted_at = at
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


def _set_fields(inspection: Inspection, fields: dict) -> None:
    unknown = sorted(set(fields) - set(FIELDS))
    if unknown:
        raise Refused(f"An inspection has no field {', '.join(unknown)}: nothing was saved.")
    for name, value in fields.items():
        setattr(inspection, name, value)


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


def _finding_rows(
    inspection: Inspection, structure: Structure, findings: list[dict]
) -> tuple[list[Finding], list[str]]:
    known = {
        "member": {row.pk: row for row in MemberGroup.objects.filter(span__structure=structure).select_related("span")},
        "bar": {row.pk: row for row in Bar.objects.filter(system__span__structure=structure).select_related("system")},
        "jack": {row.pk: row for row in Jack.objects.filter(agency=structure.agency)},
        "photo": {row.pk: row for row in Document.objects.filter(structure=structure)},
    }
    spans = dict(structure.spans.values_list("index", "length_ft"))
    rows, faults = [], []
    for position, finding in enumerate(findings, start=1):
        values, wrong = _finding_values(finding, known, position)
        wrong += range_faults(values, position, span_ft=spans.get(values.get("span_index")))
        wrong += _span_faults(values, spans, position)
        wrong += _member_faults(values, position) + _force_faults(values, position)
        faults += wrong
        if not wrong:
            rows.append(Finding(inspection=inspection, **values))
    return rows, faults


def _finding_values(finding: dict, known: dict, position: int) -> tuple[dict, list[str]]:
    values, faults = {}, []
    for name, value in finding.items():
        link = name.removesuffix("_id")
        if link in LINKS:
            pk = getattr(value, "pk", value)
            if pk in (None, ""):
                continue
            row = known[link].get(pk)
            if row is None:
                faults.append(f"Finding {position}: the {link} chosen does not belong to this structure; choose again.")
            values[link] = row
        elif name not in FINDING_FIELDS:
            faults.append(f"Finding {position}: there is no field '{name}'.")
        elif value is not None:
            values[name] = value
    if values.get("kind") not in {member.value for member in FindingKind}:
        faults.append(f"Finding {position}: choose what kind of finding it is.")
    return values, faults


def _span_faults(values: dict, spans: dict[int, float], position: int) -> list[str]:
    index, member = values.get("span_index"), values.get("member")
    faults = []
    if index is not None and spans and index not in spans:
        faults.append(f"Finding {position}: this structure has no span {index} on record; correct the span.")
    if member is not None and index is not None and member.span.index != index:
        faults.append(f"Finding {position}: the member chosen stands in span {member.span.index}, not in span {index}.")
    if member is not None and (values.get("member_number") or 1) > member.count:
        faults.append(
            f"Finding {position}: there are {member.count} members in that group, so none has the number "
            f"{values['member_number']}; count from the left edge, looking ahead."
        )
    return faults


def _member_faults(values: dict, position: int) -> list[str]:
    member = values.get("member")
    if member is None:
        return []
    faults = size_faults(values, role=member.role, width_in=member.width_in, depth_in=member.depth_in)
    return [f"Finding {position}: {sentence}" for sentence in faults.values()]


def _force_faults(values: dict, position: int) -> list[str]:
    """A force that the bar cannot hold is no reading; repeats are numbers like it."""
    bar, repeats = values.get("bar"), values.get("repeats_lb") or []
    forces = [force for force in (values.get("force_lb"), *repeats) if force is not None]
    if any(isinstance(force, bool) or not isinstance(force, int | float) for force in forces):
        return [f"Finding {position}: the readings of a bar must be numbers in lb; correct them."]
    if bar is None or not forces or values["kind"] != FindingKind.BAR_FORCE:
        return []
    known = BarKnown(net_area_in2=bar.system.bar_area_in2, tensile_psi=bar.system.fpu_ksi * 1000.0)
    fault = impossible(Repeats(forces_lb=tuple(forces)), known)
    return [f"Finding {position}, {bar}: {fault}"] if fault else []


def _doubled_elements(elements: list[dict]) -> list[str]:
    numbers = [element.get("number") for element in elements]
    doubled = sorted({str(n) for n in numbers if n is not None and numbers.count(n) > 1})
    return [f"Element {number} is given twice: put its quantities in one row." for number in doubled]


def _element_row(inspection: Inspection, element: dict) -> ElementState:
    names = ("number", "unit", "total", "cs1", "cs2", "cs3", "cs4", "note")
    return ElementState(inspection=inspection, **{name: element[name] for name in names if name in element})


def _as_mapping(row) -> dict:
    """Columns by name; a link is its id."""
    return {field.name: field.value_from_object(row) for field in row._meta.concrete_fields}
