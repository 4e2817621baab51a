"""What a finding still lacks, what cannot be, and what is asked about: the evidence table, applied.

The rows stand in evidence_kinds and evidence_timber, the fields in evidence_readings, and their meaning in
evidence_terms. The device applies the same rows (static/inspections/field/evidence.js); a test holds the two together.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from inspections.vocabulary.findings import Face, FindingKind

from .evidence_kinds import EVERY, EVIDENCE
from .evidence_readings import READINGS
from .evidence_terms import BEYOND_FT, Asks, Evidence, Needs, holds, in_figures, is_given, number, other_of

__all__ = ["EVIDENCE", "READINGS", "element_faults", "evidence_faults", "missing_from", "range_faults"]


@dataclass(frozen=True, kw_only=True)
class Told:
    """Something to say about one field of a finding."""

    field: str
    words: str


def row_of(finding: Mapping) -> Evidence | None:
    """The row of the table for a finding; None where its kind is none of the list."""
    kind = finding.get("kind")
    return EVIDENCE.get(kind) if isinstance(kind, str) else None


def missing_from(finding: Mapping) -> list[str]:
    """The fields (names of the finding's columns) that are still missing for its kind."""
    return [told.field for told in wanted_of(finding)]


def wanted_of(finding: Mapping) -> list[Told]:
    """What is still missing for the finding's kind: the field, and what to give in words."""
    row = row_of(finding)
    if row is None:
        return [Told(field="kind", words="the kind of finding")]
    missing = [name for name in row.needs if not is_given(finding, name)]
    missing += [name for name in row.above_zero if number(finding.get(name)) == 0]
    wanted = [Told(field=name, words=READINGS[name].label) for name in missing]
    for needs in (*row.further, *EVERY.further):
        known = {told.field for told in wanted}
        wanted += [told for told in _still_needed(needs, finding) if told.field not in known]
    return wanted


def _still_needed(needs: Needs, finding: Mapping) -> list[Told]:
    if not all(holds(when, finding) for when in needs.when):
        return []
    lacking = [name for name in needs.fields if not _has(finding, name, needs.above_zero)]
    if needs.any_of:
        lacking = [needs.fields[-1]] if len(lacking) == len(needs.fields) else []
    return [Told(field=name, words=needs.words or READINGS[name].label) for name in lacking]


def _has(finding: Mapping, name: str, above_zero: bool) -> bool:
    return is_given(finding, name) and not (above_zero and number(finding.get(name)) == 0)


def evidence_faults(finding: Mapping, position: int, waived: frozenset[str] = frozenset()) -> list[str]:
    """One sentence saying all that a finding still lacks, or an empty list. `position` counts from 1 on the page.

    `waived` names fields that cannot be given because the structure's own record lacks them (spans, members).
    """
    wanted = wanted_of(finding)
    if [told.field for told in wanted] == ["kind"]:
        return [f"Finding {position}: choose what kind of finding it is."]
    words = [told.words for told in wanted if told.field not in waived]
    if not words:
        return []
    label = FindingKind.label_of(finding["kind"])
    return [f"Finding {position} ({label.lower()}) lacks {' and '.join(words)}: measure or read it before you leave."]


def faults_of(finding: Mapping, *, span_ft: float | None = None) -> list[Told]:
    """Every value outside its plausible range, a place outside the span of `span_ft` feet, a face that cannot be."""
    told = []
    for name, reading in READINGS.items():
        if reading.least is not None and is_given(finding, name):
            told += [Told(field=name, words=words) for words in _range_words(finding, name)]
    station = number(finding.get("station_ft"))
    if span_ft is not None and station is not None and station > span_ft + BEYOND_FT:
        words = (
            f"{in_figures(station)} ft from the first bearing is beyond the span of {in_figures(span_ft)} ft; "
            "measure from the bearing with the lower station."
        )
        told.append(Told(field="station_ft", words=words))
    row = row_of(finding)
    faces = row.faces if row else ()
    if faces and is_given(finding, "face") and finding["face"] not in faces:
        words = ", ".join(Face.label_of(face).lower() for face in faces)
        told.append(Told(field="face", words=f"the face must be one of {words}."))
    return told


def _range_words(finding: Mapping, name: str) -> list[str]:
    reading, value = READINGS[name], number(finding.get(name))
    if value is None:
        return [f"{reading.label} is '{finding[name]}', which is not a number."]
    if not reading.least <= value <= reading.most:
        least, most = in_figures(reading.least), in_figures(reading.most)
        unit = f" {reading.sign or reading.unit}".rstrip()
        return [f"{reading.label} is {in_figures(value)}, outside {least} to {most}{unit}; correct it."]
    if reading.whole and value != int(value):
        return [f"{reading.label} is {in_figures(value)}, which is not a whole number; count again."]
    return []


def range_faults(finding: Mapping, position: int, *, span_ft: float | None = None) -> list[str]:
    """Sentences for every value outside its plausible range, and for a place outside the span of `span_ft` feet."""
    label = FindingKind.label_of(finding.get("kind")).lower() or "no kind chosen"
    return [f"Finding {position} ({label}): {told.words}" for told in faults_of(finding, span_ft=span_ft)]


def questions_of(finding: Mapping, known: Mapping | None = None) -> list[Told]:
    """What is unlikely, asked and never blocked. `known` maps "before" to the same finding last time, "member" and
    "bar" to their sizes and last force, "span" to its length; any of them may be missing.
    """
    row = row_of(finding)
    rows = (*(row.questions if row else ()), *EVERY.questions)
    return [
        Told(field=asks.field, words=_asked(asks, finding, known or {}))
        for asks in rows
        if all(holds(when, finding, known) for when in asks.when)
    ]


def _asked(asks: Asks, finding: Mapping, known: Mapping) -> str:
    first = asks.when[0]
    value, other = number(finding.get(first.field)), other_of(first, finding, known) if first.of else None
    words = asks.words.replace("{value}", "" if value is None else in_figures(value))
    return words.replace("{other}", "" if other is None else in_figures(other))


def is_grave(finding: Mapping) -> bool:
    """Whether a finding calls for the engineer at once; the sentences stand in rules/grave."""
    row = row_of(finding)
    ways = (*(row.grave if row else ()), *EVERY.grave)
    return any(all(holds(when, finding) for when in way) for way in ways)


TOLERANCE = 0.01
"""Element quantities may differ from their total by 1 percent of it, or by 0.5 of the unit: rounding [model]."""
LEAST_TOLERANCE = 0.5


def element_faults(element: Mapping) -> list[str]:
    """Sentences where an element's quantities are negative, missing or do not add up to the total."""
    if not is_given(element, "number"):
        return ["An element row has no element number: choose the element or clear the row."]
    where = f"Element {element['number']}"
    amounts = [number(element.get(name)) for name in ("total", "cs1", "cs2", "cs3", "cs4")]
    if None in amounts:
        return [f"{where}: give the total and the quantity in each condition state as numbers, 0 where there is none."]
    if any(amount < 0 for amount in amounts):
        return [f"{where}: a quantity below zero cannot be; correct it."]
    total, parts = amounts[0], sum(amounts[1:])
    if total == 0:
        return [f"{where}: the total quantity is zero; give the quantity or clear the row."]
    if abs(parts - total) > max(TOLERANCE * total, LEAST_TOLERANCE):
        said = f"{where}: condition states 1 to 4 add up to {in_figures(parts)} but the total is {in_figures(total)}"
        return [f"{said} {element.get('unit', '')}".rstrip() + "; correct one of them."]
    return []
