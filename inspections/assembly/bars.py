"""Bar rows and their readings to the pressure a rating may count on."""

from dataclasses import dataclass
from datetime import date

from inspections.models import Finding
from inspections.queries.bar_history import Pulled, pulls_of, read_after_pull
from inspections.queries.forecasts import lower_edges
from inspections.queries.inspections import RECEIVED, standing_findings
from inspections.rules.pressure import (
    BarPlace,
    Reading,
    SpanPressure,
    bar_standing,
    span_pressure,
    with_lower_edge,
    worst_bar_standing,
)
from inspections.vocabulary.findings import Change, FindingKind, ForceMethod
from inspections.vocabulary.states import InspectionState
from inventory.mechanics.rating import BarState
from inventory.mechanics.rating.hardware import BarHardware
from inventory.models import Bar, Span, StressingSystem, Structure
from inventory.queries.inspection_policy import policy_of

from .hardware import bar_hardware


@dataclass(frozen=True, kw_only=True)
class StructurePressures:
    """Pressure and hardware of every span with bars, by span index; the least of them; the word for the structure."""

    by_span: dict[int, SpanPressure]
    needed_psi: dict[int, float | None]
    hardware: dict[int, BarHardware]
    least_psi: float | None
    standing: str

    def standing_with(self, needs_psi: dict[str, float]) -> str:
        """The word for the structure where a rating has worked out the need of a span (by its label)."""
        return worst_bar_standing(
            (pressure.counted_psi, needs_psi.get(str(index), self.needed_psi.get(index)))
            for index, pressure in self.by_span.items()
        )


def bar_pressures(*, structure: Structure, as_of: date) -> StructurePressures:
    """What the bars of a structure are worth on a day: the lower of what the readings handed over by then give and the
    lower edge of the forecast that stands."""
    systems = list(StressingSystem.objects.filter(span__structure=structure).select_related("span"))
    if not systems:
        return StructurePressures(by_span={}, needed_psi={}, hardware={}, least_psi=None, standing=bar_standing(()))
    pulls = [pulled for pulled in pulls_of([structure.pk])[structure.pk] if pulled.on <= as_of]
    readings = _readings(structure, as_of, read_after_pull(pulls))
    edges = lower_edges(structure, as_of)
    interval_months = policy_of(structure.agency).bar_check_months
    by_span, hardware, findings = {}, {}, standing_findings(structure, as_of)
    for system in systems:
        bars = list(Bar.objects.filter(system=system))
        by_readings = span_pressure(
            bars=[BarPlace(bar=b.pk, number=b.number, level=b.level, station_ft=b.station_ft) for b in bars],
            readings=readings,
            span_ft=_deck_length_ft(system.span, bars),
            stressed_depth_in=system.stressed_depth_in,
            as_of=as_of,
            interval_months=interval_months,
            pulled_on=_last_pulls(system, bars, pulls),
        )
        by_span[system.span.index] = with_lower_edge(by_readings, edges.get(system.pk))
        hardware[system.span.index] = bar_hardware(system=system, bars=bars, findings=findings)
    pressures = [pressure.counted_psi for pressure in by_span.values()]
    known = [psi for psi in pressures if psi is not None]
    needed = {system.span.index: system.needed_pressure_psi for system in systems}
    return StructurePressures(
        by_span=by_span,
        needed_psi=needed,
        hardware=hardware,
        least_psi=min(known) if len(known) == len(pressures) else None,
        standing=worst_bar_standing((row.counted_psi, needed.get(index)) for index, row in by_span.items()),
    )


def _last_pulls(system: StressingSystem, bars: list[Bar], pulls: list[Pulled]) -> dict[str, date]:
    """The last day the bars of each level were pulled; a level nobody pulled is not in it."""
    found: dict[str, date] = {}
    for level in {bar.level for bar in bars}:
        days = [pulled.on for pulled in pulls if pulled.is_of(system.pk, level)]
        if days:
            found[level] = max(days)
    return found


def bar_state(*, span: Span, pressures: StructurePressures) -> BarState:
    """The kernel's bar state of one span; the reading date is that of the oldest reading relied on."""
    pressure = pressures.by_span.get(span.index)
    return BarState(
        least_local_pressure_psi=None if pressure is None else pressure.counted_psi,
        reading_date="" if pressure is None or pressure.oldest is None else pressure.oldest.isoformat(),
        butt_jointed=span.butt_jointed,
        joint_every=span.joint_every,
        interconnection_proven=span.interconnected,
        surface=span.surface_finish,
        needed_pressure_psi=pressures.needed_psi.get(span.index),
        hardware=pressures.hardware.get(span.index),
    )


def _deck_length_ft(span: Span, bars: list[Bar]) -> float:
    """Bars may sit a little beyond the bearings; the deck they squeeze is at least as long as they reach."""
    return max([span.length_ft, *(bar.station_ft for bar in bars)])


def _readings(structure: Structure, as_of: date, after_pull: dict[tuple[int, date], float]) -> list[Reading]:
    """Forces read, and bars found broken or missing, which hold nothing. What a finished stressing day read after its
    last pull stands for that day: the bar may have been read before the pull as well."""
    found = Finding.objects.filter(
        inspection__structure=structure,
        inspection__state__in=RECEIVED,
        inspection__field_completed_on__lte=as_of,
        bar__isnull=False,
    )
    rows = found.filter(kind=FindingKind.BAR_FORCE).values_list(
        "bar_id", "inspection__field_completed_on", "force_lb", "force_method", "inspection__state"
    )
    broken = (
        found.filter(kind=FindingKind.BROKEN)
        .exclude(change=Change.GONE)
        .values_list("bar_id", "inspection__field_completed_on")
    )
    told = [
        Reading(
            bar=bar,
            on=on,
            force_lb=after_pull.get((bar, on), force),
            method=method,
            is_sent_back=state == InspectionState.SENT_BACK,
        )
        for bar, on, force, method, state in rows
    ]
    return told + [Reading(bar=bar, on=on, force_lb=0.0, method=ForceMethod.HAND_LOOSE) for bar, on in broken]
