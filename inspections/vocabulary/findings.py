"""Kinds of inspection and of finding."""

from inventory.vocabulary.words import Words


class InspectionKind(Words):
    """Types of the national inspection standards (23 CFR 650.305) and the county's own bar check."""

    INITIAL = "initial", "Initial"
    ROUTINE = "routine", "Routine"
    IN_DEPTH = "in_depth", "In-depth"
    UNDERWATER = "underwater", "Underwater"
    SPECIAL = "special", "Special"
    DAMAGE = "damage", "Damage"
    BAR_CHECK = "bar_check", "Bar-force check"
    SCOUR = "scour", "Scour monitoring"


class FindingKind(Words):
    SURFACE_DECAY = "surface_decay", "Decay on a face"
    INTERNAL_VOID = "internal_void", "Internal decay or void"
    CHECK = "check", "Check or shake"
    SPLIT = "split", "Split or delamination"
    CRACK = "crack", "Crack across the grain"
    CRUSHING = "crushing", "Crushing at a bearing or plate"
    BROKEN = "broken", "Broken or missing member"
    WEAR = "wear", "Abrasion or wear"
    MOISTURE = "moisture", "Moisture reading"
    DRILLING = "drilling", "Resistance drilling"
    STRESS_WAVE = "stress_wave", "Stress-wave time"
    BAR_FORCE = "bar_force", "Bar force"
    BAR_DEFECT = "bar_defect", "Bar pitted, bent or not identified"
    SLIP = "slip", "Slip between laminations"
    CAMBER = "camber", "Camber or sag"
    SURFACE_CRACK = "surface_crack", "Cracked surfacing"
    POTHOLE = "pothole", "Pothole or exposed wood"
    SURFACE_THICKNESS = "surface_thickness", "Surfacing thickness"
    CONNECTION = "connection", "Loose or missing fastener"
    SETTLEMENT = "settlement", "Settlement"
    SCOUR = "scour", "Scour"
    SIGN = "sign", "Sign missing or illegible"
    OTHER = "other", "Other"


class FindingGroup(Words):
    """The kinds in the order in which a person looks for one."""

    TIMBER = "timber", "Damage to timber"
    INSTRUMENT = "instrument", "Readings in the wood"
    BAR = "bar", "Stressing bars"
    DECK = "deck", "Shape and surface"
    AROUND = "around", "Supports, stream and signs"


class Face(Words):
    TOP = "top", "Top"
    BOTTOM = "bottom", "Bottom"
    LEFT = "left", "Left side"
    RIGHT = "right", "Right side"
    INSIDE = "inside", "Inside"
    END = "end", "End grain"


class ForceMethod(Words):
    LIFT_OFF = "lift_off", "Lift-off"
    LOAD_CELL = "load_cell", "Load cell"
    LOCK_OFF = "lock_off", "Gauge at lock-off (not a standing force)"
    HAND_LOOSE = "hand_loose", "Loose to the hand"


class Component(Words):
    """Items 58, 59, 60, 61, 62 of the 1995 record."""

    DECK = "deck", "Deck"
    SUPERSTRUCTURE = "superstructure", "Superstructure"
    SUBSTRUCTURE = "substructure", "Substructure"
    CHANNEL = "channel", "Channel"
    CULVERT = "culvert", "Culvert"


RATED_PARTS = {
    **{part.value: part.label for part in Component},
    "protection": "Channel protection",
    "scour": "Scour condition",
    "underwater": "Underwater condition",
}
"""What an inspection may rate, in the order of the record's items; the last three from the newer federal specification
[memory]. Each is a column `{part}_rating`."""


class Change(Words):
    """What became of a finding of an earlier inspection, as the inspector saw it this time."""

    NEW = "new", "New"
    SAME = "same", "As before"
    GROWN = "grown", "Grown"
    LESS = "less", "Less than before"
    GONE = "gone", "Repaired or gone"


class CriticalKind(Words):
    """What must reach somebody with authority at once: the least list of 23 CFR 650.313(q) [checked-2nd].

    The codes are the register's own, not federal ones.
    """

    CLOSURE = "closure", "Bridge closed, whole or in part"
    TENSION = "tension", "Steel tension member rated 3 or less"
    COMPONENT = "component", "Deck, superstructure, substructure or culvert rated 2 or less"
    SCOUR = "scour", "Scour or channel rated 2 or less"
    RESTRICTION = "restriction", "Must be restricted or shored at once to stay open"
    THREAT = "threat", "Threat to people, of any other kind"


class VisitCause(Words):
    """What sets off a visit outside the calendar."""

    FLOOD = "flood", "High water"
    HIT = "hit", "Hit by a vehicle or drift"
    FIRE = "fire", "Fire"
    OVERLOAD = "overload", "Crossed by a load over the posting"
    REPORT = "report", "Reported by the public"
    OTHER = "other", "Other"


class ScourResult(Words):
    """Outcome of a scour appraisal, in the words of 23 CFR 650.305 [memory]."""

    DRY = "dry", "Not over water"
    STABLE = "stable", "Stable for scour"
    CRITICAL = "critical", "Scour critical"
    UNKNOWN = "unknown", "Foundations unknown"
