"""What an inspection asks to be reported as critical and nobody has reported yet."""

from dataclasses import dataclass

from inspections.models import CriticalFinding, Finding, Inspection
from inspections.rules.completeness import FULL_KINDS
from inspections.rules.critical import critical_of
from inspections.rules.grave import grave_sentences
from inspections.rules.losses import is_still_there
from inspections.vocabulary.states import CriticalState
from inventory.models import Document

from .findings import where_words
from .inspections import RECEIVED

RATINGS = (
    "deck_rating", "superstructure_rating", "substructure_rating", "culvert_rating", "channel_rating", "scour_rating",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """One critical finding that an inspection asks for; `open_already` is one of its kind that is open here, or was
    reported from this inspection before it was put right and handed in again. `turn` tells a second report from the
    first."""

    kind: str
    label: str
    words: str
    photo: Document | None = None
    open_already: CriticalFinding | None = None
    turn: str = ""


def proposals_of(inspection: Inspection) -> list[Proposal]:
    """What a handed-in inspection asks to be reported, less what was reported from it; a draft asks for nothing.

    A proposal whose kind is open at the structure already is named, not demanded. Where a later look at the whole
    structure is on record, that one asks.
    """
    if inspection.state not in RECEIVED or inspection.from_record or _is_overtaken(inspection):
        return []
    rows = inspection.findings.select_related("member", "bar", "photo")
    findings = [row for row in rows if is_still_there(row.kind, row.change)]
    told = [{**_columns(row), "where": where_words(row)} for row in findings]
    ratings = {name: getattr(inspection, name) for name in RATINGS}
    photo = next(
        (row.photo for row, mapping in zip(findings, told, strict=True) if row.photo and _is_grave(mapping)), None
    )
    mine = {row.kind: row for row in CriticalFinding.objects.filter(inspection=inspection).order_by("received_at")}
    others = CriticalFinding.objects.filter(structure=inspection.structure_id).exclude(state=CriticalState.CLOSED)
    open_kinds = {row.kind: row for row in others.exclude(inspection=inspection)}
    return [
        Proposal(
            kind=row.kind.value,
            label=row.kind.label,
            words=row.words,
            photo=photo,
            open_already=mine.get(row.kind.value) or open_kinds.get(row.kind.value),
            turn=str(inspection.revision) if row.kind.value in mine else "",
        )
        for row in critical_of(ratings, told)
        if row.kind.value not in mine or _is_news(mine[row.kind.value], row.words, inspection)
    ]


def _is_news(reported: CriticalFinding, words: str, inspection: Inspection) -> bool:
    """True where the inspection was handed in again after the report, and now says something else."""
    return (
        inspection.submitted_at is not None
        and reported.received_at < inspection.submitted_at
        and (words not in reported.words)
    )


def _is_overtaken(inspection: Inspection) -> bool:
    """True where the whole structure was looked at on a later day; a date of the federal record brings no findings."""
    later = Inspection.objects.filter(
        structure=inspection.structure_id, state__in=RECEIVED, kind__in=FULL_KINDS, from_record=False
    )
    return later.filter(field_completed_on__gt=inspection.field_completed_on).exists()


def _columns(finding: Finding) -> dict:
    names = ("kind", "depth_in", "value_in", "face", "wave_time_us_per_ft", "force_method", "condition_state")
    return {name: getattr(finding, name) for name in names} | {"bar": finding.bar_id}


def _is_grave(mapping: dict) -> bool:
    return bool(grave_sentences(mapping))
