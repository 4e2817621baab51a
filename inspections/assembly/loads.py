"""What stands on the deck: surfacing by date and as measured, and the railing."""

from datetime import date

from inspections.models import Finding
from inspections.vocabulary.findings import FindingKind
from inventory.mechanics.rating import DeadLayer
from inventory.models import Structure
from inventory.vocabulary.structures import SurfaceMaterial

RAILING_PLF = 100.0
"""Taken for a railing and curb on record without a weight [model: a heavy timber rail with its curb]."""
ASPHALT_PCF = 140.0
"""Bituminous surfacing (LRFD Table 3.5.1-1 [memory])."""


def standing_layers(
    *, structure: Structure, as_of: date, findings: list[Finding]
) -> tuple[tuple[DeadLayer, ...], list[str]]:
    """Layers laid and not removed by a day, with a further layer where the field measured more than the record holds.

    Of two thicknesses the heavier counts. Returns the layers and the assumptions made.
    """
    rows = structure.surfacing.filter(laid_on__lte=as_of).exclude(removed_on__lte=as_of)
    layers = [
        DeadLayer(
            name=SurfaceMaterial.label_of(row.material).lower(),
            thickness_in=row.thickness_in,
            unit_weight_pcf=row.unit_weight_pcf,
            measured=row.was_measured,
        )
        for row in rows
        if row.thickness_in > 0
    ]
    on_record = sum(layer.thickness_in for layer in layers)
    measured = max((f.value_in or 0.0 for f in findings if f.kind == FindingKind.SURFACE_THICKNESS), default=0.0)
    assumed = []
    if measured > on_record + 1e-9:
        extra = measured - on_record
        layers.append(
            DeadLayer(name="found beyond the record", thickness_in=extra, unit_weight_pcf=ASPHALT_PCF, measured=True)
        )
        assumed.append(
            f"Surfacing was measured {measured:g} in thick, the record holds {on_record:g} in: the rest is taken as "
            f"asphalt of {ASPHALT_PCF:g} lb/ft3."
        )
    if not layers:
        assumed.append("No surfacing is on record or was measured: no weight of it is counted.")
    return tuple(layers), assumed


def railing_plf(structure: Structure) -> tuple[float, list[str]]:
    """Weight of railing and curb on the heavier side, lb/ft, and the assumption where a weight is not on record."""
    sides = {"left": 0.0, "right": 0.0}
    rows = list(structure.railings.all())
    assumed = [] if rows else ["No railing or curb is on record: no weight of it is counted."]
    for row in rows:
        weight = RAILING_PLF if row.weight_plf is None else row.weight_plf
        if row.weight_plf is None:
            assumed.append(f"The weight of the railing '{row.kind}' is not on record: {RAILING_PLF:g} lb/ft is taken.")
        for side in sides if row.side == "both" else (row.side,):
            sides[side] += weight
    return max(sides.values()), assumed
