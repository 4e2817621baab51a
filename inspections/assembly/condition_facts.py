"""Rows as the rules of condition see them: members, geometry, findings that count, earlier ratings, the stream."""

from collections.abc import Iterable, Mapping
from datetime import date

from inspections.models import ChannelSection, ChannelSurvey, ElementState, Finding, Inspection
from inspections.queries.inspections import RECEIVED, received_inspections
from inspections.rules.channel import Survey, bed_change, grown_ratio, over_foundation_ft
from inspections.rules.element_totals import MemberShape, SpanShape, StructureShape
from inspections.rules.finding_state import OnMember
from inspections.rules.losses import is_still_there, which_stand
from inspections.rules.proposed_ratings import Earlier, ElementShare, StreamFacts, parts_of, seen_of
from inspections.vocabulary.elements import element_words
from inspections.vocabulary.findings import FindingKind
from inspections.vocabulary.states import InspectionState
from inventory.models import MemberGroup, Structure
from inventory.vocabulary.structures import MemberRole, WorkKind

RATED = ("deck", "superstructure", "substructure", "channel", "scour")
REPAIRED_BY = (WorkKind.REPAIR, WorkKind.REPLACEMENT)
LOOK_BACK = 40


def members_of(structure: Structure) -> dict[int, OnMember]:
    """Every member group of a structure by its row id."""
    rows = list(MemberGroup.objects.filter(span__structure=structure).select_related("span"))
    runs_on = dict(structure.spans.values_list("index", "continuous_with_next"))
    return {
        row.pk: OnMember(
            role=row.role,
            width_in=row.width_in,
            depth_in=row.depth_in,
            span_ft=row.span.length_ft,
            count=row.count,
            through_near=runs_on.get(row.span.index - 1, False),
            through_far=row.span.continuous_with_next,
        )
        for row in rows
    }


def member_counts(members: Iterable[OnMember]) -> dict[str, int]:
    """How many members each component has on record; pieces that only stiffen are none."""
    counts: dict[str, int] = {}
    for member in members:
        if member.role == MemberRole.STIFFENER:
            continue
        for part in parts_of("", member.role):
            counts[part] = counts.get(part, 0) + (1 if member.role == MemberRole.CAP else member.count)
    return counts


def as_mapping(finding: Finding) -> dict:
    """Columns by name; a link is its id."""
    return {field.name: field.value_from_object(finding) for field in finding._meta.concrete_fields}


def counting_findings(inspection: Inspection, own: Iterable[Mapping] | None = None) -> list[dict]:
    """The findings a rating of this inspection rests on: its own, and of earlier ones those it does not replace.

    `own` are the findings as typed, where they are not saved yet; `from_on` tells the day of an earlier one. What is
    marked repaired or gone counts no more, and does not take an earlier one with it that this inspection leaves
    standing: a look at the surface does not show that a void is filled.
    """
    before = received_inspections(inspection.structure, inspection.field_completed_on).exclude(pk=inspection.pk)
    listed = [(inspection, inspection.kind, InspectionState.SUBMITTED)]
    stands = which_stand([*listed, *((row, row.kind, row.state) for row in before[:LOOK_BACK])])[1:]
    if own is None:
        own = [as_mapping(row) for row in inspection.findings.all()]
    found = [dict(row) for row in own if _is_there(row)]
    kinds = {row.pk: (kinds, row.field_completed_on) for row, kinds in stands}
    for row in Finding.objects.filter(inspection__in=kinds):
        which, on = kinds[row.inspection_id]
        if row.kind in which and is_still_there(row.kind, row.change):
            found.append(as_mapping(row) | {"from_on": on})
    followed = {row.get("carries_on") for row in found} - {None}
    return [row for row in found if not ("from_on" in row and row["identity"] in followed)]


def _is_there(row: Mapping) -> bool:
    return is_still_there(row.get("kind") or "", row.get("change"))


def earlier_ratings(inspection: Inspection) -> dict[str, Earlier]:
    """The last code of each component before this inspection, and repair on record since that day."""
    structure = inspection.structure
    before = received_inspections(structure, inspection.field_completed_on).exclude(state=InspectionState.SENT_BACK)
    rows = list(before.exclude(pk=inspection.pk)[:LOOK_BACK])
    works = structure.works.filter(kind__in=[kind.value for kind in REPAIRED_BY])
    if inspection.field_completed_on:
        works = works.filter(done_on__lte=inspection.field_completed_on)
    repaired = max(works.values_list("done_on", flat=True), default=None)
    found = {}
    for part in RATED:
        last = next((row for row in rows if getattr(row, f"{part}_rating")), None)
        if last is not None:
            on = last.field_completed_on
            later = repaired if repaired is not None and repaired > on else None
            found[part] = Earlier(code=getattr(last, f"{part}_rating"), on=on, repaired_on=later)
    return found


