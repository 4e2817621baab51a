"""Invented structures of every system as the kernel gets them, by seed; no database."""

from __future__ import annotations

import random
from datetime import date

from inspections.assembly.snapshot import Snapshot
from inventory.mechanics.rating import (
    BarState,
    DeadLayer,
    MemberCase,
    RatingPolicy,
    SectionLoss,
    SpanCase,
    find_design_value,
)
from inventory.mechanics.vehicle import STANDARD_VEHICLES
from tests.unit.mechanics.spans import DF_DIMENSION, DF_GLULAM, DF_TIMBER, PANEL_GLULAM

STRAND = find_design_value(species="PSL", grade="2.0E", size_class="parallel strand lumber")
ALL_VEHICLES = tuple(key for key in STANDARD_VEHICLES if key not in ("HL93", "HL93-TRUCK", "HL93-TANDEM"))
SYSTEMS = (
    "sawn stringers",
    "glulam stringers",
    "nail_laminated_deck",
    "stress_laminated_deck",
    "glulam_panel_deck",
    "stress_laminated_t",
    "stress_laminated_box",
)


def _losses(pick: random.Random, span_ft: float, wide: float, deep: float) -> tuple[SectionLoss, ...]:
    """Nothing, or up to three findings of surface decay and voids along the member."""
    found = []
    for _ in range(pick.choice([0, 0, 1, 2, 3])):
        start = pick.uniform(0, span_ft - 1)
        zone = {"from_ft": start, "to_ft": min(span_ft, start + pick.uniform(0.5, 6))}
        if pick.random() < 0.5:
            face = pick.choice(["top", "bottom", "left", "right"])
            found.append(SectionLoss(kind="surface", face=face, depth_in=pick.uniform(0, min(wide, deep) / 6), **zone))
        else:
            size = {"width_in": wide * pick.uniform(0, 0.4), "height_in": deep * pick.uniform(0, 0.3)}
            found.append(SectionLoss(kind="void", offset_in=deep * pick.uniform(-0.15, 0.15), **size, **zone))
    return tuple(found)


def _bars(pick: random.Random) -> BarState:
    return BarState(
        least_local_pressure_psi=pick.uniform(20, 110),
        reading_date="2026-05-04",
        butt_jointed=pick.choice([True, False]),
        joint_every=4,
        surface=pick.choice(["surfaced", "rough"]),
    )


def _member(pick: random.Random, system: str, span_ft: float) -> MemberCase:
    if system in ("sawn stringers", "glulam stringers"):
        glulam = system == "glulam stringers"
        wide, deep = pick.choice([(6.75, 27.0), (8.75, 36.0)] if glulam else [(6.0, 16.0), (8.0, 18.0)])
        return MemberCase(
            label="stringer",
            role="stringer",
            material=DF_GLULAM if glulam else DF_TIMBER,
            width_in=wide,
            depth_in=deep,
            spacing_ft=pick.uniform(1.5, 4.5),
            count=pick.randint(5, 12),
            bearing_length_in=pick.uniform(6, 12),
            losses=_losses(pick, span_ft, wide, deep),
        )
    if system in ("nail_laminated_deck", "stress_laminated_deck"):
        deep = pick.choice([9.25, 11.25])
        return MemberCase(label="deck", role="lamination_deck", material=DF_DIMENSION, width_in=1.5, depth_in=deep)
    if system == "glulam_panel_deck":
        deep = pick.choice([8.75, 10.75, 12.25])
        return MemberCase(label="panel", role="panel_deck", material=PANEL_GLULAM, width_in=48.0, depth_in=deep)
    return MemberCase(
        label="web",
        role="web",
        material=STRAND,
        width_in=pick.choice([3.5, 5.25, 7.0]),
        depth_in=pick.choice([20.0, 24.0, 31.5]),
        spacing_ft=pick.uniform(1.7, 3.0),
        count=pick.randint(6, 12),
        flange_material=DF_DIMENSION,
        flange_depth_in=7.25,
        bottom_flange_depth_in=5.25 if system == "stress_laminated_box" else None,
    )


def mixed_span(seed: int, label: str = "1", *, system: str = "", refined: bool = False) -> SpanCase:
    """One span of a system drawn by the seed, or of the one named (``SYSTEMS``)."""
    pick = random.Random(seed)
    system = system or pick.choice(SYSTEMS)
    long = {"sawn stringers": (11, 26), "glulam stringers": (25, 60)}.get(system, (14, 28))
    if system.endswith(("_t", "_box")):
        long = (35, 65)
    span_ft, width = pick.uniform(*long), pick.uniform(16, 30)
    pressed = system.startswith("stress")
    asphalt = DeadLayer(name="asphalt", thickness_in=pick.uniform(1, 4), unit_weight_pcf=140.0, measured=True)
    stringers = system.endswith("stringers")
    return SpanCase(
        label=label,
        span_ft=span_ft,
        system="stringer" if stringers else system,
        lanes_loaded=2 if width > 20 else 1,
        roadway_width_ft=width - 2,
        deck_width_ft=width,
        members=(_member(pick, system, span_ft),),
        deck_kind=pick.choice(["plank", "nail_laminated", "glulam_panel"]) if stringers else "none",
        deck_thickness_in=pick.choice([3.0, 5.125]) if stringers else 0.0,
        deck_interconnected=pick.choice([True, False, None]),
        surfacing=(asphalt,),
        railing_plf=pick.uniform(0, 120),
        bars=_bars(pick) if pressed else None,
        wet_service=not system.endswith(("_t", "_box")),
        condition_rating=pick.choice([None, 4, 5, 6, 7]),
        adtt=pick.choice([None, 20, 500, 2000]),
        distribution="refined" if refined else "rules",
    )


def mixed_snapshot(seed: int) -> Snapshot:
    """A structure of one to three spans of one system under all vehicles; in one of ten the refined distribution."""
    pick = random.Random(seed)
    system, count = pick.choice(SYSTEMS), pick.choice([1, 1, 1, 2, 3])
    refined = pick.random() < 0.1 and system in ("stress_laminated_deck", "stress_laminated_t")
    cases = tuple(
        mixed_span(seed * 10 + number, str(number + 1), system=system, refined=refined) for number in range(count)
    )
    return Snapshot(as_of=date(2026, 6, 15), cases=cases, policy=RatingPolicy(), vehicles=ALL_VEHICLES)
