"""The county's forecasts of bar force as rows of a list, and the same as CSV."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import floor

from defusedcsv import csv

from inspections.models import BarForecast
from inspections.queries.forecasts import next_readings
from inspections.rules.clocks import Lateness, lateness
from inspections.vocabulary.states import ReminderKind

from .due_csv import WIDE_SIGNS

HEADINGS = (
    "structure",
    "road",
    "feature",
    "agency",
    "row of bars",
    "pressure today lower edge psi",
    "pressure today middle psi",
    "counted by readings psi",
    "need psi",
    "chance below need",
    "need reached at lower edge on",
    "need reached at middle on",
    "posting would change at psi",
    "posting horizon",
    "what changes",
    "re-tension by",
    "read the bars by",
    "why",
    "no forecast because",
    "made on",
)


@dataclass(frozen=True, kw_only=True)
class ForecastRow:
    """One row of bars as the list shows it on a day. `read_psi`: what counts by readings, where it is below the lower
    edge of the forecast."""

    forecast: BarForecast
    place: str
    chance: str
    lateness: Lateness | None
    days_old: int
    read_psi: float | None = None
    next_reading_on: date | None = None

    @property
    def is_read_below_need(self) -> bool:
        """Whether the readings alone say that the need is not met."""
        need = self.forecast.needed_psi
        return self.read_psi is not None and need is not None and self.read_psi < need

    @property
    def is_late(self) -> bool:
        return self.lateness is not None and self.lateness.is_late


def chance_words(ratio: float | None) -> str:
    """A chance in whole percent; never a bare nought or a certainty."""
    if ratio is None:
        return "not known"
    percent = 100.0 * ratio
    if percent < 1.0:
        return "under 1 %"
    return "over 99 %" if percent > 99.0 else f"{percent:.0f} %"


def place_words(forecast: BarForecast) -> str:
    """Which row of bars of the structure."""
    level = "" if forecast.level == "mid" else f", {forecast.level} bars"
    return f"span {forecast.system.span.index}{level}"


def forecast_row(
    forecast: BarForecast, as_of: date, counted_psi: float | None = None, next_reading_on: date | None = None
) -> ForecastRow:
    """`counted_psi`: what counts for the span; the least of the structure where a list knows no more."""
    lower = forecast.lower_psi_today
    is_lower = counted_psi is not None and (lower is None or counted_psi < floor(lower))
    stands = None
    if forecast.recommended_on is not None:
        on = forecast.recommended_on
        stands = lateness(kind=ReminderKind.RETENSION.value, due_on=on, late_after=on, as_of=as_of)
    return ForecastRow(
        forecast=forecast,
        place=place_words(forecast),
        chance=chance_words(forecast.chance_below_need_ratio),
        lateness=stands,
        days_old=(as_of - forecast.made_on).days,
        read_psi=counted_psi if is_lower else None,
        next_reading_on=next_reading_on,
    )


def forecast_rows(forecasts: Iterable[BarForecast], as_of: date) -> list[ForecastRow]:
    found = list(forecasts)
    readings = next_readings({forecast.structure_id for forecast in found})
    return [
        forecast_row(forecast, as_of, _least_counted(forecast), readings.get(forecast.structure_id))
        for forecast in found
    ]


def _least_counted(forecast: BarForecast) -> float | None:
    standing = getattr(forecast.structure, "standing", None)
    return standing.least_pressure_psi if standing else None


def forecast_csv(handle, rows: Iterable[ForecastRow]) -> None:
    """Write headings and one line per row of bars; dates as year-month-day; no cell is taken for a formula."""
    writer = csv.writer(handle)
    writer.writerow(HEADINGS)
    for row in rows:
        one, structure = row.forecast, row.forecast.structure
        cells = (
            structure.number,
            structure.road_name,
            structure.feature_crossed,
            structure.agency.name,
            row.place,
            _number(one.lower_psi_today),
            _number(one.middle_psi_today),
            _number(row.read_psi),
            _number(one.needed_psi),
            "" if one.chance_below_need_ratio is None else f"{one.chance_below_need_ratio:.3f}",
            _day(one.need_reached_early_on),
            _day(one.need_reached_middle_on),
            _number(one.posting_psi),
            _day(one.posting_horizon_on),
            one.posting_words,
            _day(one.recommended_on),
            _day(row.next_reading_on),
            one.recommended_why,
            one.problem,
            _day(one.made_on),
        )
        writer.writerow([_plain(cell) for cell in cells])


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def _day(on: date | None) -> str:
    return on.isoformat() if on else ""


def _plain(text: str) -> str:
    text = text.strip()
    return f"'{text}" if text.startswith(WIDE_SIGNS) else text
