"""The intervals that are no policy of the county, each with its mark and source.

What a county or its State may change stands in `inventory.rules.inspection_policy`; the clocks read both.

Marks: `checked` read in an official text or page; `checked-2nd` read in a second-hand copy; `memory` recalled, to be
compared with the official text before a county relies on it; `policy` and `model` the register's own choice. The
owner's policy (`Policy`) comes before the table where a row says so. The State's manual comes before both.
"""

from dataclasses import dataclass

from inventory.rules.inspection_policy import DEFAULTS


@dataclass(frozen=True, kw_only=True)
class Interval:
    """A length of time in one unit (months, days or years), where it comes from and how sure that is."""

    number: int
    unit: str
    mark: str
    source: str


NBIS_WORK = "23 CFR 650.313"
FOREST = "US Forest Service timber bridge practice"

# Where nobody named a day: the first underwater inspection after opening, or after it was first asked for.
UNDERWATER_FIRST = Interval(number=12, unit="months", mark="memory", source=f"{NBIS_WORK}: after opening to traffic")
# The most a structure's own underwater interval may be where the county's regular one is shorter (checked).
UNDERWATER_MOST_MONTHS = DEFAULTS["underwater_months"]

SECOND_PASS = Interval(number=7, unit="days", mark="memory", source="AASHTO LRFD 9.9.5.6: about one week")
THIRD_PASS = Interval(number=28, unit="days", mark="memory", source="AASHTO LRFD 9.9.5.6: at least 4 weeks")
THIRD_PASS_LATEST = Interval(number=56, unit="days", mark="memory", source="AASHTO LRFD 9.9.5.6: up to 8 weeks")
FIRST_MEASURE = Interval(number=12, unit="months", mark="model", source="measured at one year")
YOUNG_CHECK = Interval(number=24, unit="months", mark="memory", source="every 2 years for the first 6")
YOUNG_YEARS = 6
BAR_CHECK_MOST = Interval(
    number=60, unit="months", mark="checked", source="Dahlberg and Wacker 2021: re-tensioning every 2 to 5 years"
)
BAR_FLOOR_PSI = 40.0  # memory: AASHTO LRFD 9.9.5.6
RETENSION_BELOW_PSI = 1.25 * BAR_FLOOR_PSI  # model
CLOSE_BELOW_PSI = 20.0  # model: closing recommended until inspected and re-tensioned

# Lower end of the published life, years; the agency's `resurfacing_years` stands for asphalt over a membrane.
LIFE_ASPHALT_MEMBRANE = Interval(number=12, unit="years", mark="memory", source=f"{FOREST}: 12 to 20 years")
LIFE_ASPHALT = Interval(number=8, unit="years", mark="memory", source=f"{FOREST}: 8 to 15 years without a membrane")
LIFE_CHIP_SEAL = Interval(number=5, unit="years", mark="memory", source=f"{FOREST}: 5 to 8 years")
LIFE_PLANK = Interval(number=5, unit="years", mark="memory", source=f"{FOREST}: 5 to 12 years")
# Gravel has no clock by age: it is re-graded every year with the road, which nobody records. A finding starts one.

# The agency's `treatment_years` stands for field treatment of checks and ends (3 to 5 years).
FIELD_TREATMENT = Interval(number=5, unit="years", mark="memory", source=f"{FOREST}: 3 to 5 years")
BORATE = Interval(number=5, unit="years", mark="memory", source=f"{FOREST}: remedial borate")
FUMIGANT = Interval(number=7, unit="years", mark="memory", source=f"{FOREST}: remedial fumigant, 7 to 10 years")
# Upkeep whose date passed before the structure entered the register, or was never recorded, is a backlog to be planned
# within a year of entry, not an alarm. Law, bars and findings have no such grace.
BACKLOG = Interval(number=12, unit="months", mark="policy", source="within a year of entering the register")
