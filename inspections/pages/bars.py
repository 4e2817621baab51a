"""Bar force along each span: what the rating counts, against the least pressure, the need and the design force."""

from datetime import date

from django.http import HttpRequest
from django.utils import timezone
from django.utils.safestring import mark_safe

from inspections.assembly.bars import bar_pressures
from inspections.drawings.bar_force import BarPoint, ForceLevel, Stretch, bar_profile
from inspections.models import BarForecast, Finding, Rating
from inspections.queries.bar_forces import force_findings, last_lock_offs
from inspections.queries.bar_history import pulls_of
from inspections.queries.bars import bars_set_aside
from inspections.queries.forecasts import bar_estimates, forecasts_of
from inspections.queries.ratings import current_rating
from inspections.rules.bar_profile import BarPlace, Estimate, Known, bar_places, force_at_lb, worst_stretch
from inspections.rules.clocks.intervals import BAR_FLOOR_PSI
from inspections.rules.pressure import SpanPressure
from inventory.models import Standing, StressingSystem, Structure
from inventory.vocabulary.structures import BarStanding

from .bar_readings import reading_notes
from .force_curve import curve_parts
from .forecast import short_parts
from .pressed import pressed_parts

LEVEL_WORDS = {"mid": "", "top": ", top bars", "bottom": ", bottom bars"}


def load(request: HttpRequest, structure: Structure) -> dict | None:
    systems = list(StressingSystem.objects.filter(span__structure=structure).select_related("span").order_by("span"))
    if not systems:
        return None
    as_of = timezone.localdate()
    rating = current_rating(structure)
    standing = Standing.objects.filter(structure=structure).first()
    return {
        "profiles": profiles(structure, systems, rating, as_of),
        "standing": standing,
        "bar_words": BarStanding.label_of(standing.bar_state) if standing else "",
        "floor_psi": BAR_FLOOR_PSI,
        "rating": rating,
        "curves": curve_parts(rating),
        "forecasts": short_parts(structure, as_of),
        "pressed": pressed_parts(rating),
    }


def profiles(structure: Structure, systems: list[StressingSystem], rating: Rating | None, as_of: date) -> list[dict]:
    """One part for each row of bars: drawing, table, worst stretch and what is set aside."""
    pressures = bar_pressures(structure=structure, as_of=as_of)
    findings = force_findings(structure, as_of)
    notes = reading_notes(findings)
    forecasts = list(forecasts_of(structure))
    pulls = [pulled for pulled in pulls_of([structure.pk])[structure.pk] if pulled.on <= as_of]
    needs = {str(row["span"]): row["curve"]["needed_psi"] for row in _curves(rating) if row["curve"]}
    found = []
    for system in systems:
        pressure = pressures.by_span[system.span.index]
        needed_psi = system.needed_pressure_psi or needs.get(str(system.span.index))
        places = bar_places(
            pressure,
            needed_psi=needed_psi,
            spacing_in=system.spacing_in,
            thickness_in=system.stressed_depth_in,
            lock_offs=_lock_offs(findings),
            estimates=_estimates(forecasts, system),
        )
        common = {
            "system": system,
            "pressure": pressure,
            "aside": bars_set_aside(system),
            "notes": _notes_by_bar(findings, notes),
            "needed_psi": needed_psi,
        }
        for level in sorted({place.level for place in places}):
            row = [place for place in places if place.level == level]
            pulled_on = max((p.on for p in pulls if p.is_of(system.pk, level)), default=None)
            found.append(_profile(row, level=level, stressed_on=pulled_on, **common))
    return found


def _curves(rating: Rating | None) -> list[dict]:
    return rating.results.get("force_curve", []) if rating else []


def _lock_offs(findings: list[Finding]) -> dict[int, Known]:
    return {
        pk: Known(force_lb=row.force_lb, on=row.inspection.field_completed_on)
        for pk, row in last_lock_offs(findings).items()
    }


def _estimates(forecasts: list[BarForecast], system: StressingSystem) -> dict[int, Estimate]:
    """Bar id to what the forecast that stands says of a bar it has no reading of."""
    found = {}
    for forecast in forecasts:
        if forecast.system_id == system.pk and not forecast.problem:
            found |= bar_estimates(forecast)
    return found


def _notes_by_bar(findings: list[Finding], notes: dict[int, list[dict]]) -> dict[tuple, list[dict]]:
    """(bar id, day read) to what is said of that reading; of several on one day the first entered last."""
    return {(row.bar_id, row.inspection.field_completed_on): notes[row.pk] for row in findings}


