"""From a row of bars and what a person asks of it to the kernel's input of a stressing plan, with every source."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from inspections.rules.force_or_pressure import looks_like_pressure
from inspections.rules.stressing.asked import VALUES, DayAsked, Fault, asked_faults, place_faults
from inventory.mechanics.bars.jacking.terms import JackKit, PlanInput, PlannedBar, Squeezed
from inventory.mechanics.plain import Plain
from inventory.models import Jack
from inventory.queries.bars import jacks_in_use
from inventory.rules.calibration import calibration_on

from .stressed_wood import OnRecord
from .stressing_row import RowOnRecord

IN_PER_FT = 12.0


@dataclass(frozen=True, kw_only=True)
class Source(Plain):
    """An input of the plan as printed: what it is, its value and where it comes from; ``is_own`` changed by hand."""

    name: str
    words: str
    value: float | None
    unit: str
    source: str
    is_own: bool = False


@dataclass(frozen=True, kw_only=True)
class Assembled:
    """The kernel's input, or why there is none: (field, sentence). ``notes`` are told with the plan."""

    given: PlanInput | None
    faults: tuple[Fault, ...]
    sources: tuple[Source, ...]
    notes: tuple[str, ...] = ()


def plan_input(*, row: RowOnRecord, asked: DayAsked, today: date) -> Assembled:
    """The kernel's input for what is asked of a row, or every reason against it, each at its field."""
    in_use = {jack.pk: jack for jack in jacks_in_use(row.system.span.structure.agency)}
    numbers = [bar.number for bar in row.bars]
    faults = asked_faults(
        asked,
        today=today,
        spacing_in=row.system.spacing_in,
        thickness_in=asked.values.get("thickness_in") or row.values["thickness_in"].value,
        net_area_in2=row.net_area_in2,
        tensile_psi=row.tensile_psi,
        jacks=list(in_use),
        bar_numbers=numbers,
        left_out=list(row.left_out),
    )
    values, sources, missing = _values(row, asked)
    faults += missing + place_faults([(bar.number, bar.station_ft) for bar in row.bars], row.length_ft)
    bars, unknown, notes = _planned_bars(row, asked)
    faults += unknown
    if not any(bar.is_planned for bar in bars):
        faults.append(("", "No bar of this row may be pulled: see why each is left out, or ask the engineer."))
    if faults:
        return Assembled(given=None, faults=tuple(faults), sources=sources, notes=tuple(notes))
    jacks = [in_use[pk] for pk in asked.jack_ids]
    return Assembled(
        given=_given(row, asked, values, bars, jacks),
        faults=(),
        sources=sources,
        notes=tuple(notes + _told(row, jacks, _day(row, asked))),
    )


def _values(row: RowOnRecord, asked: DayAsked) -> tuple[dict, tuple[Source, ...], list[Fault]]:
    """Every number of the plan: as changed by hand, else as on record; what is needed and missing."""
    values, sources, missing = {}, [], []
    for each in VALUES:
        own, held = asked.values.get(each.name), row.values[each.name]
        value = held.value if own is None else float(own)
        if value is None and each.is_needed:
            missing.append((f"value-{each.name}", f"{each.words}: {held.source}. Enter it."))
        elif value is not None and not each.least <= value <= each.most:
            missing.append(
                (
                    f"value-{each.name}",
                    f"{each.words}: {value:g} {each.unit} is outside {each.least:g} to {each.most:g}; enter it again.",
                )
            )
        values[each.name] = value
        sources.append(
            Source(
                name=each.name,
                words=each.words,
                value=value,
                unit=each.unit,
                source=held.source if own is None else f"entered for this plan; on record: {_held_words(held)}",
                is_own=own is not None,
            )
        )
    return values, tuple(sources), missing


def _held_words(held: OnRecord) -> str:
    return f"{held.value:,.6g}, {held.source}" if held.value is not None else held.source


