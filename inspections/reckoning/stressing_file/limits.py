"""How large each number of a stressing plan in a file may be: within what the kernel takes, and told beside the field.

Our own limits against a slipped decimal point or feet given for inches (common practice, no source).
"""

from inspections.reckoning.json_file import above, between
from inventory.mechanics.bars.jacking.terms import JackKit, PlanInput, PlannedBar, Squeezed
from inventory.mechanics.rating.limits import Limit

LIMITS: dict[type, dict[str, Limit]] = {
    Squeezed: {
        "deck_length_in": above("length of the deck along the span", 2400, "in"),
        "deck_width_in": above("width between bulkheads", 2400, "in"),
        "thickness_in": above("thickness the bars squeeze", 60, "in"),
        "e_transverse_psi": between("modulus across the grain", 1_000, 200_000, "psi"),
        "shear_modulus_psi": between("shear modulus across", 1_000, 400_000, "psi"),
        "bearing_length_in": above("length of deck a bar presses on", 240, "in"),
        "bar_length_in": above("bar from nut to nut, jack included", 3000, "in"),
        "bar_modulus_psi": between("modulus of the bars", 10e6, 40e6, "psi"),
        "neighbour_losses_ratio": between("measured loss of a neighbour", 0, 0.45),
        "wood_factor": between("learned factor on the wood", 0.05, 20),
        "reach_factor": between("learned factor on the reach", 0.05, 20),
    },
    PlannedBar: {
        "station_in": between("station from the deck's end", 0, 2400, "in"),
        "net_area_in2": above("net area of a bar", 5, "in2"),
        "tensile_psi": between("tensile strength of a bar", 50_000, 200_000, "psi"),
        "standing_lb": between("force that stands in a bar", 0, 500_000, "lb"),
        "target_lb": between("target force of a bar", 1_000, 500_000, "lb"),
    },
    JackKit: {
        "ram_area_in2": between("ram area", 0.5, 100, "in2"),
        "efficiency": between("efficiency from the calibration", 0.90, 1.0),
        "gauge_division_psi": above("smallest division of the gauge", 1_000, "psi"),
        "capacity_lb": above("rated capacity", 2_000_000, "lb"),
        "gauge_most_psi": above("end of the gauge's scale", 30_000, "psi"),
    },
    PlanInput: {
        "pass_count": between("number of passes", 1, 12),
        "first_pass_ratio": between("part of the targets in the first pass", 0.1, 1.0),
        "seating_in": between("seating at lock-off", 0, 0.5, "in"),
        "lift_off_ratio": between("the jack's peak over the force it shows", 1.0, 1.5),
        "reach_ratio": between("part of the target at which a pass is the last", 0.5, 0.999),
        "plate_limit_lb": above("force the bearing under a plate allows", 1_000_000, "lb"),
        "flange_limit_psi": above("pressure the deck or flange allows", 2_000, "psi"),
        "needed_psi": above("needed pressure", 500, "psi"),
    },
}
