"""Rows of findings and elements from what was entered: every value that cannot be is named in a sentence."""

from uuid import UUID, uuid4

from inspections.assembly.inspection_content import ELEMENT_FIELDS, FINDING_FIELDS
from inspections.models import ElementState, Finding, Inspection
from inspections.rules.evidence import range_faults
from inspections.rules.gauge import BarKnown, Repeats, impossible
from inspections.rules.measured_sizes import size_faults
from inspections.vocabulary.findings import Change, FindingKind
from inventory.models import Bar, Document, Jack, MemberGroup, Structure

LINKS = {"member": MemberGroup, "bar": Bar, "jack": Jack, "photo": Document}
IDENTITIES = ("identity", "carries_on")
STAYING = ("carries_on", "change", "across_ft", "photo")
"""Columns that a sheet may leave out without emptying them: the finding of the same identity keeps its own."""


def finding_rows(inspection: Inspection, structure: Structure, findings: list[dict]) -> tuple[list[Finding], list[str]]:
    """(rows not saved yet, sentences): a finding given with the identity of one saved before goes on as that one."""
    stored = {row.identity: row for row in inspection.findings.all()}
    known = {
        "member": {row.pk: row for row in MemberGroup.objects.filter(span__structure=structure).select_related("span")},
        "bar": {row.pk: row for row in Bar.objects.filter(system__span__structure=structure).select_related("system")},
        "jack": {row.pk: row for row in Jack.objects.filter(agency=structure.agency)},
        "photo": {row.pk: row for row in Document.objects.filter(structure=structure)},
    }
    spans = dict(structure.spans.values_list("index", "length_ft"))
    rows, faults = [], []
    for position, finding in enumerate(findings, start=1):
        values, wrong = _finding_values(_as_before(finding, stored), known, position)
        wrong += range_faults(values, position, span_ft=spans.get(values.get("span_index")))
        wrong += _span_faults(values, spans, position)
        wrong += _member_faults(values, position) + _force_faults(values, position)
        faults += wrong
        if not wrong:
            rows.append(Finding(inspection=inspection, **values))
    return rows, faults + _identity_faults(inspection, rows)


def _as_before(finding: dict, stored: dict[UUID, Finding]) -> dict:
    """The finding with what its sheet does not show, as the row of the same identity has it."""
    row = stored.get(_identity(finding.get("identity")))
    if row is None:
        return finding
    kept = {
        name: row.serializable_value(name) for name in STAYING if name not in finding and f"{name}_id" not in finding
    }
    return kept | finding


def _identity(value) -> UUID | None:
    try:
        return value if isinstance(value, UUID) or not value else UUID(str(value))
    except ValueError:
        return None


def _identity_faults(inspection: Inspection, rows: list[Finding]) -> list[str]:
    """An identity names one finding for ever: not two of a sheet, and not one of another inspection."""
    identities = [row.identity for row in rows]
    if len(set(identities)) < len(identities):
        return ["Two findings carry the same identity: open the inspection again and enter the second one anew."]
    foreign = Finding.objects.filter(identity__in=identities).exclude(inspection=inspection)
    if foreign.exists():
        return ["A finding carries the identity of one of another inspection: enter it anew here."]
    return []


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
        elif name in IDENTITIES:
            values[name] = _identity(value)
        elif name not in FINDING_FIELDS:
            faults.append(f"Finding {position}: there is no field '{name}'.")
        elif value is not None:
            values[name] = value
    if values.get("kind") not in {member.value for member in FindingKind}:
        faults.append(f"Finding {position}: choose what kind of finding it is.")
    if values.get("change") and values["change"] not in {member.value for member in Change}:
        faults.append(f"Finding {position}: '{values['change']}' is not a change since last time; choose again.")
    values["identity"] = values.get("identity") or uuid4()
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


def doubled_elements(elements: list[dict]) -> list[str]:
    numbers = [element.get("number") for element in elements]
    doubled = sorted({str(n) for n in numbers if n is not None and numbers.count(n) > 1})
    return [f"Element {number} is given twice: put its quantities in one row." for number in doubled]


def element_row(inspection: Inspection, element: dict) -> ElementState:
    given = {name: element[name] for name in ELEMENT_FIELDS if name in element}
    return ElementState(inspection=inspection, **given)
