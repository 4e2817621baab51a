"""The settings of the inspection clocks: meaning, default, range, unit, source and mark of each.

One table for the page, the form, the checks and the clocks. Marks: checked, read in an official text or page;
checked-2nd, read in a second-hand copy; memory, recalled and to be compared with the official text before a county
relies on it; model, the owner's own choice. The State's manual comes before every one of them.
"""

from collections.abc import Mapping
from math import isfinite

from .rating_settings import Setting

_INTERVAL = "23 CFR 650.311"
_WORK = "23 CFR 650.313"
_RECORD = "23 CFR 650.315"
_PEOPLE = "23 CFR 650.309"
_OWNER = "owner policy"


def _whole(name, label, unit, default, least, most, meaning, source, mark) -> Setting:
    return Setting(
        name=name, label=label, kind="number", default=default, meaning=meaning, source=source, mark=mark, unit=unit,
        least=least, most=most,
    )  # fmt: skip


ROUTINE = (
    _whole("routine_months", "Routine, regular interval", "months", 24, 1, 48,
           "From the day the field work of the last routine or initial inspection was finished.",
           f"{_INTERVAL}(a)(1)", "checked-2nd"),
    _whole("routine_most_months", "Routine, the most a timber span may have", "months", 24, 12, 48,
           "No interval of a structure longer than 20 ft counts above this: for 48 months every span would have to be "
           "of concrete or steel.", f"{_INTERVAL}(a)(1), Method 1: derived from its rule of materials", "memory"),
    _whole("routine_reduced_months", "Routine, reduced interval", "months", 12, 1, 24,
           "Where deck, superstructure, substructure, culvert or observed scour is rated serious or worse.",
           f"{_INTERVAL}(a)(1)", "checked-2nd"),
    _whole("serious_rating", "Serious or worse: rated at most", "", 3, 3, 6,
           "The rating from which the reduced intervals hold, of components, scour, channel and underwater parts.",
           f"{_INTERVAL}(a)(1) and (b)", "checked-2nd"),
    _whole("short_months", "Not longer than 20 ft, regular interval", "months", 24, 1, 72,
           "The federal rule does not ask for these: the county's own policy, without its tolerance.", _OWNER, "model"),
    _whole("initial_months", "Initial inspection within", "months", 3, 1, 12,
           "After opening to traffic.", _WORK, "memory"),
)  # fmt: skip
OTHER_KINDS = (
    _whole("underwater_months", "Underwater, regular interval", "months", 60, 6, 72,
           "Where the structure had one, or a person asked for one.", f"{_INTERVAL}(b)", "checked"),
    _whole("underwater_reduced_months", "Underwater, reduced interval", "months", 24, 6, 60,
           "Where underwater condition, channel, channel protection or observed scour is serious or worse.",
           f"{_INTERVAL}(b); that channel, protection and underwater condition count too is memory", "checked-2nd"),
    _whole("in_depth_months", "In-depth, interval", "months", 60, 0, 240,
           "With moisture, probing and sample drilling. Timber practice: every 4 to 6 years; set a yearly "
           "one for a structure that is posted or decayed. 0: only where a person asks for one.",
           "timber practice, every 4 to 6 years after age 20", "model"),
    _whole("in_depth_from_years", "In-depth, from an age of", "years", 20, 0, 150,
           "Younger structures have one only where a person asks for it.",
           "timber practice, every 4 to 6 years after age 20", "model"),
    _whole("special_months", "Special, offered interval", "months", 12, 1, 60,
           "What the form offers where a person asks for a special inspection of a defect.",
           f"{_WORK}: at the owner's discretion", "memory"),
    _whole("bar_check_months", "Bar-force check, interval", "months", 24, 1, 60,
           "After the years in which a deck is young. A reading older than this counts as absent.",
           "every 2 to 5 years, Dahlberg and Wacker 2021 (the range of re-tensioning)", "model"),
)  # fmt: skip
TOLERANCE = (
    _whole("tolerance_short_months", "Tolerance, interval under 24 months", "months", 2, 0, 6,
           "To the end of this month after the month it was due. It never moves the due date.", f"{_INTERVAL}(e)",
           "memory"),
    _whole("tolerance_long_months", "Tolerance, interval of 24 months or more", "months", 3, 0, 6,
           "To the end of this month after the month it was due. It never moves the due date.", f"{_INTERVAL}(e)",
           "memory"),
)  # fmt: skip
EVENTS = (
    _whole("scour_visit_days", "Scour monitoring after high water", "days", 7, 0, 90,
           "From the day of the event. The plan of action of a scour critical bridge comes first.",
           f"{_WORK}(o) sets no number", "model"),
    _whole("damage_visit_days", "Damage inspection after a hit or another event", "days", 2, 0, 30,
           "From the day of the event. A bridge that may be unsafe is closed first and inspected afterwards.",
           f"{_WORK} sets no number", "model"),
)  # fmt: skip
SIGNS = (
    _whole("sign_up_days", "Signs up and seen standing", "days", 30, 1, 90,
           "From the day the rating showed the need.", f"{_WORK}(l)", "memory"),
    _whole("sign_missing_days", "A missing sign put back", "days", 30, 1, 90,
           "From the day it was seen missing or illegible.", f"{_WORK}(l)", "memory"),
    _whole("posting_days", "A proposed posting decided", "days", 30, 1, 90,
           "From the day it was proposed; a grave one at once. The signs have the same days, so decide early.",
           f"{_WORK}(l), derived", "memory"),
    _whole("rating_months", "Load rating after an inspection that asks for one", "months", 3, 1, 12,
           "After the initial inspection, or a change that warrants it.", f"{_WORK}(k)", "memory"),
    _whole("record_months", "In the inventory within", "months", 3, 1, 12,
           "After the month in which the field work was finished, for every kind of inspection.", _RECORD, "checked"),
)  # fmt: skip
CRITICAL = (
    _whole("critical_tell_hours", "Critical finding: the State is told within", "hours", 24, 0, 168,
           "From discovery. The federal 24 hours are for closures and steel tension members on the National Highway "
           "System, through the State; the State's own limit comes first.", f"{_WORK}(q)", "memory"),
    _whole("critical_plan_days", "Critical finding: plan of what is done within", "days", 30, 1, 90,
           "From discovery, which is not later than the day the State was told.",
           "one State's rule, from notification; ask your own State", "checked"),
    _whole("critical_status_days", "Critical finding: a status every", "days", 30, 1, 90,
           "Written, until it is resolved: monthly.", f"{_WORK}(q)", "checked-2nd"),
)  # fmt: skip
PEOPLE = (
    _whole("refresher_months", "Refresher training counts for", "months", 60, 12, 120,
           "Hours older than this no longer count.", _PEOPLE, "memory"),
    _whole("refresher_hours", "Refresher training in that time", "hours", 18, 0, 80,
           "Of approved training, for a team leader.", _PEOPLE, "memory"),
    _whole("qa_sample_pct", "Inspections done again by another", "percent", 5, 0, 100,
           "Of the year's inspections, drawn by chance.", f"{_WORK}(p) sets no number", "model"),
    _whole("qa_rating_differs", "A difference to be followed up: more than", "rating points", 1, 0, 4,
           "Between two people rating the same component.", _OWNER, "model"),
)  # fmt: skip
GROUPS: tuple[tuple[str, tuple[Setting, ...]], ...] = (
    ("Initial and routine inspections", ROUTINE),
    ("Other inspections", OTHER_KINDS),
    ("How late is too late", TOLERANCE),
    ("When something happened", EVENTS),
    ("Signs, ratings and the record", SIGNS),
    ("Critical findings", CRITICAL),
    ("People and quality", PEOPLE),
)
SETTINGS: dict[str, Setting] = {setting.name: setting for _heading, group in GROUPS for setting in group}
DEFAULTS: dict[str, int] = {name: setting.default for name, setting in SETTINGS.items()}

