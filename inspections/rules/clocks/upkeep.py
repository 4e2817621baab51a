"""When surfacing is renewed and timber treated: the earlier of last action plus interval, and the day what is watched
reached its limit. The reason shows both and says which governs."""

from dataclasses import dataclass
from datetime import date

from inspections.vocabulary.states import ReminderKind
from inventory.vocabulary.structures import Preservative, SurfaceMaterial, TreatmentKind

from . import intervals
from .months import add_months, add_years
from .terms import Due, Policy, clip, count, day

WEARING = (
    SurfaceMaterial.ASPHALT,
    SurfaceMaterial.CHIP_SEAL,
    SurfaceMaterial.GRAVEL,
    SurfaceMaterial.PLANK,
    SurfaceMaterial.CONCRETE,
    SurfaceMaterial.OTHER,
)


@dataclass(frozen=True, kw_only=True)
class Layer:
    """A layer standing on the deck."""

    material: str
    laid_on: date


@dataclass(frozen=True, kw_only=True)
class SurfaceFacts:
    """Layers not removed, in the order laid; the last resurfacing on record without its layers; the days on which
    exposed wood or potholes over a tenth of the deck, or in condition state 3 or worse, were found; and the last
    whole inspection, which clears them if it does not find them again."""

    registered_on: date
    has_bars: bool = False
    layers: tuple[Layer, ...] = ()
    resurfaced_on: date | None = None
    broken_found_on: tuple[date, ...] = ()
    inspected_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class Treated:
    """One treatment of one part."""

    part: str
    kind: str
    preservative: str
    on: date


@dataclass(frozen=True, kw_only=True)
class TreatmentFacts:
    """Treatments on record, and treatment work entered without its particulars."""

    registered_on: date
    opened_on: date | None = None
    treated: tuple[Treated, ...] = ()
    worked_on: date | None = None


def surface_life(facts: SurfaceFacts, policy: Policy) -> tuple[int, str] | None:
    """Years the top layer lasts and what it is; None for bare, concrete and gravel decks or where nothing is recorded.

    The lower end of the published life. The agency's figure stands for asphalt over a membrane; for a weaker surface
    it may shorten the life, not stretch it.
    """
    years = max(1, policy.resurfacing_years)
    top = next((layer for layer in reversed(facts.layers) if layer.material in WEARING), None)
    if top is None:
        return (years, "surfacing") if facts.resurfaced_on else None
    if top.material in (SurfaceMaterial.CONCRETE, SurfaceMaterial.GRAVEL):
        return None
    if top.material == SurfaceMaterial.ASPHALT:
        if any(layer.material == SurfaceMaterial.MEMBRANE for layer in facts.layers):
            return years, "asphalt over a membrane"
        return min(years, intervals.LIFE_ASPHALT.number), "asphalt without a membrane"
    table = {
        SurfaceMaterial.CHIP_SEAL: intervals.LIFE_CHIP_SEAL,
        SurfaceMaterial.PLANK: intervals.LIFE_PLANK,
    }
    life = table.get(SurfaceMaterial(top.material))
    label = SurfaceMaterial.label_of(top.material).lower()
    return (min(years, life.number), label) if life else (years, label)


def last_surfaced_on(facts: SurfaceFacts) -> date | None:
    """The day the wearing surface was last renewed."""
    laid = [layer.laid_on for layer in facts.layers if layer.material in WEARING]
    return max([*laid, *([facts.resurfaced_on] if facts.resurfaced_on else [])], default=None)


def broken_since(facts: SurfaceFacts) -> date | None:
    """The first day since the last renewal on which the surface was found broken, unless a later inspection did not
    find it so."""
    last = last_surfaced_on(facts)
    found = [on for on in facts.broken_found_on if last is None or on > last]
    if not found or (facts.inspected_on is not None and max(found) < facts.inspected_on):
        return None
    return min(found)