def _profile(
    row: list[BarPlace],
    *,
    level: str,
    system: StressingSystem,
    pressure: SpanPressure,
    aside: dict[int, str],
    notes: dict,
    needed_psi: float | None,
    stressed_on: date | None,
) -> dict:
    span = system.span
    title = f"Bar force, span {span.index}{LEVEL_WORDS.get(level, f', {level} bars')}"
    worst = worst_stretch(
        row, length_ft=pressure.bars.span_ft, thickness_in=system.stressed_depth_in, span_ft=span.length_ft
    )
    drawing = bar_profile(
        [_point(place) for place in row],
        _levels(system, needed_psi),
        span_ft=span.length_ft,
        title=title,
        key=f"bars-{span.index}-{level}",
        stretch=_stretch(worst, system, needed_psi),
    )
    rows = [_table_row(place, aside, notes) for place in row]
    return {
        "title": title,
        "system": system,
        "drawing": mark_safe(drawing),  # noqa: S308 the writer escapes every text
        "rows": rows,
        "warned": _warned(rows),
        "reasons": pressure.reasons,
        "has_estimates": any(place.estimate for place in row),
        "has_lock_offs": any(place.lock_off for place in row),
        "has_before": any(place.state == "before_pull" for place in row),
        "stressed_on": stressed_on,
        "worst": worst,
        "is_slack": worst is not None and worst.least_psi < (needed_psi or BAR_FLOOR_PSI),
        "needed_psi": needed_psi,
        "edge_psi": pressure.edge_psi,
        "aside": [(place.bar, place.number, aside[place.bar]) for place in row if place.bar in aside],
    }


def _point(place: BarPlace) -> BarPoint:
    estimate = place.estimate
    return BarPoint(
        number=place.number,
        station_ft=place.station_ft,
        force_lb=place.force_lb,
        is_low=place.is_low,
        state=place.state,
        lock_off_lb=place.lock_off.force_lb if place.lock_off else None,
        estimate_lb=(estimate.low_lb, estimate.middle_lb, estimate.high_lb) if estimate else None,
    )


def _levels(system: StressingSystem, needed_psi: float | None) -> list[ForceLevel]:
    sizes = {"spacing_in": system.spacing_in, "thickness_in": system.stressed_depth_in}
    floor = force_at_lb(BAR_FLOOR_PSI, **sizes)
    levels = [ForceLevel(force_lb=floor, words=_level_words("least", BAR_FLOOR_PSI, floor), is_need=True)]
    if needed_psi and abs(needed_psi - BAR_FLOOR_PSI) >= 0.5:
        need = force_at_lb(needed_psi, **sizes)
        levels.append(ForceLevel(force_lb=need, words=_level_words("needed", needed_psi, need), is_need=True))
    if system.design_force_lb:
        levels.append(
            ForceLevel(force_lb=system.design_force_lb, words=f"design {system.design_force_lb / 1000:g} kip")
        )
    return levels


def _level_words(name: str, psi: float, force_lb: float) -> str:
    return f"{name} {psi:.0f} psi, {force_lb / 1000:.1f} kip"


def _stretch(worst, system: StressingSystem, needed_psi: float | None) -> Stretch | None:
    if worst is None:
        return None
    force = force_at_lb(worst.least_psi, spacing_in=system.spacing_in, thickness_in=system.stressed_depth_in)
    return Stretch(
        from_ft=worst.from_ft,
        to_ft=worst.to_ft,
        force_lb=force,
        words=f"worst stretch {worst.from_ft:.1f} to {worst.to_ft:.1f} ft: {worst.least_psi:.0f} psi",
        is_low=worst.least_psi < (needed_psi or BAR_FLOOR_PSI),
    )


def _warned(rows: list[dict]) -> list[str]:
    """What the reader must see without opening the table, each with the bars it concerns."""
    bars: dict[str, list[str]] = {}
    for row in rows:
        for note in row["notes"]:
            bars.setdefault(note["words"], []).append(str(row["place"].number))
        if row["place"].lock_off:
            words = "only a gauge reading at lock-off since the last reading, which is no standing force"
            bars.setdefault(words, []).append(str(row["place"].number))
    return [f"Bar{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}: {words}." for words, numbers in bars.items()]


def _table_row(place: BarPlace, aside: dict[int, str], notes: dict) -> dict:
    said = notes.get((place.bar, place.read_on), []) if place.read_on else []
    told = [note for note in said if note["warns"]]
    if place.force_lb == 0.0 and place.read_on:
        told.insert(0, {"words": "loose to the hand, broken or missing", "warns": True})
    return {"place": place, "notes": told, "aside": aside.get(place.bar, "")}
