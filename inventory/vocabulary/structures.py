"""Words for what stands: systems, members, surfaces, treatment, restriction, work."""

from .words import Words


class System(Words):
    SAWN_STRINGER = "sawn_stringer", "Sawn stringers"
    GLULAM_STRINGER = "glulam_stringer", "Glulam stringers"
    NAIL_LAMINATED = "nail_laminated", "Nail-laminated deck"
    SPIKE_LAMINATED = "spike_laminated", "Spike-laminated deck"
    GLULAM_PANEL = "glulam_panel", "Longitudinal glulam panels"
    STRESS_LAMINATED = "stress_laminated", "Stress-laminated deck"
    STRESS_LAMINATED_T = "stress_laminated_t", "Stress-laminated T-beams"
    STRESS_LAMINATED_BOX = "stress_laminated_box", "Stress-laminated box beams"
    OTHER = "other", "Other timber span"
    UNKNOWN = "unknown", "System not recorded"


WITH_BARS = frozenset({System.STRESS_LAMINATED, System.STRESS_LAMINATED_T, System.STRESS_LAMINATED_BOX})
ON_STRINGERS = frozenset({System.SAWN_STRINGER, System.GLULAM_STRINGER})


class Status(Words):
    IN_SERVICE = "in_service", "In service"
    PLANNED = "planned", "Planned"
    REMOVED = "removed", "Removed"


class MemberRole(Words):
    STRINGER = "stringer", "Stringer"
    DECK = "deck", "Transverse deck"
    LAMINATION = "lamination", "Longitudinal lamination"
    PANEL = "panel", "Longitudinal glulam panel"
    WEB = "web", "Web beam"
    FLANGE = "flange", "Flange lamination"
    BOTTOM_FLANGE = "bottom_flange", "Bottom flange"
    STIFFENER = "stiffener", "Transverse stiffener"
    CAP = "cap", "Pile cap"


class DeckKind(Words):
    PLANK = "plank", "Plank"
    NAIL_LAMINATED = "nail_laminated", "Nail-laminated"
    GLULAM_PANEL = "glulam_panel", "Glulam panels"
    STRESS_LAMINATED = "stress_laminated", "Stress-laminated"
    NONE = "none", "The members are the deck"


class Product(Words):
    SAWN = "sawn", "Sawn lumber or timber"
    GLULAM = "glulam", "Glued-laminated timber"
    PSL = "psl", "Parallel strand lumber"
    LVL = "lvl", "Laminated veneer lumber"
    ROUND = "round", "Round timber"


class Preservative(Words):
    CREOSOTE = "creosote", "Creosote"
    PENTA = "penta", "Pentachlorophenol in oil"
    COPPER_NAPHTHENATE = "copper_naphthenate", "Copper naphthenate"
    CCA = "cca", "Chromated copper arsenate"
    ACZA = "acza", "Ammoniacal copper zinc arsenate"
    ACQ = "acq", "Alkaline copper quat"
    BORATE = "borate", "Borate"
    FUMIGANT = "fumigant", "Fumigant"
    NONE = "none", "Untreated"
    UNKNOWN = "unknown", "Not known"


class TreatmentKind(Words):
    PRESSURE = "pressure", "Pressure treatment at the plant"
    FIELD = "field", "Field treatment of cuts and bores"
    SURFACE = "surface", "Surface treatment in place"
    INTERNAL = "internal", "Internal treatment in place"


class SurfaceMaterial(Words):
    ASPHALT = "asphalt", "Asphalt"
    MEMBRANE = "membrane", "Waterproofing membrane"
    TACK = "tack", "Tack coat"
    CHIP_SEAL = "chip_seal", "Chip seal"
    GRAVEL = "gravel", "Gravel"
    PLANK = "plank", "Running planks"
    CONCRETE = "concrete", "Concrete"
    OTHER = "other", "Other"


class Restriction(Words):
    OPEN = "open", "No restriction"
    POSTED = "posted", "Posted"
    CLOSED = "closed", "Closed"
    UNKNOWN = "unknown", "Not known"


class SignState(Words):
    ORDERED = "ordered", "Ordered, not yet seen standing"
    CONFIRMED = "confirmed", "Seen standing and legible"
    MISSING = "missing", "Missing or illegible"
    REMOVED = "removed", "Taken down"


class WorkKind(Words):
    SETTING = "setting", "Setting"
    STRESSING = "stressing", "Stressing at erection"
    RETENSION = "retension", "Re-tensioning"
    RESURFACING = "resurfacing", "Resurfacing"
    TREATMENT = "treatment", "Preservative treatment"
    REPAIR = "repair", "Repair"
    REPLACEMENT = "replacement", "Member replaced"
    CLEANING = "cleaning", "Cleaning"


class ConditionClass(Words):
    GOOD = "good", "Good"
    FAIR = "fair", "Fair"
    POOR = "poor", "Poor"
    NOT_RATED = "not_rated", "Not rated"


class BarStanding(Words):
    NONE = "none", "No bars"
    SOUND = "sound", "At or above the floor"
    LOW = "low", "Below the floor, above the need"
    SLACK = "slack", "Below the need"
    UNKNOWN = "unknown", "No current reading"