def surface_due(facts: SurfaceFacts, policy: Policy) -> Due | None:
    """The day the standing surface should be renewed: the earlier of its age and of what an inspection found."""
    life, last, broken_on = surface_life(facts, policy), last_surfaced_on(facts), broken_since(facts)
    if last is None or (life is None and broken_on is None):
        return None
    said, days = [], []
    if life is not None:
        years, what = life
        by_age, note = _not_before_entry(add_years(last, years), facts.registered_on)
        days.append(by_age)
        said.append(f"{what} of {day(last)} lasts {count(years, 'year')}, to {day(add_years(last, years))}{note}")
    if broken_on is not None:
        days.append(broken_on)
        said.append(f"potholes or exposed wood were found on {day(broken_on)}")
    due_on = min(days)
    if len(days) == 2:
        said.append("the finding governs" if due_on == broken_on else "the age governs")
    first = "Re-tension the bars first; any" if facts.has_bars else "Any"
    sentence = f"Renew the surfacing: {'; '.join(said)}. {first} change of weight calls for a new rating."
    return Due(
        kind=ReminderKind.RESURFACING, due_on=due_on, late_after=due_on, counted_from=last, reason=clip(sentence)
    )


def _not_before_entry(due_on: date, registered_on: date) -> tuple[date, str]:
    """An upkeep date from before the register knew the structure is planned within a year of entry, and said so."""
    if due_on >= registered_on:
        return due_on, ""
    return add_months(registered_on, intervals.BACKLOG.number), ", before it entered this register: plan it in a year"


def treatment_years(kind: str, preservative: str, policy: Policy) -> int:
    """Years until a part is treated again: 7 after a fumigant, 5 after internal borate, else the agency's figure."""
    if kind == TreatmentKind.INTERNAL:
        if preservative == Preservative.FUMIGANT:
            return intervals.FUMIGANT.number
        if preservative == Preservative.BORATE:
            return intervals.BORATE.number
    return max(1, policy.treatment_years)


def last_treated_on(facts: TreatmentFacts) -> date | None:
    """The day any part was last treated."""
    days = [treated.on for treated in facts.treated] + ([facts.worked_on] if facts.worked_on else [])
    return max(days, default=None)


def treatment_due(facts: TreatmentFacts, policy: Policy) -> Due:
    """The earliest day on which a part falls due for treatment; the part that governs is named."""
    latest: dict[str, Treated] = {}
    for treated in sorted(facts.treated, key=lambda one: one.on):
        latest[treated.part.strip().lower()] = treated
    # The plant treats once; what is renewed in the field are the ends, checks and bores. Once any part was treated in
    # place, the clock runs from the places treated, not from the plant.
    if any(one.kind != TreatmentKind.PRESSURE for one in latest.values()):
        latest = {part: one for part, one in latest.items() if one.kind != TreatmentKind.PRESSURE}
    if facts.worked_on:
        # Work entered without its particulars is taken for the whole timber, at the agency's interval.
        work = Treated(part="all timber", kind=TreatmentKind.SURFACE, preservative="unknown", on=facts.worked_on)
        latest = {part: one for part, one in latest.items() if one.on > work.on} | (
            {}
            if any(one.on > work.on and part == "all timber" for part, one in latest.items())
            else {"all timber": work}
        )
    if not latest:
        return _never_treated(facts, policy)
    dated = [(add_years(one.on, treatment_years(one.kind, one.preservative, policy)), one) for one in latest.values()]
    by_rule, first = min(dated, key=lambda pair: (pair[0], pair[1].part))
    due_on, note = _not_before_entry(by_rule, facts.registered_on)
    years = treatment_years(first.kind, first.preservative, policy)
    label = TreatmentKind.label_of(first.kind).lower()
    sentence = f"Treat {first.part}: {count(years, 'year')} after the {label} of {day(first.on)}"
    sentence += f", so by {day(by_rule)}{note}" if note else ""
    sentence += "; the earliest of the parts on record governs." if len(latest) > 1 else "."
    return Due(
        kind=ReminderKind.TREATMENT, due_on=due_on, late_after=due_on, counted_from=first.on, reason=clip(sentence)
    )


def _never_treated(facts: TreatmentFacts, policy: Policy) -> Due:
    """No treatment on record: looked up or done within a year of entering the register, not before the interval."""
    due_on = add_months(facts.registered_on, intervals.BACKLOG.number)
    counted_from = facts.registered_on
    if facts.opened_on:
        due_on = max(due_on, add_years(facts.opened_on, max(1, policy.treatment_years)))
        counted_from = min(facts.opened_on, facts.registered_on)
    sentence = "No treatment is on record: enter the treatment of the timber, or survey and treat it."
    return Due(
        kind=ReminderKind.TREATMENT, due_on=due_on, late_after=due_on, counted_from=counted_from, reason=sentence
    )
