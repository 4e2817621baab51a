"""Forecasts of a structure's bars for people: drawings of force in time, tables that say the same, what was assumed."""

from collections.abc import Sequence
from datetime import date, timedelta

from django.utils.safestring import mark_safe

from inspections.assembly.bars import bar_pressures
from inspections.assembly.loss_history import RowHistory
from inspections.drawings.force_in_time import (
    BandDay,
    BarLine,
    LockOff,
    ReadMark,
    TimeChart,
    TimeLevel,
    force_in_time,
)
from inspections.models import BarForecast
from inspections.queries.bar_history import LockedOff, lock_offs_of
from inspections.queries.forecasts import forecasts_of, next_readings
from inspections.reckoning.force_history import ReadDay, read_days, row_histories
from inspections.reckoning.forecast_kept import is_readable
from inspections.rules.forecast_band import day_of_ordinal, read_off
from inspections.rules.frost import FROST, FROST_UNKNOWN, SHORT
from inventory.models import Structure

from .forecast_list import ForecastRow, forecast_row

SHOWN_AFTER_DAYS = (0, 30, 91, 182, 365, 730, 1095, 1826, 3652)
FORM_WORDS = {
    "logarithmic": "Logarithmic: 1 - a log10(1 + t/1 day), added up over stressings",
    "exponential": "Exponential: f + (1 - f) exp(-t/T), with a floor",
}
PARAMETER_WORDS = {
    "log_slope_ratio": ("a, part lost in each tenfold of time", 1.0, "", 3),
    "floor_ratio": ("f, part that stays", 100.0, "%", 0),
    "settle_days": ("T, time to settle", 1.0, "days", 0),
}


def short_parts(structure: Structure, as_of: date) -> list[ForecastRow]:
    """The forecasts that stand, one line each, for the section of the structure's page."""
    counted = bar_pressures(structure=structure, as_of=as_of).by_span
    reading_on = next_readings([structure.pk]).get(structure.pk)
    return [
        forecast_row(forecast, as_of, counted[forecast.system.span.index].counted_psi, reading_on)
        for forecast in forecasts_of(structure)
    ]


def forecast_parts(structure: Structure, as_of: date, picked: Sequence[str] = ()) -> list[dict]:
    """One part for each row of bars of a structure, forecast or not; `picked` names bars to pick out."""
    rows = {(row.forecast.system_id, row.forecast.level): row for row in short_parts(structure, as_of)}
    locked = lock_offs_of(structure, as_of)
    return [
        _part(history, rows.get((history.system_id, history.level)), locked, as_of, picked)
        for history in row_histories(structure, as_of)
    ]


def _part(history: RowHistory, row: ForecastRow | None, locked: list[LockedOff], as_of: date, picked) -> dict:
    forecast = row.forecast if row else None
    is_older = forecast is not None and not is_readable(forecast.inputs, forecast.results)
    if is_older:
        forecast = None
    told = forecast.results.get("forecast") if forecast else None
    days = read_days(history)
    title = f"Span {history.span_index}" + ("" if history.level == "mid" else f", {history.level} bars")
    part = {
        "title": title,
        "key": f"{history.system_id}-{history.level}",
        "numbers": [str(number) for number in history.numbers],
        "row": row,
        "is_older": is_older,
        "days": days,
        "reads": _reads(history),
        "stressed_on": [day_of_ordinal(stressed.on_day) for stressed in history.row.stressed],
        "target_lb": history.row.target_lb,
        "is_behind": forecast is not None and forecast.inputs.get("row") != history.row.as_dict(),
        "in_frost": any(
            read.left_out in (FROST, FROST_UNKNOWN) for read in history.row.readings if _counts(history, read)
        ),
        "psi_chart": _drawn(
            _psi_chart(history, forecast, told, days, as_of), f"psi-{history.system_id}-{history.level}"
        ),
        "lb_chart": _drawn(
            _lb_chart(history, forecast, told, locked, as_of, picked), f"lb-{history.system_id}-{history.level}"
        ),
    }
    if told:
        part |= {
            "band_percent": round(100.0 * told["band_ratio"]),
            "band": _band_rows(told["points"], as_of),
            "sentences": told["sentences"],
            "forms": [_form(fit) for fit in told["fits"]],
            "bars": _bar_rows(history, forecast, told),
            "readings_used": told["readings_used"],
            "readings_left_out": told["readings_left_out"],
            "pooled_with": told["pooled_with"],
            "governs": forecast.results["own"]["governs"],
            "known": forecast.inputs["known"],
            "limit_psi": forecast.inputs["limit_psi"],
            "limit_on": day_of_ordinal(forecast.results["limit_day"]),
            "lead_days": forecast.inputs["lead_days"],
            "made_anew_on": date.fromisoformat(forecast.results["made_anew_on"]),
            "is_lowered": forecast.results.get("read_ratio", 1.0) < 1.0,
        }
    return part


def _counts(history: RowHistory, read) -> bool:
    """Whether a reading is of the last two days read, whose lower counts."""
    return read.on_day in sorted({one.on_day for one in history.row.readings})[-2:]


def _drawn(chart: TimeChart, key: str) -> str:
    return mark_safe(force_in_time(chart, key=key))  # noqa: S308 the writer escapes every text


def _stressed_days(history: RowHistory) -> tuple[date, ...]:
    return tuple(day_of_ordinal(stressed.on_day) for stressed in history.row.stressed)


