"""How large each number of a forecast in a file may be, told beside the field.

The policy's ranges are those of the register's own table; the others are limits against a slipped decimal point
(common practice, no source).
"""

from inspections.reckoning.json_file import above, between
from inventory.mechanics.bars.loss.terms import LossPolicy
from inventory.mechanics.rating.limits import Limit
from inventory.rules.bar_policy import SETTINGS

from .terms import BarInRow, FileForces, FileReading, FileRow, FileStressing

_FORCE = between("force", 0, 500_000, "lb")
LIMITS: dict[type, dict[str, Limit]] = {
    LossPolicy: {
        name: between(setting.label, setting.least, setting.most, setting.unit)
        for name, setting in SETTINGS.items()
        if name in LossPolicy.__dataclass_fields__
    },
    BarInRow: {"station_ft": between("station from the first bearing", 0, 200, "ft")},
    FileForces: {"force_lb": _FORCE},
    FileStressing: {},
    FileReading: {
        "force_lb": _FORCE,
        "repeats": between("number of repeat readings in the mean", 1, 10),
        "wood_temp_f": between("temperature of the wood", -60, 150, "F"),
        "moisture_pct": between("moisture of the wood", 0, 200),
    },
    FileRow: {
        "length_ft": above("length of the deck along the span", 200, "ft"),
        "thickness_in": above("thickness the bars squeeze", 60, "in"),
        "target_lb": between("target force of a bar", 1_000, 500_000, "lb"),
        "needed_psi": above("needed pressure", 500, "psi"),
        "levels_psi": above("pressure asked for", 500, "psi"),
        "net_area_in2": above("net area of a bar", 5, "in2"),
        "tensile_psi": between("tensile strength of a bar", 50_000, 200_000, "psi"),
        "ram_area_in2": between("ram area of the jack used", 0.5, 100, "in2"),
    },
}
YEARS_AHEAD = between("years ahead", 0.1, 100)
