"""What a rating gives back: frozen, complete, JSON-safe; every number can be followed in ``trace``."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.trace import Heading

from .plain import Plain

LEVELS = ("inventory", "operating")
LIMIT_STATES = ("bending", "shear", "bearing", "interface")
ACTIONS = ("open", "post", "close", "undetermined")
KERNEL_VERSION = "1.1"
METHOD = "allowable stress rating"
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
    on the member, or on one foot of deck width. A factor below zero is given as zero.
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


@dataclass(frozen=True, kw_only=True)
class VehicleRating(Plain):
    """The least factor of one vehicle over all members and limit states of the span (or spans), at both levels."""

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

    @property
    def is_rated(self) -> bool:
        return True
