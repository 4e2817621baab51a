"""Dead load of a member, pounds per foot of span: tributary width times layers, and the member itself.

Surfacing is DW, everything else DC (LRFD 3.5.1, memory); allowable stress takes their sum.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from inventory.mechanics.tables.unit_weights import TIMBER_PCF
from inventory.mechanics.trace import Trace

from .cases import MemberCase, SpanCase

SOURCE = "AASHTO, timber 50 lb/ft3 (EM 7700-8 chapter 6)"


@dataclass(frozen=True, kw_only=True)
class Dead:
    """Dead load on a member, lb/ft: components (DC) and wearing surface (DW)."""

    dc_plf: float
    dw_plf: float

    @property
    def plf(self) -> float:
        return self.dc_plf + self.dw_plf


def layers_psf(case: SpanCase) -> float:
    """Surfacing layers and other dead load, lb/ft2."""
    return sum(layer.thickness_in / 12.0 * layer.unit_weight_pcf for layer in case.surfacing) + case.other_dead_psf


def timber_pcf(member: MemberCase) -> float:
    """Design weight of the member: never below 50 lb/ft3."""
    return max(TIMBER_PCF, member.material.density_pcf or 0.0)


def trace_layers(*, case: SpanCase, width_ft: float, trace: Trace) -> Dead:
    """Surfacing (DW) and other dead load (DC) on ``width_ft``, each recorded."""
    total = other = 0.0
    for layer in case.surfacing:
        load = layer.thickness_in / 12.0 * layer.unit_weight_pcf * width_ft
        words = f"{layer.thickness_in:g} in at {layer.unit_weight_pcf:g} lb/ft3 on {width_ft:.3f} ft"
        source = "thickness measured" if layer.measured else "thickness from the record"
        total += trace.add(f"w {layer.name}", load, "lb/ft", words, source, "input")
    if case.other_dead_psf:
        load = case.other_dead_psf * width_ft
        other = trace.add("w other", load, "lb/ft", f"{case.other_dead_psf:g} lb/ft2", "record", "input")
    return Dead(dc_plf=other, dw_plf=total)


def trace_sum(*, dc_plf: float, layers: Dead, trace: Trace) -> Dead:
    """DC with what the layers add to it, DW, and their sum, recorded."""
    found = Dead(dc_plf=dc_plf + layers.dc_plf, dw_plf=layers.dw_plf)
    trace.add("w DC", found.dc_plf, "lb/ft", "sum without surfacing", "statics", "computed")
    trace.add("w DW", found.dw_plf, "lb/ft", "sum of surfacing", "statics", "computed")
    trace.add("w", found.plf, "lb/ft", "w DC + w DW", "statics", "computed")
    return found


def stringer_dead_plf(*, case: SpanCase, member: MemberCase, width_ft: float, trace: Trace) -> Dead:
    """Self weight, deck, layers on the tributary width; railing on outside members alone (model)."""
    area = member.width_in * member.depth_in
    if member.shape == "round":
        area = pi * member.depth_in**2 / 4.0
    total = trace.add("w self", area / 144.0 * timber_pcf(member), "lb/ft", "A/144 x weight", SOURCE, "checked")
    deck = case.deck_thickness_in / 12.0 * case.deck_unit_weight_pcf * width_ft
    total += trace.add("w deck", deck, "lb/ft", f"t/12 x weight on {width_ft:.3f} ft", SOURCE, "checked")
    layers = trace_layers(case=case, width_ft=width_ft, trace=trace)
    if case.railing_plf:
        share = case.railing_plf if member.exterior else 0.0
        rule = "railing and curb of one side on the outside member alone"
        total += trace.add("w railing", share, "lb/ft", rule, "distribution of railing", "model")
    return trace_sum(dc_plf=total, layers=layers, trace=trace)


def deck_dead_plf(*, case: SpanCase, member: MemberCase, width_ft: float, trace: Trace) -> Dead:
    """Deck strip or panel of ``width_ft``: self weight, layers, and railing spread or on the outside panel (model)."""
    own = member.depth_in / 12.0 * timber_pcf(member) * width_ft
    total = trace.add("w self", own, "lb/ft", f"t/12 x weight on {width_ft:.3f} ft", SOURCE, "checked")
    layers = trace_layers(case=case, width_ft=width_ft, trace=trace)
    if case.railing_plf:
        if member.role == "panel_deck" and not case.deck_interconnected:
            share = case.railing_plf if member.exterior else 0.0
            rule = "railing and curb of one side on the outside panel"
        else:
            share = 2.0 * case.railing_plf * width_ft / case.deck_width_ft
            rule = "railing and curb of both sides spread over the deck width"
        total += trace.add("w railing", share, "lb/ft", rule, "distribution of railing", "model")
    return trace_sum(dc_plf=total, layers=layers, trace=trace)