def _band(told: dict | None, name: str) -> tuple[BandDay, ...]:
    """The kept points as the drawing takes them; `name` least or mean with its unit."""
    start, unit = name.split()
    return tuple(
        BandDay(
            on_day=day_of_ordinal(point["on_day"]),
            **{edge: point[f"{start}_{edge}_{unit}"] for edge in ("lower", "middle", "upper")},
        )
        for point in (told["points"] if told else ())
    )


def _psi_chart(history, forecast, told, days: list[ReadDay], as_of: date) -> TimeChart:
    levels = []
    if forecast:
        known, limit = forecast.inputs["known"], forecast.inputs["limit_psi"]
        levels.append(TimeLevel(value=known["needed_psi"], words=f"need {known['needed_psi']:.0f} psi", is_need=True))
        levels.append(TimeLevel(value=limit, words=f"re-tension limit {limit:.0f} psi"))
        if forecast.posting_psi is not None:
            levels.append(TimeLevel(value=forecast.posting_psi, words=f"posting {forecast.posting_psi:.0f} psi"))
    return TimeChart(
        title=f"Least local pressure in time, {history.label}",
        quantity="least local pressure",
        unit="psi",
        today=as_of,
        band=_band(told, "least psi"),
        readings=tuple(
            ReadMark(on_day=one.on, value=one.least_psi, left_out=SHORT.get(one.left_out, one.left_out))
            for one in days
            if one.least_psi is not None
        ),
        stressed_on=_stressed_days(history),
        levels=tuple(levels),
        band_words=_band_words(told),
    )


def _lb_chart(history, forecast, told, locked: list[LockedOff], as_of: date, picked) -> TimeChart:
    places = {bar: str(number) for bar, number in zip(history.bar_ids, history.numbers, strict=True)}
    target = history.row.target_lb
    return TimeChart(
        title=f"Bar force in time, {history.label}",
        quantity="bar force",
        unit="lb",
        today=as_of,
        band=_band(told, "mean lb"),
        bars=tuple(_lines(history)),
        lock_offs=tuple(
            LockOff(on_day=one.on, value=one.force_lb, bar=places[one.bar_id]) for one in locked if one.bar_id in places
        ),
        stressed_on=_stressed_days(history),
        levels=(TimeLevel(value=target, words=f"design {target:,.0f} lb"),) if target else (),
        chosen=tuple(picked),
        band_words=_band_words(told),
    )


def _band_words(told: dict | None) -> str:
    return f"{100.0 * told['band_ratio']:.0f} %" if told else ""


def _lines(history: RowHistory):
    """Each bar's forces in time, broken at every stressing."""
    row = history.row
    stressed = [stressed.on_day for stressed in row.stressed]
    for place, number in enumerate(history.numbers):
        seen = [(read.on_day, read.force_lb) for read in row.readings if read.bar_index == place]
        seen += [(one.on_day, one.forces_lb[place]) for one in row.stressed if one.forces_lb and one.forces_lb[place]]
        points: list[tuple[date, float | None]] = []
        for day, force in sorted(seen):
            if points and any(points[-1][0].toordinal() < pull <= day for pull in stressed):
                points.append((day_of_ordinal(day), None))
            points.append((day_of_ordinal(day), force))
        yield BarLine(name=str(number), points=tuple(points))


def _reads(history: RowHistory) -> list[dict]:
    """Every reading, the latest first."""
    return [
        {
            "on": day_of_ordinal(read.on_day),
            "bar": history.numbers[read.bar_index],
            "force_lb": read.force_lb,
            "repeats": read.repeats,
            "left_out": read.left_out,
        }
        for read in reversed(history.row.readings)
    ]


def _band_rows(points: list[dict], as_of: date) -> list[dict]:
    names = (
        "least_lower_psi",
        "least_middle_psi",
        "least_upper_psi",
        "mean_lower_lb",
        "mean_middle_lb",
        "mean_upper_lb",
    )
    last = day_of_ordinal(points[-1]["on_day"])
    days = [as_of + timedelta(days=after) for after in SHOWN_AFTER_DAYS]
    return [{"on": on} | {name: read_off(points, on, name) for name in names} for on in days if on <= last]


def _form(fit: dict) -> dict:
    """A form's weight and parameters with what they mean, mean and standard deviation in one unit."""
    parameters = []
    for name, value in fit["parameters"].items():
        words, scale, unit, decimals = PARAMETER_WORDS[name]
        mean, sd = (f"{scale * value[each]:.{decimals}f}" for each in ("mean", "sd"))
        parameters.append({"words": words, "mean": mean, "sd": sd, "unit": unit})
    return {
        "words": FORM_WORDS[fit["form"]],
        "weight_percent": round(100.0 * fit["weight_ratio"]),
        "parameters": parameters,
    }


def _bar_rows(history: RowHistory, forecast: BarForecast, told: dict) -> list[dict]:
    """Each bar's estimate on the day the forecast was made, where the bars are still those it was made for."""
    if list(history.bar_ids) != forecast.inputs["bar_ids"]:
        return []
    return [
        {
            "number": history.numbers[one["bar_index"]],
            "station_ft": history.row.stations_ft[one["bar_index"]],
            "middle_lb": one["middle_lb"],
            "sd_lb": one["sd_lb"],
            "is_read": one["is_read"],
        }
        for one in told["bars"]
    ]
