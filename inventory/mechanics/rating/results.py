"""What a rating gives back: frozen, complete, JSON-safe; every number can be followed in ``trace``."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.plain import Plain
from inventory.mechanics.trace import Heading

LEVELS = ("inventory", "operating")
"""Levels of allowable stress rating."""
LOAD_FACTOR_LEVELS = ("design inventory", "design operating", "legal", "permit")
LIMIT_STATES = ("bending", "hogging", "shear", "bearing", "interface")
ACTIONS = ("open", "post", "close", "undetermined")
KERNEL_VERSION = "2.0"
METHOD = "allowable stress rating; load and resistance factor rating"
CAUTIONS = (
    "This is an aid to a licensed professional engineer, never an order; the engineer of record decides.",
    "The State's manual governs where it differs. State legal vehicles may differ from those rated.",
    "A posting counts when it is adopted and its signs stand; until then the restriction in force stays.",
)


@dataclass(frozen=True, kw_only=True)
class LimitStateResult(Plain):
    """One vehicle, member, limit state and level: RF = (capacity - dead) / live at the governing station.

    Effects in ``unit`` (lb-ft or lb). ``lane_effect`` is the effect of one undivided lane of the vehicle, from which
    ``live_effect`` follows by the distribution rule named. ``distribution_factor`` counts wheel lines (half lanes)
    on the member, or on one foot of deck width. A factor below zero is given as zero. ``dead_effect`` is DC and DW
    together, ``wearing_effect`` its DW part, both unfactored; ``capacity`` holds ``resistance_factor`` (phi_c phi_s,
    1 in ASR) already: RF = (capacity - dc_factor DC - dw_factor DW) / (live_factor live_effect). ``as_simple``: of a
    span that runs through, but rated as a simple one because a bearing would lift.
    """

    vehicle: str
    gross_tons: float
    member: str
    limit_state: str
    level: str
    station_ft: float
    unit: str
    capacity: float
    dead_effect: float
    lane_effect: float
    live_effect: float
    distribution_factor: float
    distribution_rule: str
    distribution_source: str
    rating_factor: float
    tons: float
    method: str = "ASR"
    wearing_effect: float = 0.0
    dc_factor: float = 1.0
    dw_factor: float = 1.0
    live_factor: float = 1.0
    resistance_factor: float = 1.0
    as_simple: bool = False


@dataclass(frozen=True, kw_only=True)
class LoadFactorRating(Plain):
    """The least LRFR factor of one vehicle at one level, over all members and limit states of the span (or spans).

    ``level`` is one of ``LOAD_FACTOR_LEVELS``. ``safe_tons`` = (W/0.7)(RF - 0.3), not above W, 0 below RF 0.3; given
    for legal vehicles only (Manual for Bridge Evaluation 6A.8.3, memory).
    """

    vehicle: str
    name: str
    vehicle_class: str
    gross_tons: float
    level: str
    live_factor: float
    rating_factor: float
    safe_tons: float | None
    span: str
    member: str
    limit_state: str
    station_ft: float


@dataclass(frozen=True, kw_only=True)
class VehicleRating(Plain):
    """The least factor of one vehicle over all members and limit states of the span (or spans), at both levels of ASR.

    ``posting_factor`` and ``posting_tons`` are what posts, by ``posting_method``; no posting goes above
    ``ceiling_tons`` (LRFR: RF x weight), or above operating where it is None.
    """

    vehicle: str
    name: str
    vehicle_class: str
    gross_tons: float
    inventory_factor: float
    operating_factor: float
    inventory_tons: float
    operating_tons: float
    posting_factor: float
    posting_tons: float
    span: str
    member: str
    limit_state: str
    station_ft: float
    posting_method: str = "ASR"
    sign_class: str = "single_unit"
    ceiling_tons: float | None = None


@dataclass(frozen=True, kw_only=True)
class EmergencyLimits(Plain):
    """Values for an emergency-vehicle sign, whole tons; None where the vehicle class needs no limit."""

    single_axle_tons: float | None
    tandem_tons: float | None
    gross_tons: float | None


@dataclass(frozen=True, kw_only=True)
class PostingSuggestion(Plain):
    """A suggestion for the engineer: open, post, close, or undetermined where no legal vehicle was rated.

    With the tons of one sign and of the three classes. ``vehicle_tons`` maps each legal vehicle that needs a limit
    to its whole tons; the class values are None where the class needs no limit. ``sentences`` say why.
    """

    action: str
    single_tons: float | None
    single_unit_tons: float | None
    combination_tons: float | None
    two_trailer_tons: float | None
    emergency: EmergencyLimits | None
    vehicle_tons: dict[str, float]
    sentences: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class SpanRating(Plain):
    """The rating of one span. ``flags`` need the engineer at once; ``notes`` name every assumption and setting.

    ``cautions`` are printed with every rating. ``hs_inventory`` and ``hs_operating`` quote HS(20 RF), None where
    HS20 was not asked for.
    """

    label: str
    method: str
    results: tuple[LimitStateResult, ...]
    governing: tuple[VehicleRating, ...]
    worst: VehicleRating
    hs_inventory: float | None
    hs_operating: float | None
    posting: PostingSuggestion
    notes: tuple[str, ...]
    flags: tuple[str, ...]
    cautions: tuple[str, ...]
    trace: tuple[Heading, ...]
    kernel_version: str
    table_versions: dict[str, str]
    load_factor: tuple[LoadFactorRating, ...] = ()

    @property
    def is_rated(self) -> bool:
        return True


@dataclass(frozen=True, kw_only=True)
class NotRated(Plain):
    """No rating: ``reasons`` are sentences saying what is missing or out of range; ``flags`` still need the engineer.

    ``close_recommended`` is True where something already known (bar pressure, a rated span) calls for closing.
    """

    label: str
    reasons: tuple[str, ...]
    flags: tuple[str, ...] = ()
    close_recommended: bool = False

    @property
    def is_rated(self) -> bool:
        return False


@dataclass(frozen=True, kw_only=True)
class StructureRating(Plain):
    """The least over the spans of a structure, for each vehicle, with the span that governs named."""

    spans: tuple[SpanRating, ...]
    governing: tuple[VehicleRating, ...]
    worst: VehicleRating
    hs_inventory: float | None
    hs_operating: float | None
    posting: PostingSuggestion
    notes: tuple[str, ...]
    flags: tuple[str, ...]
    cautions: tuple[str, ...]
    kernel_version: str
    table_versions: dict[str, str]
    load_factor: tuple[LoadFactorRating, ...] = ()

    @property
    def is_rated(self) -> bool:
        return True
