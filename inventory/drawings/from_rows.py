"""From the register's rows to the frozen shapes the drawings take."""

from django.db.models import prefetch_related_objects

from inventory.models import Posting, Span, Structure
from inventory.vocabulary.structures import SurfaceMaterial

from .shapes import BarShape, LayerShape, MemberShape, SignShape, SpanShape, StressingShape, StructureShape


def shape_of(structure: Structure, *, bar_states: dict[int, str] | None = None) -> StructureShape:
    """The shape of a structure from its rows, read in a fixed number of queries.

    `bar_states` gives the state of a bar by its row id (sound, low, slack, unknown), where an upper room knows it.
    """
    prefetch_related_objects(
        [structure],
        "spans__members",
        "spans__stressing__bars",
        "surfacing",
        "railings",
        "substructure",
        "postings__signs",
    )
    standing = [layer for layer in structure.surfacing.all() if layer.removed_on is None]
    posting = next((posting for posting in structure.postings.all() if posting.superseded_on is None), None)
    railings = list(structure.railings.all())
    return StructureShape(
        key=f"s{structure.pk}",
        title=structure.title,
        spans=tuple(_span_shape(span, bar_states or {}) for span in structure.spans.all()),
        layers=tuple(
            LayerShape(
                material=layer.material,
                label=SurfaceMaterial.label_of(layer.material),
                thickness_in=layer.thickness_in,
                was_measured=layer.was_measured,
                laid_year=layer.laid_on.year,
            )
            for layer in standing
        ),
        deck_width_ft=structure.deck_width_ft,
        roadway_width_ft=structure.roadway_width_ft,
        railing_kinds=tuple(railing.kind for railing in railings),
        railing_sides=frozenset(railing.side for railing in railings),
        support_kinds=tuple(unit.kind for unit in structure.substructure.all()),
        over_water=structure.over_water,
        sign=_sign_shape(posting) if posting else None,
    )


def _sign_shape(posting: Posting) -> SignShape:
    signs = posting.signs.all()
    classes = (posting.single_unit_ton, posting.combination_ton, posting.double_ton)
    emergency = (posting.emergency_single_axle_ton, posting.emergency_tandem_ton, posting.emergency_gross_ton)
    return SignShape(
        restriction=posting.restriction,
        single_ton=posting.single_ton,
        class_tons=classes if any(ton is not None for ton in classes) else (),
        emergency_tons=emergency if any(ton is not None for ton in emergency) else (),
        is_awaited=any(sign.state != "confirmed" for sign in signs) if signs else posting.in_force_from is None,
    )


def _span_shape(span: Span, bar_states: dict[int, str]) -> SpanShape:
    system = getattr(span, "stressing", None)
    stressing = system and StressingShape(
        bar_diameter_in=system.bar_diameter_in,
        spacing_in=system.spacing_in,
        stressed_depth_in=system.stressed_depth_in,
        plate_width_in=system.plate_width_in,
        plate_height_in=system.plate_height_in,
        bars=tuple(
            BarShape(
                number=bar.number,
                station_ft=bar.station_ft,
                level=bar.level,
                is_usable=bar.is_usable,
                state=bar_states.get(bar.pk, "unknown"),
            )
            for bar in system.bars.all()
        ),
    )
    return SpanShape(
        index=span.index,
        length_ft=span.length_ft,
        system=span.system,
        deck_kind=span.deck_kind,
        deck_thickness_in=span.deck_thickness_in,
        members=tuple(
            MemberShape(
                role=member.role,
                count=member.count,
                width_in=member.width_in,
                depth_in=member.depth_in,
                spacing_ft=member.spacing_ft,
                first_offset_ft=member.first_offset_ft,
                is_round=member.product == "round",
                label=member.label,
            )
            for member in span.members.all()
        ),
        stressing=stressing or None,
    )
