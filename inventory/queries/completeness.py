"""The facts the completeness rule decides on, and the worklist made of its sentences."""

from collections.abc import Iterator

from django.db.models import Exists, OuterRef, QuerySet

from inventory.models import Person, Span, Structure
from inventory.rules.completeness import MemberFacts, SpanFacts, StructureFacts, missing_before_rating
from inventory.vocabulary.structures import BarStanding, Status

from .structures import structures_for

_TOLD = frozenset({"45", "48", "51"})
_PREFETCHED = ("spans__members", "spans__stressing__bars", "surfacing")


def facts_of(structure: Structure) -> StructureFacts:
    """One structure as the rule sees it; prefetch _PREFETCHED where many are asked."""
    standing = getattr(structure, "standing", None)
    record = getattr(structure, "federal_record", None)
    refused = record.refused if record else []
    return StructureFacts(
        spans=tuple(_span_facts(span) for span in structure.spans.all()),
        span_count=structure.span_count,
        max_span_ft=structure.max_span_ft,
        roadway_width_ft=structure.roadway_width_ft,
        surface_material=standing.surface_material if standing else "",
        layer_count=sum(1 for layer in structure.surfacing.all() if layer.removed_on is None),
        has_bar_reading=standing is not None and standing.bar_state in (BarStanding.SOUND, BarStanding.LOW, "slack"),
        recorded_faults=tuple(
            f"{fault['column']} {fault['value']}, {fault['reason']}" for fault in refused if fault["item"] in _TOLD
        ),
    )


def missing_of(structure: Structure) -> list[str]:
    """What one structure lacks before it can be rated."""
    return missing_before_rating(facts_of(structure))


def worklist_ids(person: Person) -> list[int]:
    """Structures in service that lack something: first those that are nearly there, then those with no span at all."""
    mine = structures_for(person).filter(status=Status.IN_SERVICE)
    has_span = Exists(Span.objects.filter(structure=OuterRef("pk")))
    begun = [pk for pk, missing in _missing_by_id(mine.filter(has_span)) if missing]
    return begun + list(mine.exclude(has_span).order_by("agency", "number").values_list("pk", flat=True))


def worklist_rows(ids: list[int]) -> list[tuple[Structure, list[str]]]:
    """Structures of a page of the worklist with their sentences, in the order of the ids."""
    found = (
        Structure.objects.filter(pk__in=ids)
        .select_related("agency", "standing", "federal_record")
        .prefetch_related(*_PREFETCHED)
        .in_bulk()
    )
    return [(found[pk], missing_of(found[pk])) for pk in ids if pk in found]


def _missing_by_id(structures: QuerySet[Structure]) -> Iterator[tuple[int, list[str]]]:
    rows = structures.select_related("standing", "federal_record").prefetch_related(*_PREFETCHED)
    for structure in rows.order_by("agency", "number").iterator(chunk_size=500):
        yield structure.pk, missing_of(structure)


def _span_facts(span: Span) -> SpanFacts:
    stressing = getattr(span, "stressing", None)
    bars = list(stressing.bars.all()) if stressing else []
    return SpanFacts(
        index=span.index,
        length_ft=span.length_ft,
        system=span.system,
        members=tuple(
            MemberFacts(
                role=member.role,
                count=member.count,
                spacing_ft=member.spacing_ft,
                species=member.species,
                grade=member.grade,
                product=member.product,
                fb_psi=member.fb_psi,
                fv_psi=member.fv_psi,
            )
            for member in span.members.all()
        ),
        deck_thickness_in=span.deck_thickness_in,
        has_stressing=stressing is not None,
        bar_count=len(bars),
        usable_bar_count=sum(bar.is_usable for bar in bars),
        design_force_lb=stressing.design_force_lb if stressing else None,
    )