def _planned_bars(row: RowOnRecord, asked: DayAsked) -> tuple[list[PlannedBar], list[Fault], list[str]]:
    bars, unknown, notes, taken = [], [], [], []
    for bar in row.bars:
        own = asked.standing_lb.get(str(bar.number))
        standing = bar.standing_lb if own is None else own
        if standing is None and (asked.purpose == "stressing" or bar.left_out):
            standing = 0.0
            taken.append(bar.number)
        if standing is None:
            unknown.append(
                (
                    f"standing-{bar.number}",
                    f"Bar {bar.number}: {bar.standing_words}. Enter the force standing in it, 0 where it is loose.",
                )
            )
        elif own is not None and not asked.low_is_right and (question := _question(row, bar, asked, own)):
            unknown.append((f"standing-{bar.number}", f"Bar {bar.number}: {question}"))
        bars.append(
            PlannedBar(
                name=str(bar.number),
                station_in=bar.station_ft * IN_PER_FT,
                net_area_in2=row.net_area_in2,
                tensile_psi=row.tensile_psi,
                standing_lb=standing or 0.0,
                target_lb=asked.target_lb,
                is_planned=not bar.left_out,
                why_not=bar.left_out,
            )
        )
    if taken:
        names = ", ".join(str(number) for number in taken)
        notes.append(f"Nothing is known of the force in bars {names}: taken as not engaged, 0 lb.")
    return bars, unknown, notes


def _question(row: RowOnRecord, bar, asked: DayAsked, own_lb: float) -> str:
    """Whether a force entered by hand may be a pressure: held against the record, else against the target."""
    return looks_like_pressure(
        force_lb=own_lb,
        expected_lb=bar.standing_lb or asked.target_lb,
        spacing_in=row.system.spacing_in,
        thickness_in=row.system.stressed_depth_in,
        ram_lb_per_psi=_ram_lb_per_psi(row, asked),
    )


def _ram_lb_per_psi(row: RowOnRecord, asked: DayAsked) -> float | None:
    jack = jacks_in_use(row.system.span.structure.agency).filter(pk__in=asked.jack_ids).first()
    return None if jack is None else jack.ram_area_in2 * jack.efficiency


def _given(row: RowOnRecord, asked: DayAsked, values: dict, bars: list[PlannedBar], jacks: Sequence[Jack]) -> PlanInput:
    deck_names = ("deck_length_in", "deck_width_in", "thickness_in", "e_transverse_psi", "shear_modulus_psi",
                  "bearing_length_in", "bar_length_in", "bar_modulus_psi")  # fmt: skip
    deck = Squeezed(
        **{name: values[name] for name in deck_names}, neighbour_losses_ratio=tuple(asked.neighbour_losses_ratio)
    )
    if row.learned is not None and not asked.neighbour_losses_ratio:
        deck = replace(deck, wood_factor=row.learned.wood_factor, reach_factor=row.learned.reach_factor)
    index = {bar.number: place for place, bar in enumerate(row.bars)}
    return PlanInput(
        deck=deck,
        bars=tuple(bars),
        jacks=tuple(jack_kit(jack, _day(row, asked), _name(jack, jacks)) for jack in jacks),
        order=asked.order,
        given_order=tuple(index[number] for number in asked.given_order) if asked.order == "given" else (),
        method=asked.method,
        pass_count=asked.pass_count,
        first_pass_ratio=asked.first_pass_ratio,
        seating_in=values["seating_in"],
        lift_off_ratio=values["lift_off_ratio"],
        reach_ratio=values["reach_ratio"],
        plate_limit_lb=values["plate_limit_lb"],
        flange_limit_psi=values["flange_limit_psi"],
        needed_psi=values["needed_psi"],
    )


def _name(jack: Jack, jacks: Sequence[Jack]) -> str:
    """Its name, with the serial where two bear the same."""
    return str(jack) if [each.name for each in jacks].count(jack.name) > 1 else jack.name


def jack_kit(jack: Jack, on: date, name: str) -> JackKit:
    """A jack with its gauge as the kernel knows it; the calibration in words for the sheet."""
    held = calibration_on(as_of=on, calibrated_on=jack.calibrated_on, months=jack.calibration_months)
    return JackKit(
        name=name,
        ram_area_in2=jack.ram_area_in2,
        efficiency=jack.efficiency,
        gauge_division_psi=jack.gauge_division_psi,
        capacity_lb=jack.capacity_lb,
        gauge_most_psi=jack.gauge_most_psi,
        calibration_words=held.words,
    )


def _day(row: RowOnRecord, asked: DayAsked) -> date:
    """The day of the work: calibrations are held against it."""
    return date.fromisoformat(asked.planned_for) if asked.planned_for else row.as_of


def _told(row: RowOnRecord, jacks: Sequence[Jack], on: date) -> list[str]:
    """What the planner is told beside the plan: jacks out of calibration, what was learned."""
    told = []
    for jack in jacks:
        held = calibration_on(as_of=on, calibrated_on=jack.calibrated_on, months=jack.calibration_months)
        if held.warns:
            told.append(
                f"{jack}: {held.words}. On the day of the work it may not be used without the engineer's reason."
            )
    if row.learned is not None:
        told.append(f"How far a pull is felt: {row.learned_words}.")
    return told
