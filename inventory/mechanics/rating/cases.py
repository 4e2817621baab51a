"""What a span rating needs to know: frozen, keyword-only, complete; None always means "not known"."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.material import MakerWetFactors
from inventory.mechanics.plain import Plain
from inventory.mechanics.tables.design_values import DesignValue

from .hardware import BarHardware

SYSTEMS = (
    "stringer",
    "nail_laminated_deck",
    "stress_laminated_deck",
    "glulam_panel_deck",
    "stress_laminated_t",
    "stress_laminated_box",
)
"""Load-carrying system of the span: stringers under a deck, longitudinal decks, stress-laminated T and box beams."""

DECK_KINDS = ("plank", "nail_laminated", "glulam_panel", "stress_laminated", "none")
"""Deck on stringers (or flange of T and box beams); ``none`` where the members are the deck themselves."""

LOSS_KINDS = (
    "surface",  # decayed or worn to depth_in from one face (top, bottom, left, right)
    "void",  # internal: width_in x height_in, centre offset_in above (+) or below (-) mid-depth
    "low_resistance",  # internal zone found by drilling, as void, with resistance_ratio of sound wood
    "shell",  # round member: sound shell of depth_in all round
    "split",  # horizontal check or split at mid-depth reaching depth_in across the width
    "lamination_lost",  # count laminations broken or gone within any wheel strip
    "crushing",  # bearing crushed by depth_in
    "early_decay",  # suspected, not drilled: one grade lower
)
FACES = ("top", "bottom", "left", "right")
DISTRIBUTIONS = ("rules", "refined")
SUPPORTS = ("timber", "steel")
ROLES = ("stringer", "lamination_deck", "panel_deck", "web")
SURFACES = ("surfaced", "rough")


@dataclass(frozen=True, kw_only=True)
class DeadLayer(Plain):
    """A layer of surfacing over the roadway: thickness in, unit weight lb/ft3, and whether it was measured."""

    name: str
    thickness_in: float
    unit_weight_pcf: float
    measured: bool


@dataclass(frozen=True, kw_only=True)
class SectionLoss(Plain):
    """Lost or weakened wood of one member between two stations (ft from the near bearing), as found.

    ``depth_in`` belongs to surface, shell, split and crushing; ``width_in``, ``height_in``, ``offset_in`` (centre
    above mid-depth positive) to void and low_resistance; ``resistance_ratio`` (0 to 1 of sound drilling resistance)
    to low_resistance; ``count`` to lamination_lost.
    """

    kind: str
    from_ft: float
    to_ft: float
    face: str = ""
    depth_in: float = 0.0
    width_in: float = 0.0
    height_in: float = 0.0
    offset_in: float = 0.0
    resistance_ratio: float | None = None
    count: int = 0
    measured_by: str = ""


@dataclass(frozen=True, kw_only=True)
class MemberCase(Plain):
    """One stringer, web, deck lamination or deck panel that stands for all like it in the span.

    ``width_in`` is the thickness of one lamination for a lamination deck and the panel width for a panel deck;
    ``spacing_ft`` the centre-to-centre spacing of stringers or webs (deck width carried for decks: not used);
    ``curb_offset_ft`` from the centre line of an exterior stringer out to the face of the curb, negative where the
    curb stands inside it, None where not measured; ``unbraced_ft`` the free length of the compression edge where
    ``braced`` is False; ``bearing_length_in`` along the span, None where not measured (bearing is then not rated).
    ``wet_service`` None follows the span; ``maker_wet`` the wet factors of a composite from its maker's report;
    ``incised`` None is taken as not incised, with a note. ``flange_depth_in`` and ``flange_material``
    belong to T and box webs, ``bottom_flange_depth_in`` to box webs.
    """

    label: str
    role: str
    material: DesignValue
    width_in: float
    depth_in: float
    spacing_ft: float | None = None
    shape: str = "rectangle"
    exterior: bool = False
    count: int | None = None
    curb_offset_ft: float | None = None
    braced: bool = True
    unbraced_ft: float | None = None
    bearing_length_in: float | None = None
    incised: bool | None = None
    wet_service: bool | None = None
    maker_wet: MakerWetFactors | None = None
    flange_depth_in: float | None = None
    flange_material: DesignValue | None = None
    bottom_flange_depth_in: float | None = None
    losses: tuple[SectionLoss, ...] = ()


@dataclass(frozen=True, kw_only=True)
class BarState(Plain):
    """Pressure between laminations of a stressed span: the least mean over three bars or 10 ft, as last read.

    ``least_local_pressure_psi`` None (never read, or the reading is out of date) counts as no pressure at all.
    ``butt_jointed`` None counts as butt-jointed, ``interconnection_proven`` (nails or dowels on record) None as not.
    ``joint_every`` is j where one lamination in j is jointed. ``needed_pressure_psi`` is the engineer's value
    (6 M_T/t2 and 1.5 V_T/(mu t)); None takes the 40 psi floor as the need. ``hardware`` None: not on record.
    """

    least_local_pressure_psi: float | None
    reading_date: str = ""
    butt_jointed: bool | None = None
    joint_every: int | None = None
    interconnection_proven: bool | None = None
    surface: str = "surfaced"
    needed_pressure_psi: float | None = None
    hardware: BarHardware | None = None


@dataclass(frozen=True, kw_only=True)
class DeckCase(Plain):
    """Transverse deck on stringers, planks or laminations running across the roadway.

    ``thickness_in`` vertical; ``width_in`` of one plank, lamination or panel along the roadway. ``support`` is
    ``timber`` or ``steel``; ``support_spacing_ft`` centre to centre, ``support_width_in`` the width of a stringer's
    top (flange). ``continuous`` over more than two spans, None counts as not. ``interconnected`` by dowels (panels)
    or by nails to its neighbours (laminations), None counts as not. Losses have their stations across the roadway.
    """

    kind: str
    material: DesignValue
    thickness_in: float
    width_in: float
    support_spacing_ft: float
    support_width_in: float
    support: str = "timber"
    continuous: bool | None = None
    interconnected: bool | None = None
    incised: bool | None = None
    wet_service: bool | None = None
    maker_wet: MakerWetFactors | None = None
    losses: tuple[SectionLoss, ...] = ()


@dataclass(frozen=True, kw_only=True)
class CapCase(Plain):
    """Pile cap under the ends of one or two spans, bending and bearing over its piles.

    ``pile_spacing_ft`` centre to centre; ``pile_count`` None is not rated; ``pile_bearing_in`` the length of cap that
    rests on one pile (its diameter or the square inside it); ``before`` and ``after`` the labels of the spans whose
    ends it carries ("" for none). ``condition_rating`` 0 to 9 of the substructure, None not known.
    """

    label: str
    material: DesignValue
    width_in: float
    depth_in: float
    pile_spacing_ft: float
    pile_bearing_in: float
    pile_count: int | None = None
    before: str = ""
    after: str = ""
    incised: bool | None = None
    wet_service: bool | None = None
    maker_wet: MakerWetFactors | None = None
    condition_rating: int | None = None
    losses: tuple[SectionLoss, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SpanCase(Plain):
    """Everything a rating of one span uses, simply supported or running through over its piers.

    ``span_ft`` centre to centre of bearings; ``lanes_loaded`` traffic lanes that can stand side by side;
    ``railing_plf`` weight of railing and curb on each side; ``wet_service`` moisture above 19 % (sawn) or 16 %
    (glulam) for long periods, the default for bridges; ``deck_interconnected`` (longitudinal nail-laminated: the
    whole width acts together; glulam panels: stiffeners as the rule asks) None counts as not;
    ``deck_butt_jointed`` laminations of a deck without bars have butt joints, None not on record (noted);
    ``critical_findings`` sentences from the inspection that call for the engineer whatever the factors;
    ``deck`` the transverse deck on the stringers where it is to be rated; consecutive spans with the same
    ``continuous_unit`` (not "") run through over their piers, ``held_down`` there and at their ends against uplift
    (bolts or straps to every cap), None counts as not; ``distribution`` is ``rules`` or ``refined`` (the deck
    as an orthotropic plate), the engineer's choice; ``condition_rating`` 0 to 9 of the superstructure and ``adtt``
    trucks a day one way, for load and resistance factors, None not known.
    """

    label: str
    span_ft: float
    system: str
    lanes_loaded: int
    roadway_width_ft: float
    deck_width_ft: float
    members: tuple[MemberCase, ...]
    deck_kind: str = "none"
    deck_thickness_in: float = 0.0
    deck_unit_weight_pcf: float = 50.0
    deck_interconnected: bool | None = None
    deck_butt_jointed: bool | None = None
    surfacing: tuple[DeadLayer, ...] = ()
    railing_plf: float = 0.0
    other_dead_psf: float = 0.0
    skew_deg: float = 0.0
    simply_supported: bool = True
    bars: BarState | None = None
    wet_service: bool = True
    service_temperature_f: float = 100.0
    inspection_date: str = ""
    critical_findings: tuple[str, ...] = ()
    deck: DeckCase | None = None
    continuous_unit: str = ""
    held_down: bool | None = None
    distribution: str = "rules"
    condition_rating: int | None = None
    adtt: int | None = None