# What the federal rule allows at most, and what it asks for at least. The defaults are these numbers.
AT_MOST = (
    "routine_months", "routine_most_months", "routine_reduced_months", "initial_months", "underwater_months",
    "underwater_reduced_months", "tolerance_short_months", "tolerance_long_months", "sign_up_days",
    "sign_missing_days", "posting_days", "rating_months", "record_months", "critical_tell_hours",
    "critical_status_days", "refresher_months",
)  # fmt: skip
AT_LEAST = ("serious_rating", "refresher_hours")


def inspection_policy_faults(values: Mapping) -> dict[str, str]:
    """Field -> sentence; `values` holds every setting of the table, each a whole number within its range."""
    faults = {}
    for setting in SETTINGS.values():
        value = values.get(setting.name)
        span = f"{setting.least:g} to {setting.most:g} {setting.unit}".rstrip()
        if value is None:
            faults[setting.name] = f"{setting.label}: enter a number from {span}."
        elif not isfinite(value) or not setting.least <= value <= setting.most:
            faults[setting.name] = f"{setting.label} must be from {span}; {value:g} was entered."
        elif value != int(value):
            faults[setting.name] = f"{setting.label}: enter a whole number; {value:g} was entered."
    if not faults and values["routine_months"] > values["routine_most_months"]:
        faults["routine_months"] = (
            f"The regular interval of {values['routine_months']:g} months is longer than the most a timber span may "
            f"have, {values['routine_most_months']:g}: shorten it. Only where the State approved more in writing, "
            "raise the other too."
        )
    return faults


def longer_than_rule(values: Mapping) -> dict[str, str]:
    """Field -> sentence, for each setting that asks for less than the federal rule as this table has it.

    Not refused: a State may have an approved policy of its own. Asked about, and shown for as long as it stands.
    """
    told = {}
    for name in AT_MOST + AT_LEAST:
        setting, value = SETTINGS[name], values[name]
        beyond = value > setting.default if name in AT_MOST else value < setting.default
        if beyond:
            bound = "at most" if name in AT_MOST else "at least"
            told[name] = (
                f"{setting.label}: {setting.words(value)}, where the federal rule has {bound} "
                f"{setting.words(setting.default)} ({setting.source}, {setting.mark})."
            )
    return told