def element_shares(elements: Iterable[Mapping | ElementState]) -> list[ElementShare]:
    """Shares of each element's total in states 2, 3 and 4."""
    shares = []
    for row in elements:
        values = row if isinstance(row, Mapping) else row.__dict__
        total, number = values.get("total") or 0.0, values.get("number")
        if total > 0 and number:
            given = tuple(min(1.0, (values.get(name) or 0.0) / total) for name in ("cs2", "cs3", "cs4"))
            shares.append(ElementShare(number=number, words=element_words(number), shares=given))
    return shares


def structure_shape(structure: Structure) -> StructureShape:
    """Geometry for total quantities, as far as it is on record."""
    spans = tuple(
        SpanShape(
            index=span.index,
            length_ft=span.length_ft,
            system=span.system,
            members=tuple(
                MemberShape(role=row.role, count=row.count, width_in=row.width_in, key=row.pk)
                for row in span.members.all()
            ),
        )
        for span in structure.spans.prefetch_related("members")
    )
    units = list(structure.substructure.all())
    timber = [unit for unit in units if "timber" in unit.material.lower() or "wood" in unit.material.lower()]
    sides = set()
    for railing in structure.railings.all():
        if "timber" in railing.kind.lower() or "wood" in railing.kind.lower():
            sides |= {"left", "right"} if railing.side == "both" else {railing.side}
    return StructureShape(
        spans=spans,
        deck_width_ft=structure.deck_width_ft,
        roadway_width_ft=structure.roadway_width_ft,
        railing_sides=len(sides),
        timber_abutments=sum(unit.kind == "abutment" for unit in timber),
        timber_piles=sum(unit.pile_count or 0 for unit in timber),
        has_surface=structure.surfacing.filter(removed_on__isnull=True).exclude(material="membrane").exists(),
    )


def survey_of(row: ChannelSurvey) -> Survey:
    return Survey(points=tuple((float(s), float(d)) for s, d in row.points), water_ft=row.water_ft)


def surveys_by_section(structure: Structure, until: date | None = None) -> list[tuple[ChannelSection, list]]:
    """Every section with its surveys that count, oldest first."""
    rows = (
        ChannelSurvey.objects.filter(section__structure=structure, inspection__field_completed_on__isnull=False)
        .select_related("inspection")
        .order_by("inspection__field_completed_on", "inspection_id")
    )
    if until is not None:
        rows = rows.filter(inspection__field_completed_on__lte=until)
    found: dict[int, list] = {}
    for row in rows:
        found.setdefault(row.section_id, []).append(row)
    return [(section, found.get(section.pk, [])) for section in structure.channel_sections.all()]


def stream_facts(inspection: Inspection, findings: Iterable[Mapping], as_of: date) -> StreamFacts:
    """What the soundings up to this inspection and its findings say of the stream; drafts of others say nothing."""
    lowered, grown, over, most = None, None, None, 0
    for section, every in surveys_by_section(inspection.structure, inspection.field_completed_on or as_of):
        rows = [row for row in every if row.inspection_id == inspection.pk or row.inspection.state in RECEIVED]
        if not rows:
            continue
        surveys = [survey_of(row) for row in rows]
        most = max(most, len(surveys))
        over = _least(over, over_foundation_ft(surveys[-1].points, section.foundation_ft))
        if len(surveys) > 1 and (change := bed_change(surveys[0], surveys[-1])) is not None:
            lowered = _most(lowered, change.lowered_ft)
            grown = _most(grown, grown_ratio(surveys[0], surveys[-1]))
    return StreamFacts(
        over_water=inspection.structure.over_water,
        lowered_ft=lowered,
        grown_ratio=grown,
        over_foundation_ft=over,
        scour_findings=tuple(
            (_scour_words(row), seen_of(row, None).severity) for row in findings if row.get("kind") == FindingKind.SCOUR
        ),
        surveys=most,
    )


def _least(one: float | None, other: float | None) -> float | None:
    return min((value for value in (one, other) if value is not None), default=None)


def _most(one: float | None, other: float | None) -> float | None:
    return max((value for value in (one, other) if value is not None), default=None)


def _scour_words(finding: Mapping) -> str:
    size = f"{finding['value_in']:g} in" if finding.get("value_in") is not None else ""
    return (
        ", ".join(part for part in (size, (finding.get("note") or "").strip().rstrip(".")) if part) or "no size given"
    )
