"""What a person asks of a stressing day, and whether it can be planned so: plain values in, sentences out.

A target force never has a default: it comes from the design or the engineer. The plausibility limits here are the
project's own [model]; the limits of steel and wood are the kernel's. 25,000 to 80,000 lb are usual forces of one bar
(Ritter, Wacker, Duwadi 1995 [checked]); common practice, no source: about 20,000 lb in a first round at erection.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date

from inventory.mechanics.bars import bar_limit_lb
from inventory.mechanics.bars.jacking.terms import METHODS, ORDERS
from inventory.mechanics.plain import Plain

PURPOSES = {"stressing": "Stressing at erection", "retension": "Re-tension"}
ORDER_WORDS = {
    "midspan_outward": "From midspan outward, alternating",
    "end_to_end": "From one end to the other",
    "every_second": "Every second bar, then the rest",
    "given": "In the order written below",
}
METHOD_WORDS = {
    "one_pass": "One pass, the first bars pulled above the target, then a pass that repairs what is left",
    "equal_passes": "Equal passes, every bar to the target each time",
}
MOST_JACKS = 4
MOST_PASSES = 12
LEAST_PSI, MOST_PSI = 15.0, 250.0
"""A target that presses the wood less or more than this is asked about: a gauge pressure typed as a force gives a few
psi, a force in the wrong unit gives hundreds (100 psi is the usual pressure at stressing) [model]."""
Fault = tuple[str, str]
"""The field it stands at ("" for none) and the sentence."""


@dataclass(frozen=True, kw_only=True)
class ValueAsked:
    """A number of the plan that the planner may change, with its range."""

    name: str
    words: str
    unit: str
    least: float
    most: float
    is_needed: bool = True


VALUES = (
    ValueAsked(name="deck_length_in", words="Length of the deck along the bars' row", unit="in", least=24, most=4800),
    ValueAsked(name="deck_width_in", words="Width of the deck between bulkheads", unit="in", least=24, most=1200),
    ValueAsked(name="thickness_in", words="Thickness the bars squeeze", unit="in", least=2, most=60),
    ValueAsked(
        name="bearing_length_in", words="Length of edge one plate or channel presses", unit="in", least=1, most=120
    ),
    ValueAsked(
        name="bar_length_in", words="Bar from nut to nut, the jack's pulling nut included", unit="in", least=24,
        most=1400,
    ),
    ValueAsked(name="bar_modulus_psi", words="E of the bar", unit="psi", least=20e6, most=32e6),
    ValueAsked(name="e_transverse_psi", words="E across the grain, pressed wood", unit="psi", least=1e3, most=3e5),
    ValueAsked(name="shear_modulus_psi", words="G between the bar lines", unit="psi", least=1e3, most=5e5),
    ValueAsked(name="seating_in", words="Seating at lock-off, lost from the stretch", unit="in", least=0, most=0.5),
    ValueAsked(
        name="lift_off_ratio", words="Jack's peak over the force set, lift-off included", unit="", least=1, most=1.25
    ),
    ValueAsked(name="reach_ratio", words="Part of the target every bar must have", unit="", least=0.5, most=1),
    ValueAsked(
        name="plate_limit_lb", words="Greatest force the anchorage allows", unit="lb", least=1000, most=500000,
        is_needed=False,
    ),
    ValueAsked(
        name="flange_limit_psi", words="Greatest pressure the deck or flange allows", unit="psi", least=20, most=2000,
        is_needed=False,
    ),
    ValueAsked(
        name="needed_psi", words="Pressure needed before traffic returns", unit="psi", least=1, most=500,
        is_needed=False,
    ),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class DayAsked(Plain):
    """What the planner asks for. ``values`` are numbers changed by hand (``VALUES``); ``standing_lb`` forces entered
    by hand, by bar number; ``low_is_right`` where forces so low that a pressure may have been typed are meant so;
    ``given_order`` bar numbers. None of the rest of the record is repeated here."""

    target_lb: float
    target_source: str
    purpose: str = "retension"
    planned_for: str = ""
    crew: str = ""
    note: str = ""
    jack_ids: tuple[int, ...] = ()
    order: str = "midspan_outward"
    given_order: tuple[int, ...] = ()
    method: str = "one_pass"
    pass_count: int | None = None
    first_pass_ratio: float = 1.0
    neighbour_losses_ratio: tuple[float, ...] = ()
    values: dict[str, float] = field(default_factory=dict)
    standing_lb: dict[str, float] = field(default_factory=dict)
    low_is_right: bool = False


def asked_faults(
    asked: DayAsked,
    *,
    today: date,
    spacing_in: float,
    thickness_in: float,
    net_area_in2: float,
    tensile_psi: float,
    jacks: Collection[int],
    bar_numbers: Collection[int],
    left_out: Collection[int],
) -> list[Fault]:
    """Why this cannot be planned, each at its field: the target, the day, the jacks, the order, forces entered.

    ``jacks`` are the row ids of the agency's jacks in use; ``left_out`` the numbers of bars not in the plan.
    """
    found = target_faults(
        target_lb=asked.target_lb,
        source=asked.target_source,
        spacing_in=spacing_in,
        thickness_in=thickness_in,
        net_area_in2=net_area_in2,
        tensile_psi=tensile_psi,
    )
    found += _day_faults(asked, today)
    found += _jack_faults(asked, jacks)
    found += order_faults(asked, bar_numbers, left_out)
    most = bar_limit_lb(net_area_in2=net_area_in2, tensile_psi=tensile_psi)
    return found + standing_faults(asked.standing_lb, bar_numbers, most)


def target_faults(
    *,
    target_lb: float,
    source: str,
    spacing_in: float,
    thickness_in: float,
    net_area_in2: float,
    tensile_psi: float,
) -> list[Fault]:
    """A target above the bar's limit, implausible by the pressure it makes, or without its source."""
    found: list[Fault] = []
    if not source.strip():
        found.append(
            ("target_source", "Say where the target comes from: the design sheet, or the engineer and the date.")
        )
    most = bar_limit_lb(net_area_in2=net_area_in2, tensile_psi=tensile_psi)
    pressure = target_lb / (spacing_in * thickness_in)
    if target_lb > most:
        found.append(
            (
                "target_lb",
                f"{target_lb:,.0f} lb is above the bar's limit of {most:,.0f} lb (0.70 of its tensile strength on the "
                "net area): check the target and its unit.",
            )
        )
    elif not LEAST_PSI <= pressure <= MOST_PSI:
        hint = "Was a gauge pressure typed, or kip?" if pressure < LEAST_PSI else "Check the number and its unit."
        found.append(
            (
                "target_lb",
                f"{target_lb:,.0f} lb per bar would press the wood with {pressure:.1f} psi, outside {LEAST_PSI:g} to "
                f"{MOST_PSI:g} psi. {hint} Give the force of one bar in lb.",
            )
        )
    return found


