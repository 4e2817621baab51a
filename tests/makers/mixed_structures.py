"""Invented structures of every system as the kernel gets them, by seed; no database."""

from __future__ import annotations

import random
from dataclasses import replace
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
POSTS = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="posts and timbers")
SYSTEMS = (
    "sawn stringers",
    "round stringers",
    "glulam stringers",
    "nail_laminated_deck",
    "stress_laminated_deck",
    "glulam_panel_deck",
    "stress_laminated_t",
    "stress_laminated_box",
)


def random_loss(pick: random.Random, span_ft: float, member: MemberCase) -> SectionLoss:
    """One finding of any kind the member can have, somewhere along it."""
    wide, deep, start = member.width_in, member.depth_in, pick.uniform(0, span_ft - 1)
    zone = {"from_ft": start, "to_ft": min(span_ft, start + pick.uniform(0.2, 8))}
    least = min(wide, deep)
    if member.role == "lamination_deck":
        if pick.random() < 0.3:
            return SectionLoss(kind="lamination_lost", count=pick.randint(1, 6), **zone)
        return SectionLoss(kind="surface", face=pick.choice(["top", "bottom"]), depth_in=pick.uniform(0, 3), **zone)
    kind = pick.choice(["surface", "void", "low_resistance", "split", "crushing", "early_decay", "shell"])
    if kind == "surface":
        face = pick.choice(["top", "bottom", "left", "right"])
        return SectionLoss(kind=kind, face=face, depth_in=pick.uniform(0, least / 4), **zone)
    if kind in ("void", "low_resistance"):
        high = deep * pick.uniform(0, 0.5)
        where = pick.uniform(-1, 1) * (deep - high) / 2.2
        size = {"width_in": wide * pick.uniform(0, 0.7), "height_in": high, "offset_in": where}
        if member.shape == "round":
            size = {"width_in": deep * pick.uniform(0, 0.5), "offset_in": 0.0}
            size["height_in"] = size["width_in"]
        ratio = pick.uniform(0, 1) if kind == "low_resistance" else None
        return SectionLoss(kind=kind, resistance_ratio=ratio, **size, **zone)
    depth = {"split": pick.uniform(0, wide), "crushing": pick.uniform(0, 0.5), "shell": pick.uniform(0.3, 0.5) * least}
    return SectionLoss(kind=kind, depth_in=depth.get(kind, 0.0), **zone)


def with_losses(pick: random.Random, span_ft: float, member: MemberCase, most: int = 3) -> MemberCase:
    """The member with up to ``most`` findings more."""
    found = tuple(random_loss(pick, span_ft, member) for _ in range(pick.randint(0, most)))
    return replace(member, losses=member.losses + found)


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
        )
    if system == "round stringers":
        across = pick.choice([12.0, 14.0, 16.0])
        return MemberCase(
            label="log",
            role="stringer",
            material=POSTS,
            shape="round",
            width_in=across,
            depth_in=across,
            spacing_ft=pick.uniform(1.5, 3.5),
            count=pick.randint(5, 12),
            bearing_length_in=pick.uniform(6, 12),
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
    long = {"sawn stringers": (11, 26), "round stringers": (11, 24), "glulam stringers": (25, 60)}.get(system, (14, 28))
    if system.endswith(("_t", "_box")):
        long = (35, 65)
    span_ft, width = pick.uniform(*long), pick.uniform(16, 30)
    pressed = system.startswith("stress")
    asphalt = DeadLayer(name="asphalt", thickness_in=pick.uniform(1, 4), unit_weight_pcf=140.0, measured=True)
    stringers = system.endswith("stringers")
    member = with_losses(pick, span_ft, _member(pick, system, span_ft))
    if member.spacing_ft and pick.random() < 0.25:
        member = replace(member, exterior=True, curb_offset_ft=pick.uniform(-0.5, 2.0))
    return SpanCase(
        label=label,
        span_ft=span_ft,
        system="stringer" if stringers else system,
        lanes_loaded=2 if width > 20 else 1,
        roadway_width_ft=width - 2,
        deck_width_ft=width,
        members=(member,),
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
