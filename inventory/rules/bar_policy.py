"""The settings by which a county judges bar force: meaning, default, range, unit, source and mark of each.

One table for the page, the form and the checks. Every one is a model: a policy without a published number behind it
for timber decks, which the county's engineer may change with a reason.
"""

from collections.abc import Mapping
from math import isfinite

from inventory.mechanics.bars.jacking.terms import LIFT_OFF_RATIO, REACH_RATIO, SEATING_IN
from inventory.mechanics.bars.loss.terms import LossPolicy

from .rating_settings import Setting

_LOSS = LossPolicy()
_PRACTICE = "common practice, no source"
_OWNER = "owner policy"
_LOG = "logarithmic loss, R = 1 - a log10(1 + days)"
_EXP = "exponential loss with a floor, R = f + (1 - f) exp(-days / tau)"


def _number(name, label, unit, least, most, meaning, source, default=None) -> Setting:
    default = getattr(_LOSS, name) if default is None else default
    return Setting(
        name=name, label=label, kind="number", default=default, meaning=meaning, source=source, mark="model", unit=unit,
        least=least, most=most,
    )  # fmt: skip


LOSS = (
    _number("log_slope_ratio", "Loss for each tenfold time, a", "", 0.02, 0.30,
            "Part of the force lost between 1 and 10 days, 10 and 100, and so on, before the county's own readings "
            "say better. About 0.08 dry, 0.18 green hardwood.", _LOG),
    _number("log_slope_sd_ratio", "How sure a is, over all bridges", "", 0.005, 0.10,
            "Standard deviation of the mean of a. Larger lets readings move it sooner.", _LOG),
    _number("log_slope_spread_ratio", "How far a differs from bridge to bridge", "", 0.0, 0.10,
            "Standard deviation between bridges of one kind.", _LOG),
    _number("floor_ratio", "Part of the force that stays, f", "", 0.20, 0.90,
            "The force an exponential loss never falls below.", _EXP),
    _number("floor_sd_ratio", "How sure f is, over all bridges", "", 0.005, 0.20,
            "Standard deviation of the mean of f.", _EXP),
    _number("floor_spread_ratio", "How far f differs from bridge to bridge", "", 0.0, 0.20,
            "Standard deviation between bridges of one kind.", _EXP),
    _number("settle_days", "Days in which the loss settles, tau", "days", 20, 1000,
            "After this time 63 percent of the loss has happened.", _EXP),
    _number("settle_spread_factor", "How far tau differs from bridge to bridge", "", 1.05, 4.0,
            "As a factor either way.", _EXP),
)  # fmt: skip
SCATTER = (
    _number("reading_sd_ratio", "Scatter of one reading", "", 0.01, 0.20,
            "Standard deviation of a lift-off or load-cell reading, as a part of the force.", _OWNER),
    _number("day_sd_ratio", "Scatter of a day", "", 0.0, 0.20,
            "All bars of one day read high or low together, by moisture and temperature.", _OWNER),
    _number("bar_sd_ratio", "Scatter between neighbouring bars", "", 0.0, 0.40,
            "How far a bar lies from its neighbours: the whisker of a bar that was not read.", _OWNER),
    _number("stressing_sd_ratio", "Scatter of the force a stressing leaves", "", 0.0, 0.30,
            "How far the force left lies from the target where it was not read.", _OWNER),
    _number("band_ratio", "Width of the forecast's band", "", 0.50, 0.99,
            "0.80: four times in five the force lies within. The lower edge is what counts.", _OWNER),
)  # fmt: skip
READING = (
    _number("frost_below_f", "Frost: wood colder than", "°F", 10, 40,
            "Readings with colder and wet wood stay out of the fit of the loss and never out of the rating.",
            "cold deck sections lose force and recover it on warming, FPL-RP-605 (that they do is checked)"),
    _number("wet_above_pct", "and wetter than", "percent", 10, 40,
            "Moisture above which frost makes a reading low for a time.", "FPL-RP-605 (that wet wood loses more is "
            "checked)"),
    _number("repeat_within_pct", "Repeat readings agree within", "percent", 1, 20,
            "Greatest less least, in percent of their mean. Wider apart is asked about and kept.", _PRACTICE, 5.0),
    _number("sample_every", "At least every so many bars is read", "bars", 1, 6,
            "3: every third bar. Besides these, all bars near midspan and the bearings.", _OWNER, 3),
    _number("sample_near_ft", "All bars are read within, of midspan and bearings", "ft", 0, 50,
            "0 leaves this out.", _OWNER, 10.0),
)  # fmt: skip
DATES = (
    _number("retension_below_factor", "Re-tension at this times the floor", "", 1.0, 3.0,
            "The day the forecast's lower edge reaches the need or this times 40 psi, whichever is first.",
            _OWNER, 1.25),
    _number("lead_days", "Re-tension this long before a posting would change", "days", 0, 365,
            "Time to arrange the work, so that no sign has to be changed.", _OWNER, 60),
    _number("rerate_step_psi", "Rated again when the forecast moves by", "psi", 0.5, 20,
            "A smaller move of the pressure counted owes no new rating.", _OWNER, 2.0),
)  # fmt: skip
JACKING = (
    _number("e_transverse_ratio", "Stiffness across the grain, of that along it", "", 0.005, 0.05,
            "For how bars relax each other where nothing was measured.", "EM 7700-8 chapter 9, FPL-RP-495 [memory]",
            0.013),
    _number("shear_ratio", "Shear stiffness across, of E along the grain", "", 0.01, 0.10,
            "For how far along the span a pull is felt.", "EM 7700-8 chapter 9, FPL-RP-495 [memory]", 0.03),
    _number("seating_in", "Seating at lock-off", "in", 0.0, 0.25,
            "How much a stretched bar shortens when its nut takes the load. Measure it.", _OWNER, SEATING_IN),
    _number("lift_off_ratio", "The jack's peak over the force it leaves", "", 1.0, 1.30,
            "Lift-off included. The bar's limit is held against this peak.", _OWNER, LIFT_OFF_RATIO),
    _number("reach_ratio", "A pass is the last at this part of the target", "", 0.80, 1.0,
            "In the least bar.", _OWNER, REACH_RATIO),
    _number("disagree_pct", "Stop: gauge and elongation differ by", "percent", 1, 25,
            "A larger difference stops the day until the engineer has seen it.", _PRACTICE, 7.0),
    _number("sink_most_in", "Stop: a plate sinks by", "in", 0.02, 0.50,
            "Crushing under a plate loses force.", _OWNER, 0.125),
    _number("short_of_pct", "Stop: a bar stays short of its pull by", "percent", 0.5, 25,
            "A bar that does not reach its pull.", _OWNER, 5.0),
)  # fmt: skip
GROUPS: tuple[tuple[str, tuple[Setting, ...]], ...] = (
    ("Loss in time", LOSS),
    ("Scatter and band", SCATTER),
    ("Reading the bars", READING),
    ("Dates", DATES),
    ("Jacking", JACKING),
)
SETTINGS: dict[str, Setting] = {setting.name: setting for _heading, group in GROUPS for setting in group}
WHOLE = frozenset({"sample_every", "lead_days"})


def bar_policy_faults(values: Mapping) -> dict[str, str]:
    """Field -> sentence; `values` holds every setting of the table."""
    faults = {}
    for setting in SETTINGS.values():
        value = values.get(setting.name)
        span = f"{setting.least:g} to {setting.most:g} {setting.unit}".rstrip()
        if value is None:
            faults[setting.name] = f"{setting.label}: enter a number from {span}."
        elif not isfinite(value) or not setting.least <= value <= setting.most:
            faults[setting.name] = f"{setting.label} must be from {span}; {value:g} was entered."
        elif setting.name in WHOLE and value != int(value):
            faults[setting.name] = f"{setting.label}: enter a whole number; {value:g} was entered."
    return faults
