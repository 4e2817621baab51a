"""What the findings of one inspection propose: component ratings and element quantities; nothing is saved here."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from inspections.assembly.condition_facts import (
    counting_findings,
    earlier_ratings,
    element_shares,
    member_counts,
    members_of,
    stream_facts,
    structure_shape,
)
from inspections.models import Inspection
from inspections.rules.element_totals import ProposedTotal, number_for, proposed_totals, total_warning
from inspections.rules.finding_state import OnMember
from inspections.rules.proposed_elements import SURFACE_AREA, Affected, ProposedStates, affected_by, proposed_states
from inspections.rules.proposed_ratings import (
    NOT_RATED,
    Proposal,
    propose_channel,
    propose_ratings,
    propose_scour,
    seen_of,
)
from inspections.vocabulary.findings import FindingKind

SUPPORT_ELEMENTS = (216, 228, 235)


def proposed_ratings(
    inspection: Inspection,
    *,
    as_of: date,
    findings: Iterable[Mapping] | None = None,
    elements: Iterable[Mapping] | None = None,
) -> dict[str, Proposal]:
    """Proposals for deck, superstructure, substructure, channel and scour, by component.

    `findings` and `elements` as typed, where they are not saved yet; `as_of` where the inspection has no day yet.
    """
    members = members_of(inspection.structure)
    found = counting_findings(inspection, findings)
    earlier = earlier_ratings(inspection)
    made = propose_ratings(
        seen=[_seen(row, members) for row in found],
        elements=element_shares(inspection.elements.all() if elements is None else elements),
        member_counts=member_counts(members.values()),
        earlier=earlier,
    )
    stream = stream_facts(inspection, found, as_of)
    made["channel"] = propose_channel(stream, earlier.get("channel"))
    made["scour"] = propose_scour(stream, earlier.get("scour"))
    return made


def proposals_of(inspection: Inspection, *, as_of: date) -> dict[str, dict]:
    """{component: {rating, reasons}} as kept with an inspection when it is submitted."""
    return {part: made.as_dict() for part, made in proposed_ratings(inspection, as_of=as_of).items()}


def _seen(row: Mapping, members: dict[int, OnMember]):
    key = _member_key(row)
    seen = seen_of(row, members.get(key), member_key=key)
    if "from_on" not in row:
        return seen
    on = row["from_on"]
    return type(seen)(**{**seen.__dict__, "words": f"{seen.words}, found on {on.day} {on:%b %Y}"})


def _member_key(row: Mapping):
    member = row.get("member")
    return getattr(member, "pk", member)


@dataclass(frozen=True, kw_only=True)
class ElementProposal:
    """One element: what the record's geometry gives, what the findings take, and a sentence where the two disagree."""

    number: int
    states: ProposedStates
    geometry: ProposedTotal | None
    warning: str
    is_listed: bool


def proposed_elements(
    inspection: Inspection,
    *,
    findings: Iterable[Mapping] | None = None,
    elements: Iterable[Mapping] | None = None,
) -> list[ElementProposal]:
    """Every element listed, or with a total on record, with the states the findings suggest. The sheet's own total
    goes before the geometry's; an element that no finding bears on and nobody listed is left out."""
    if elements is None:
        elements = inspection.elements.values()
    listed = {row["number"]: row for row in elements if row.get("number") and row.get("total")}
    members, shape = members_of(inspection.structure), structure_shape(inspection.structure)
    geometry = {each.number: each for each in proposed_totals(shape, listed)}
    systems = {member.key: span.system for span in shape.spans for member in span.members}
    totals = {**{n: each.total for n, each in geometry.items()}, **{n: row["total"] for n, row in listed.items()}}
    affected = [
        part
        for row in counting_findings(inspection, findings)
        for part in _affected(row, members, systems, totals, listed)
    ]
    made = []
    for number in sorted(totals):
        row = listed.get(number)
        if row is None and not any(part.number == number for part in affected):
            continue
        given_cs4 = (row or {}).get("cs4") or 0.0
        made.append(
            ElementProposal(
                number=number,
                states=proposed_states(number=number, total=totals[number], affected=affected, given_cs4=given_cs4),
                geometry=geometry.get(number),
                warning=total_warning(number=number, total=row["total"], proposed=geometry.get(number)) if row else "",
                is_listed=row is not None,
            )
        )
    return made


def _affected(row: Mapping, members: dict, systems: dict, totals: dict, listed: dict) -> list[Affected]:
    """What one finding takes: of the element its member is, of the surfacing, or of the supports."""
    key, kind = _member_key(row), row.get("kind")
    member = members.get(key)
    if kind in NOT_RATED:
        numbers = [SURFACE_AREA] if SURFACE_AREA in totals else []
    elif kind in (FindingKind.SETTLEMENT, FindingKind.SCOUR):
        numbers = [number for number in SUPPORT_ELEMENTS if number in listed][:1]
    else:
        number = number_for(member.role, systems.get(key, ""), totals) if member else None
        numbers = [number] if number in totals else []
    found = [affected_by(row, member, number=n, member_key=key, total=totals[n]) for n in numbers]
    return [each for each in found if each is not None]


def geometry_totals(inspection: Inspection) -> list[ProposedTotal]:
    """Totals that the record's geometry gives, for a sheet that has none yet."""
    listed = inspection.elements.values_list("number", flat=True)
    return proposed_totals(structure_shape(inspection.structure), listed)
