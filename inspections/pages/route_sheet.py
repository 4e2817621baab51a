"""The sheet a team takes along: stops in order, what to do and why, what to look at, whom to call first."""

from dataclasses import dataclass, field
from datetime import date

from django.utils.safestring import mark_safe

from inspections.drawings.route_sketch import SketchStop, route_sketch
from inspections.models import FieldDay
from inspections.queries.bar_reading import bars_before
from inspections.queries.inspections import posting_in_force, standing_findings
from inspections.rules.nearness import length_mi, offsets_mi
from inspections.rules.posting import terms_of
from inspections.vocabulary.findings import FindingKind, InspectionKind
from inventory.models import Structure
from inventory.pages.contacts import contact_lines

from .field_days import DayCard, StopLine, day_card, place_of
from .findings import finding_line

FINDINGS_SHOWN = 6
READ_BARS = (InspectionKind.BAR_CHECK, InspectionKind.ROUTINE, InspectionKind.INITIAL, InspectionKind.IN_DEPTH)
FOR_ALL = (
    "Traffic control as the State's manual asks, vests, helmets",
    "Tape, hammer and awl, moisture meter, camera, flashlight, scraper",
    "Waders and probing rod where the structure is over water, and the State's limit of depth and speed for wading",
)
"""What a team carries to a timber bridge (common practice, no source)."""


@dataclass(kw_only=True)
class Visit:
    """One structure of the route with everything to be done there; `number` is its number on the sketch."""

    number: int
    structure: Structure
    from_before_mi: float | None
    has_place: bool
    works: list[StopLine] = field(default_factory=list)
    findings: list[dict] = field(default_factory=list)
    more_findings: int = 0
    posting_words: str = ""
    bars: list[str] = field(default_factory=list)
    equipment: list[str] = field(default_factory=list)


def route_sheet(day: FieldDay, *, today: date) -> dict:
    """Everything on the sheet of one day."""
    card = day_card(day, today)
    visits = _visits(card)
    for visit in visits:
        _fill(visit, day.on)
    places = [place for place in (place_of(visit.structure) for visit in visits) if place is not None]
    at = offsets_mi(places)
    stops = [
        SketchStop(
            number=visit.number, number_words=visit.structure.number, title=visit.structure.title,
            east_mi=at[visit.structure.pk][0], north_mi=at[visit.structure.pk][1],
        )
        for visit in visits if visit.structure.pk in at
    ]  # fmt: skip
    return {
        "card": card,
        "visits": visits,
        "way_mi": length_mi(places),
        "sketch": mark_safe(route_sketch(stops, key=f"route-{day.pk}")) if stops else "",  # noqa: S308 Ink escapes
        "contacts": contact_lines(day.agency),
        "equipment": [*FOR_ALL, *dict.fromkeys(each for visit in visits for each in visit.equipment)],
        "without_place": [visit for visit in visits if not visit.has_place],
    }


def _visits(card: DayCard) -> list[Visit]:
    """Stops of one structure that follow each other are one visit."""
    visits: list[Visit] = []
    for line in card.lines:
        if not visits or visits[-1].structure.pk != line.stop.structure_id:
            visits.append(
                Visit(
                    number=len(visits) + 1,
                    structure=line.stop.structure,
                    from_before_mi=line.from_before_mi,
                    has_place=line.has_place,
                )
            )
        visits[-1].works.append(line)
    return visits


def _fill(visit: Visit, on: date) -> None:
    posting = posting_in_force(visit.structure)
    visit.posting_words = terms_of(posting).words if posting else "not known"
    found = [row for row in standing_findings(visit.structure) if row.kind != FindingKind.BAR_FORCE]
    visit.findings = [finding_line(row) for row in found[:FINDINGS_SHOWN]]
    visit.more_findings = max(0, len(found) - FINDINGS_SHOWN)
    if any(work.stop.kind in READ_BARS for work in visit.works):
        _bars(visit, on)
    if any(work.stop.kind == InspectionKind.UNDERWATER for work in visit.works):
        visit.equipment.append("Diving gear and a qualified underwater inspector")


def _bars(visit: Visit, on: date) -> None:
    """Which bars the county's policy reads, and the jacks in calibration that day."""
    known = bars_before(visit.structure)
    if not known.bars:
        return
    for system_id, levels in known.samples.items():
        for level, sample in levels.items():
            own = [bar for bar in known.bars if bar.system_id == system_id and bar.level == level]
            chosen = [str(bar.number) for bar in own if bar.pk in known.suggested]
            row = f"span {own[0].system.span.index}, {own[0].get_level_display().lower()} bars" if own else ""
            visit.bars.append(f"{row.capitalize()}: {', '.join(chosen)}. {sample.words}")
    visit.bars += [f"Not to be jacked: bar {bar.number}, {known.aside[bar.pk]}" for bar in known.bars
                   if bar.pk in known.aside]  # fmt: skip
    jacks = [jack for jack in known.jacks if jack.retired_on is None]
    good = [str(jack) for jack in jacks if not known.calibration(jack, on).warns]
    if good:
        visit.equipment.append(f"Jack and gauge in calibration on that day: {', '.join(good)}; nuts, plate, load cell")
    else:
        visit.equipment.append("Jack and gauge: NONE on record is in calibration on that day, so no bar is jacked")
