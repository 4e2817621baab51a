"""What is known of every bar of a structure before it is read: for the entry sheet and its questions."""

from dataclasses import dataclass
from datetime import date

from inspections.models import Inspection
from inspections.rules.gauge import BarKnown, Gauge
from inspections.rules.sample import Sample, bars_to_read
from inventory.models import Bar, BarPolicy, Jack, StressingSystem, Structure
from inventory.queries.bars import bar_policy_of
from inventory.rules.calibration import Calibration, calibration_on

from .bar_history import pulls_of
from .bars import bars_set_aside
from .findings import last_bar_readings

PSI_PER_KSI = 1000.0


@dataclass(frozen=True, kw_only=True)
class BarsBefore:
    """Bars in the order of their places with what is known of each, the agency's jacks and its policy.

    By bar id: `known`, `aside` (why it is not jacked). By system id: `samples`, level -> the bars to read.
    `suggested` are the ids of the bars the policy would read.
    """

    bars: list[Bar]
    known: dict[int, BarKnown]
    last: dict
    aside: dict[int, str]
    samples: dict[int, dict[str, Sample]]
    suggested: frozenset[int]
    jacks: list[Jack]
    policy: BarPolicy

    def gauge(self, pk: int | None) -> Gauge | None:
        """The jack of an id as the rules take it; None where there is none."""
        jack = next((each for each in self.jacks if each.pk == pk), None)
        return None if jack is None else gauge_of(jack)

    def gauges(self) -> list[Gauge]:
        return [gauge_of(jack) for jack in self.jacks if jack.retired_on is None]

    def calibration(self, jack: Jack, as_of: date) -> Calibration:
        return calibration_on(as_of=as_of, calibrated_on=jack.calibrated_on, months=jack.calibration_months)


def gauge_of(jack: Jack) -> Gauge:
    """A jack as the rules of readings take it."""
    return Gauge(
        name=jack.name,
        ram_area_in2=jack.ram_area_in2,
        efficiency=jack.efficiency,
        capacity_lb=jack.capacity_lb,
        gauge_most_psi=jack.gauge_most_psi,
    )


def bars_before(structure: Structure, *, but: Inspection | None = None) -> BarsBefore:
    """Everything but what `but`, the inspection being entered, says itself. A retired jack it used is kept."""
    systems = list(StressingSystem.objects.filter(span__structure=structure).select_related("span"))
    bars = list(
        Bar.objects.filter(system__in=systems)
        .select_related("system__span")
        .order_by("system__span__index", "level", "station_ft", "number")
    )
    policy = bar_policy_of(structure.agency)
    samples = {system.pk: _samples(system, bars, policy) for system in systems}
    last = last_bar_readings(structure, but=but) if bars else {}
    return BarsBefore(
        bars=bars,
        known=_known(structure, bars, last) if bars else {},
        last=last,
        aside={pk: why for system in systems for pk, why in bars_set_aside(system).items()},
        samples={pk: {level: sample for level, (sample, _row) in found.items()} for pk, found in samples.items()},
        suggested=frozenset(
            row[index].pk for found in samples.values() for sample, row in found.values() for index in sample.indexes
        ),
        jacks=_jacks(structure, but) if bars else [],
        policy=policy,
    )


def _samples(system: StressingSystem, bars: list[Bar], policy: BarPolicy) -> dict[str, tuple[Sample, list[Bar]]]:
    found = {}
    for level in sorted({bar.level for bar in bars if bar.system_id == system.pk}):
        row = [bar for bar in bars if bar.system_id == system.pk and bar.level == level]
        sample = bars_to_read(
            [bar.station_ft for bar in row],
            span_ft=system.span.length_ft,
            every=policy.sample_every,
            near_ft=policy.sample_near_ft,
        )
        found[level] = sample, row
    return found


def _known(structure: Structure, bars: list[Bar], last: dict) -> dict[int, BarKnown]:
    pulls = pulls_of([structure.pk])[structure.pk]
    known = {}
    for bar in bars:
        system, reading = bar.system, last.get(bar.pk)
        read_on = reading.inspection.field_completed_on if reading else None
        known[bar.pk] = BarKnown(
            net_area_in2=system.bar_area_in2,
            tensile_psi=system.fpu_ksi * PSI_PER_KSI,
            last_lb=reading.force_lb if reading else None,
            last_on=read_on,
            design_lb=system.design_force_lb,
            spacing_in=system.spacing_in,
            thickness_in=system.stressed_depth_in,
            pulled_since=read_on is not None and any(p.on >= read_on and p.is_of(system.pk) for p in pulls),
        )
    return known


def _jacks(structure: Structure, but: Inspection | None) -> list[Jack]:
    used = set(but.findings.filter(jack__isnull=False).values_list("jack_id", flat=True)) if but else set()
    rows = Jack.objects.filter(agency=structure.agency).order_by("name", "pk")
    return [jack for jack in rows if jack.retired_on is None or jack.pk in used]
