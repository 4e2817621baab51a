"""What was read at the end of a stressing day, handed over as a bar-force check through the ordinary door.

So the rules of evidence, the rating owed and the engineer's review hold for it as for any other. Nothing is written for
bars that were only computed; where none was read there is no inspection.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from inspections.actions import receive
from inspections.assembly.stressing_log import DayLog
from inspections.models import Inspection, StressingDay
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import FindingKind, InspectionKind
from inventory.models import Bar, Person
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """Wood at the time of the readings, where it was measured."""

    wood_temp_f: float | None = None
    moisture_pct: float | None = None


def write_bar_check(
    day: StressingDay,
    bars: list[Bar | None],
    reads: Mapping[int, tuple[float, str]],
    on: date,
    conditions: Conditions,
    log: DayLog,
    inspector: Person | None,
    by: Person,
    at: datetime,
) -> Inspection | None:
    """The submitted bar check; None where nothing was read. Refused where nobody who may inspect answers for it."""
    findings = [
        _finding(day, bars[index], force, method, conditions)
        for index, (force, method) in sorted(reads.items())
        if bars[index] is not None
    ]
    if not findings:
        return None
    who = _inspector(day, inspector, by)
    check = receive.open_inspection(structure=day.structure, kind=InspectionKind.BAR_CHECK.value, by=who, at=at)
    writers = sorted({str(entry.by) for entry in log.entries if entry.by})
    notes = (
        f"From the log of the stressing day (span {day.span_index}): forces read after the last pull. Logged by "
        f"{', '.join(writers) or by}; the day was finished by {by}, and {who} answers for the readings."
    )
    fields = {"field_completed_on": on, "team": ", ".join(dict.fromkeys([str(who), *writers, str(by)]))[:160]}
    check = receive.save_draft(
        inspection=check,
        revision=check.revision,
        fields=fields | {"notes": notes},
        findings=findings,
        elements=[],
        by=who,
        at=at,
    )
    return receive.submit_inspection(inspection=check, revision=check.revision, by=who, at=at)


def _inspector(day: StressingDay, inspector: Person | None, by: Person) -> Person:
    agency = day.structure.agency
    for person in (inspector, by):
        if person is not None and Permit.ENTER_INSPECTION in permits_of(person, agency):
            return person
    named = f"{inspector} may not inspect in {agency}. " if inspector is not None else ""
    raise Refused(
        f"{named}Forces were read, so an inspector or engineer must answer for them: choose one, or finish without the "
        "readings."
    )


def _finding(day: StressingDay, bar: Bar, force_lb: float, method: str, conditions: Conditions) -> dict:
    found = {
        "kind": FindingKind.BAR_FORCE.value,
        "span_index": day.span_index,
        "bar": bar,
        "station_ft": bar.station_ft,
        "force_lb": force_lb,
        "force_method": method,
        "note": "Read at the end of the stressing day.",
    }
    measured = {"wood_temp_f": conditions.wood_temp_f, "moisture_pct": conditions.moisture_pct}
    return found | {name: value for name, value in measured.items() if value is not None}
