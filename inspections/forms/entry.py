"""The whole entry sheet: visit, component ratings, elements, findings, bars and notes, parsed together."""

import re
from collections.abc import Mapping
from datetime import date

from inspections.models import ElementState, Finding, Inspection, InspectionPhoto, PhotoPlace
from inspections.queries.bar_reading import bars_before
from inspections.queries.field_days import leaders_offered
from inspections.vocabulary.findings import FindingKind

from .bars import BarTable
from .elements import ElementForm
from .findings import FindingForm, Places
from .review import AskedSheet
from .rows import Rows
from .visit import VisitForm

ELEMENT_FIELDS = ("number", "total", "cs1", "cs2", "cs3", "cs4", "note")
SPARE_FINDINGS = 3
SPARE_ELEMENTS = 2
FINDING_SENTENCE = re.compile(r"^Finding (\d+)\b")
ELEMENT_SENTENCE = re.compile(r"^Element (\d+)\b")


class EntrySheet:
    """Bound to `data`, or filled from the stored inspection; `values()` is what the action takes."""

    def __init__(
        self,
        inspection: Inspection,
        *,
        today: date,
        data: Mapping | None = None,
        files: Mapping | None = None,
        last_elements: list[ElementState] | None = None,
    ):
        self.inspection = inspection
        stored = list(inspection.findings.all())
        elements = list(inspection.elements.all())
        self.is_prefilled = data is None and inspection.revision == 0 and not elements and bool(last_elements)
        if self.is_prefilled:
            elements = last_elements
        first, rest = _first_reading_of_each_bar(stored)
        before = bars_before(inspection.structure, but=inspection)
        as_of = inspection.field_completed_on or today
        places = Places(inspection.structure, before=before, as_of=as_of, stored=rest)
        self.known_places = places.known() | {"shown": sorted(_with_photos(inspection))}
        self.visit = VisitForm(data, initial=VisitForm.initial_of(inspection), leaders=leaders_offered(inspection))
        self.elements = Rows(
            ElementForm,
            prefix="e",
            data=data,
            stored=[{name: getattr(row, name) for name in ELEMENT_FIELDS} for row in elements],
            extra=SPARE_ELEMENTS,
            given={"own": {row.number: row.unit for row in inspection.elements.all()}},
        )
        self.findings = Rows(
            FindingForm,
            prefix="f",
            data=data,
            stored=[_as_finding_row(finding) for finding in rest],
            extra=SPARE_FINDINGS,
            given={"places": places},
        )
        self.asked = AskedSheet(inspection, self.findings, data, files)
        readings = {pk: _as_row(finding) for pk, finding in first.items()}
        self.bars = BarTable(before, as_of=as_of, data=data, stored=readings)

    def is_valid(self) -> bool:
        valid = [part.is_valid() for part in (self.visit, self.elements, self.findings, self.bars)]
        return all(valid)

    def problems(self) -> list[tuple[str, str]]:
        parts = (self.visit, self.elements, self.findings, self.bars)
        return [problem for part in parts for problem in part.problems()]

    def values(self) -> dict:
        """Keyword arguments of save_draft; rows in the order of the page, bars after the other findings."""
        return {
            "fields": self.visit.values(),
            "findings": self.findings.values() + self.bars.values(),
            "elements": self.elements.values(),
            "asked": self.asked.reasons(),
        }

    def places_of(self, sentences: tuple[str, ...]) -> list[tuple[str, str]]:
        """(anchor, sentence) for the sentences of a refusal: the row that each one names, as far as it names one."""
        return [(self._anchor_of(sentence), sentence) for sentence in sentences]

    def _anchor_of(self, sentence: str) -> str:
        if match := FINDING_SENTENCE.match(sentence):
            rows = self.findings.kept if self.visit.is_bound else self.findings.shown
            bars = [form for form in self.bars.forms if not form.is_blank]
            row = [*rows, *bars][int(match[1]) - 1 :][:1]
            return _first_id(row[0]) if row else "findings"
        if match := ELEMENT_SENTENCE.match(sentence):
            rows = [form for form in self.elements.shown if str(form["number"].value()) == match[1]]
            return _first_id(rows[0]) if rows else "elements"
        for start, anchor in (
            ("Give the day", "id_field_completed_on"),
            ("The field work", "id_field_completed_on"),
            ("Give the component", "ratings"),
            ("A bar-force check", "bars"),
            ("Asked for", "asked"),
        ):
            if sentence.startswith(start):
                return anchor
        return ""


def _with_photos(inspection: Inspection) -> set[str]:
    """Identities of the findings that have a photograph of their own, or one on its way."""
    named = {"inspection": inspection, "finding_identity__isnull": False}
    return {
        str(identity)
        for rows in (InspectionPhoto, PhotoPlace)
        for identity in rows.objects.filter(**named).values_list("finding_identity", flat=True)
    }


def _first_id(form) -> str:
    return form[next(iter(form.fields))].id_for_label


def _as_row(finding: Finding) -> dict:
    names = [name for name in FindingForm.base_fields if name not in ("remove", "as_read")]
    return {name: finding.serializable_value(name) for name in names}


def _as_finding_row(finding: Finding) -> dict:
    """For a row of its own repeats are typed in one box."""
    return _as_row(finding) | {"repeats_lb": " ".join(f"{force:.10g}" for force in finding.repeats_lb)}


def _first_reading_of_each_bar(findings: list[Finding]) -> tuple[dict[int, Finding], list[Finding]]:
    """The quick table holds one reading of each bar; a second reading, or one with a note, stays a row of its own."""
    first, rest = {}, []
    for finding in findings:
        is_plain = finding.kind == FindingKind.BAR_FORCE and finding.bar_id and not (finding.note or finding.photo_id)
        if is_plain and finding.bar_id not in first:
            first[finding.bar_id] = finding
        else:
            rest.append(finding)
    return first, rest