def _day_faults(asked: DayAsked, today: date) -> list[Fault]:
    found: list[Fault] = []
    if asked.planned_for and date.fromisoformat(asked.planned_for) < today:
        found.append(("planned_for", "The planned day is past: give today or a later day."))
    for name, value, known in (
        ("purpose", asked.purpose, PURPOSES),
        ("order", asked.order, ORDERS),
        ("method", asked.method, METHODS),
    ):
        if value not in known:
            found.append((name, f"“{value}” is none of {', '.join(known)}: choose one of the list."))
    if asked.pass_count is not None and not 1 <= asked.pass_count <= MOST_PASSES:
        found.append(("pass_count", f"Give 1 to {MOST_PASSES} passes, or leave it empty for as many as it takes."))
    if any(not 0 <= ratio < 0.5 for ratio in asked.neighbour_losses_ratio) or len(asked.neighbour_losses_ratio) > 3:
        found.append(
            (
                "neighbour_losses",
                "Give at most three measured losses, first neighbour first, each a part of the rise from 0 to 0.5 "
                "such as 0.14, 0.06, 0.03.",
            )
        )
    return found


def _jack_faults(asked: DayAsked, jacks: Collection[int]) -> list[Fault]:
    if not asked.jack_ids:
        return [("jacks", "Choose at least one jack: without its ram area and gauge no pressure can be given.")]
    if len(asked.jack_ids) > MOST_JACKS:
        return [("jacks", f"At most {MOST_JACKS} jacks pull at once: take some out of the choice.")]
    if len(set(asked.jack_ids)) != len(asked.jack_ids):
        return [("jacks", "A jack is chosen twice: choose each once.")]
    if any(pk not in jacks for pk in asked.jack_ids):
        return [("jacks", "A jack chosen is not among the county's jacks in use (retired since?): choose again.")]
    return []


def order_faults(asked: DayAsked, bar_numbers: Collection[int], left_out: Collection[int]) -> list[Fault]:
    """An order written by hand names every bar of the plan once, and no other."""
    if asked.order != "given":
        return []
    wanted = [number for number in bar_numbers if number not in left_out]
    told = list(asked.given_order)
    missing = [n for n in wanted if n not in told]
    foreign = [n for n in told if n not in wanted]
    twice = sorted({n for n in told if told.count(n) > 1})
    parts = [
        f"{word} {_numbers(numbers)}"
        for word, numbers in (("missing:", missing), ("not in this plan:", foreign), ("twice:", twice))
        if numbers
    ]
    if not parts:
        return []
    return [("given_order", f"Write every bar of the plan once, in the order of the pulls; {'; '.join(parts)}.")]


def standing_faults(standing_lb: Mapping[str, float], bar_numbers: Collection[int], most_lb: float) -> list[Fault]:
    """Forces entered by hand: of bars that exist, not negative, not above what a bar may carry."""
    found: list[Fault] = []
    for number, force in standing_lb.items():
        if int(number) not in bar_numbers:
            found.append(("", f"There is no bar {number} in this row: open the page again."))
        elif force < 0:
            found.append((f"standing-{number}", f"Bar {number}: a force is never negative; give 0 for a loose bar."))
        elif force > most_lb:
            found.append(
                (
                    f"standing-{number}",
                    f"Bar {number}: {force:,.0f} lb is above the bar's limit of {most_lb:,.0f} lb; read it again "
                    "before anything is planned.",
                )
            )
    return found


def place_faults(places: Collection[tuple[int, float]], length_ft: float) -> list[Fault]:
    """Bars at one place, or off the deck: (number, station ft)."""
    found: list[Fault] = []
    by_station: dict[float, list[int]] = {}
    for number, station in places:
        by_station.setdefault(round(station, 4), []).append(number)
        if not 0 <= station <= length_ft:
            found.append(
                ("", f"Bar {number} stands at {station:g} ft, off the deck of {length_ft:g} ft: correct the record.")
            )
    for station, numbers in by_station.items():
        if len(numbers) > 1:
            found.append(("", f"Bars {_numbers(numbers)} stand at one place, {station:g} ft: correct the record."))
    return found


def _numbers(numbers: Collection[int]) -> str:
    return ", ".join(str(number) for number in numbers)
