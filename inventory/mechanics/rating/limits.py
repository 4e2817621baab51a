"""How large each number of a case may be, and sentences for those that are not: zero, negative, NaN, infinite, absurd.

The upper limits are our own: far above any timber span of a county road, low enough to catch a slipped decimal point
or inches given for feet (common practice, no source). The file form and the forms of the site tell them beside the
field; here they keep every number that reaches a formula finite.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, is_dataclass
from math import isfinite

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.material import MakerWetFactors
from inventory.mechanics.tables.design_values import DesignValue
from inventory.mechanics.vehicle import LaneLoad, Vehicle

from .cases import BarState, CapCase, DeadLayer, DeckCase, MemberCase, SectionLoss, SpanCase
from .hardware import BarHardware
from .policy import RatingPolicy

SOURCE = "limits of this kernel"
MOST_SPAN_FT = 200.0
HOLE_TOLERANCE_IN = 1.0 / 16.0


@dataclass(frozen=True, kw_only=True)
class Limit:
    """Name for people, unit, and the range: above ``least`` where ``above`` is set, otherwise from it, to ``most``."""

    name: str
    unit: str
    above: bool
    least: float
    most: float

    @property
    def words(self) -> str:
        return f"{'above' if self.above else 'at least'} {self.least:g} and at most {self.most:g}"

    def holds(self, value: float) -> bool:
        return isfinite(value) and value <= self.most and (value > self.least if self.above else value >= self.least)


def _above(name: str, most: float, unit: str = "", least: float = 0.0) -> Limit:
    return Limit(name=name, unit=unit, above=True, least=least, most=most)


def _from(name: str, least: float, most: float, unit: str = "") -> Limit:
    return Limit(name=name, unit=unit, above=False, least=least, most=most)


_SIZES = {"width_in": _above("width", 120, "in"), "depth_in": _above("depth", 120, "in")}
_CONDITION = {"condition_rating": _from("condition rating", 0, 9)}

LIMITS: dict[type, dict[str, Limit]] = {
    SpanCase: {
        "span_ft": _above("span", MOST_SPAN_FT, "ft"),
        "lanes_loaded": _from("number of loaded lanes", 1, 12),
        "roadway_width_ft": _above("roadway width", 200, "ft"),
        "deck_width_ft": _above("deck width", 200, "ft"),
        "deck_thickness_in": _from("deck thickness", 0, 48, "in"),
        "deck_unit_weight_pcf": _from("unit weight of the deck", 0, 250, "lb/ft3"),
        "railing_plf": _from("weight of railing and curb", 0, 5000, "lb/ft"),
        "other_dead_psf": _from("other dead load", 0, 2000, "lb/ft2"),
        "skew_deg": _from("skew", -75, 75, "degrees"),
        "service_temperature_f": _from("service temperature", -80, 150, "F"),
        "adtt": _from("trucks a day one way", 0, 100_000),
        **_CONDITION,
    },
    MemberCase: {
        **_SIZES,
        "spacing_ft": _above("spacing", 40, "ft"),
        "count": _from("count", 1, 2000),
        "curb_offset_ft": _from("distance from the outside stringer to the curb", -40, 40, "ft"),
        "unbraced_ft": _from("unbraced length", 0, MOST_SPAN_FT, "ft"),
        "bearing_length_in": _above("bearing length", 120, "in"),
        "flange_depth_in": _above("depth of the flange", 60, "in"),
        "bottom_flange_depth_in": _above("depth of the bottom flange", 60, "in"),
    },
    SectionLoss: {
        "from_ft": _from("beginning", -MOST_SPAN_FT, MOST_SPAN_FT, "ft"),
        "to_ft": _from("end", -MOST_SPAN_FT, 2 * MOST_SPAN_FT, "ft"),
        "depth_in": _from("depth_in", 0, 120, "in"),
        "width_in": _from("width_in", 0, 120, "in"),
        "height_in": _from("height_in", 0, 120, "in"),
        "offset_in": _from("centre above mid-depth", -60, 60, "in"),
        "resistance_ratio": _from("resistance ratio", 0, 1.5),
        "count": _from("count", 0, 2000),
    },
    DeadLayer: {
        "thickness_in": _from("thickness", 0, 48, "in"),
        "unit_weight_pcf": _above("unit weight", 250, "lb/ft3"),
    },
    BarState: {
        "least_local_pressure_psi": _from("bar pressure", 0, 500, "psi"),
        "joint_every": _from("number of laminations with one butt joint among them", 2, 100),
        "needed_pressure_psi": _above("needed pressure", 500, "psi"),
    },
    BarHardware: {
        "spacing_in": _above("spacing of the bars", 240, "in"),
        "thickness_in": _above("depth the bars squeeze", 60, "in"),
        "net_area_in2": _above("net area of a bar", 12, "in2"),
        "tensile_psi": _from("tensile strength of a bar", 50_000, 300_000, "psi"),
        "design_force_lb": _above("design force of a bar", 300_000, "lb"),
        "plate_width_in": _above("width of a plate", 60, "in"),
        "plate_height_in": _above("height of a plate", 60, "in"),
        "plate_thickness_in": _above("thickness of a plate", 6, "in"),
        "nut_plate_in": _above("side of the plate under the nut", 24, "in"),
        "yield_psi": _from("yield strength of a plate", 20_000, 120_000, "psi"),
        "channel_height_in": _above("height of the channel", 60, "in"),
        "channel_length_in": _above("length of the channel", 240, "in"),
        "bars_in_line": _from("number of bars in a line", 1, 4),
        "crushed_in": _from("crushing under a plate", 0, 60, "in"),
    },
    DeckCase: {
        "thickness_in": _above("deck thickness", 48, "in"),
        "width_in": _above("width of a plank, lamination or panel", 120, "in"),
        "support_spacing_ft": _above("spacing of the supports", 40, "ft"),
        "support_width_in": _above("width of a support", 120, "in"),
    },
    CapCase: {
        **_SIZES,
        "pile_spacing_ft": _above("spacing of the piles", 40, "ft"),
        "pile_bearing_in": _above("bearing length on a pile", 120, "in"),
        "pile_count": _from("number of piles", 1, 100),
        **_CONDITION,
    },
    DesignValue: {
        "fb_psi": _above("bending design value", 10_000, "psi"),
        "fv_psi": _above("shear design value", 2_000, "psi"),
        "fc_perp_psi": _above("design value across the grain", 5_000, "psi"),
        "e_psi": _from("modulus of elasticity", 100_000, 5_000_000, "psi"),
        "e_min_psi": _above("least modulus of elasticity", 5_000_000, "psi"),
        "fb_neg_psi": _above("bending design value of the other face", 10_000, "psi"),
        "ft_psi": _above("tension design value", 10_000, "psi"),
        "fc_psi": _above("design value along the grain", 10_000, "psi"),
        "specific_gravity": _above("specific gravity", 1.5),
        "density_pcf": _above("density", 120, "lb/ft3"),
        "volume_exponent": _from("exponent of the volume factor", 1, 100),
    },
    MakerWetFactors: {
        name: _above(f"maker's wet factor for {name}", 1) for name in ("bending", "shear", "bearing", "modulus")
    },
    LaneLoad: {
        "uniform_klf": _from("uniform lane load", 0, 10, "kip/ft"),
        "moment_kip": _from("concentrated lane load for moment", 0, 500, "kip"),
        "shear_kip": _from("concentrated lane load for shear", 0, 500, "kip"),
    },
    RatingPolicy: {
        "posting_level": _from("posting level", 0, 1),
        "close_below_tons": _from("smallest posting", 0, 40, "tons"),
        "transition_in": _from("transition layer behind decay", 0, 6, "in"),
        "pressure_floor_psi": _above("least bar pressure", 500, "psi"),
        "closing_pressure_psi": _from("bar pressure below which a span is closed", 0, 500, "psi"),
        "deflection_ratio": _above("deflection ratio", 100_000),
        "least_shell_in": _from("least sound shell", 0, 60, "in"),
        "least_shell_ratio": _from("least sound shell as part of the side", 0, 0.5),
        "drilled_void_below": _from("drilling resistance below which wood is void", 0, 1),
        "drilled_sound_from": _from("drilling resistance from which wood is sound", 0, 1),
        "permit_live_factor": _from("live-load factor of permit vehicles", 1.1, 2),
    },
}
"""Every number a case, a policy or a vehicle of the county may hold. None is never judged here."""

NEEDED = {
    MemberCase: {"material": "design values (species, grade and size class, or the values with their source)"},
    DeckCase: {"material": "design values of the deck"},
    CapCase: {"material": "design values of the cap"},
}


def limit_sentences(*things: object) -> tuple[str, ...]:
    """One sentence for every number of ``things`` (cases, policies, vehicles) outside its limit, nested ones too.

    The sentence names the thing by its label, the number and the range. Empty where all is within reach.
    """
    told: list[str] = []
    for thing in things:
        told += _told(thing, "")
    return tuple(dict.fromkeys(told))


def _told(thing: object, where: str) -> Iterable[str]:
    if isinstance(thing, tuple | list):
        for item in thing:
            yield from _told(item, where)
    if not is_dataclass(thing) or isinstance(thing, type):
        return
    where = _place(thing, where)
    for name, words in NEEDED.get(type(thing), {}).items():
        if getattr(thing, name) is None:
            yield f"{where}there are no {words}."
    limits = LIMITS.get(type(thing), {})
    for field in fields(thing):
        value = getattr(thing, field.name)
        if field.name in limits:
            if value is not None and not _is_within(limits[field.name], value):
                yield _sentence(where, limits[field.name].name, value, limits[field.name])
        else:
            yield from _told(value, where)
    yield from _larger_than_the_member(thing, where)
    yield from _overlapping(thing, where)


def _overlapping(thing: object, where: str) -> Iterable[str]:
    """Stringers or webs wider than they are apart; webs that touch leave no flange between them."""
    if not isinstance(thing, MemberCase) or thing.role not in ("stringer", "web") or thing.spacing_ft is None:
        return
    limit = LIMITS[MemberCase]["spacing_ft"]
    if not (_is_within(limit, thing.spacing_ft) and _is_within(_SIZES["width_in"], thing.width_in)):
        return
    room = Limit(name="spacing", unit="ft", above=thing.role == "web", least=thing.width_in / 12.0, most=limit.most)
    if not room.holds(thing.spacing_ft):
        yield _sentence(where, "spacing of members that would overlap", thing.spacing_ft, room)


def _is_within(limit: Limit, value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and limit.holds(value)


def _sentence(where: str, name: str, value: object, limit: Limit) -> str:
    valid = f"{limit.words} {limit.unit}".strip()
    return str(OutsideValidity(name=where + name, value=value, valid=valid, unit=limit.unit, source=SOURCE))


def _place(thing: object, where: str) -> str:
    if isinstance(thing, MemberCase | CapCase):
        return f"{thing.label}: "
    if isinstance(thing, DeadLayer):
        return f"surfacing {thing.name}: "
    if isinstance(thing, SectionLoss):
        return f"{where}{thing.kind}, "
    if isinstance(thing, DeckCase):
        return "deck: "
    if isinstance(thing, Vehicle):
        return f"vehicle {thing.id}: "
    return where


def _larger_than_the_member(thing: object, where: str) -> Iterable[str]:
    """Losses that would take more wood than there is, and holes that reach out of the section."""
    if isinstance(thing, DeckCase):
        width_in, depth_in = thing.width_in, thing.thickness_in
    elif isinstance(thing, MemberCase | CapCase):
        width_in, depth_in = thing.width_in, thing.depth_in
    else:
        return
    if not (_is_within(_SIZES["width_in"], width_in) and _is_within(_SIZES["depth_in"], depth_in)):
        return
    for loss in thing.losses:
        yield from (
            f"{where}{sentence}" for sentence in loss_sentences(loss=loss, width_in=width_in, depth_in=depth_in)
        )


def loss_sentences(*, loss: SectionLoss, width_in: float, depth_in: float) -> tuple[str, ...]:
    """What of one loss cannot be on a member of this width and depth (in): sentences with the value and the range."""
    if loss.kind in ("void", "low_resistance"):
        return _hole_sentences(loss, width_in, depth_in)
    most = {
        "surface": width_in if loss.face in ("left", "right") else depth_in,
        "shell": max(width_in, depth_in),
        "split": max(width_in, depth_in),
        "crushing": depth_in,
    }.get(loss.kind)
    if most is None or not loss.depth_in > most + HOLE_TOLERANCE_IN:
        return ()
    limit = _from("depth_in", 0, most, "in")
    return (_sentence(f"{loss.kind} deeper than the member, ", "depth_in", loss.depth_in, limit),)


def _hole_sentences(loss: SectionLoss, width_in: float, depth_in: float) -> tuple[str, ...]:
    told = []
    if loss.width_in > width_in + HOLE_TOLERANCE_IN:
        told.append(
            _sentence(f"{loss.kind} wider than the member, ", "width_in", loss.width_in, _from("", 0, width_in, "in"))
        )
    half = depth_in / 2.0
    if abs(loss.offset_in) + loss.height_in / 2.0 > half + HOLE_TOLERANCE_IN:
        low, high = loss.offset_in - loss.height_in / 2.0, loss.offset_in + loss.height_in / 2.0
        told.append(
            f"{loss.kind} reaches out of the section: height_in {loss.height_in:g}, centre above mid-depth "
            f"{loss.offset_in:g} in: it runs from {low:g} to {high:g} in, outside the range {-half:g} to {half:g} in "
            f"of a member {depth_in:g} in deep ({SOURCE})."
        )
    return tuple(told)
