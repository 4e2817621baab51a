"""The forecast of every row of a file, as plain values with real dates; rows of one kind lend each other losses."""

from datetime import date
from math import ceil, floor

from inspections.reckoning.json_file import digest_of
from inventory.mechanics.bars.loss import ForceForecast, Pool, fit_row, forecast, pool
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import KERNEL_VERSION

from .read import Rows, RowToForecast

YEAR_DAYS = 365.25
CAUTIONS = (
    "An aid to a licensed professional engineer, never an order. The State's manual and the engineer of record decide.",
    "Both forms of loss are models. The lower edge of the band is what counts; the mean is no promise.",
    "A reading left out of the fit for frost still counts in a rating: while it reads so, the deck is as slack.",
)


def forecast_rows(rows: Rows) -> dict:
    """Every row with its forecast, or the reason why there is none; ``is_forecast`` where all have one."""
    from_day = float(rows.as_of.toordinal())
    pools = _pools(rows, from_day)
    answers = [_answer(each, rows, from_day, pools.get(each.row.kind)) for each in rows.rows]
    return {
        "as_of": rows.as_of.isoformat(),
        "kernel_version": KERNEL_VERSION,
        "digest": digest_of(
            {
                "as_of": rows.as_of.isoformat(),
                "years_ahead": rows.years_ahead,
                "policy": rows.policy.__dict__,
                "rows": [repr(each) for each in rows.rows],
            }
        ),
        "policy": dict(rows.policy.__dict__),
        "is_forecast": all(answer["is_forecast"] for answer in answers),
        "cautions": list(CAUTIONS),
        "rows": answers,
    }


def _pools(rows: Rows, from_day: float) -> dict[str, Pool]:
    """One pool for each kind with two rows or more; a row that cannot be fitted lends nothing."""
    fits: dict[str, list] = {}
    for each in rows.rows:
        try:
            fits.setdefault(each.row.kind, []).append(fit_row(each.row, rows.policy, from_day))
        except OutsideValidity:
            continue
    return {kind: pool(made, rows.policy) for kind, made in fits.items() if len(made) > 1}


def _answer(each: RowToForecast, rows: Rows, from_day: float, lent: Pool | None) -> dict:
    told = {
        "name": each.name,
        "kind": each.row.kind,
        "warnings": list(each.warnings),
        "not_standing": [dict(read) | {"why": "gauge at lock-off: not a standing force"} for read in each.not_standing],
        "left_out": [dict(read) for read in each.left_out],
    }
    wanted = tuple(dict.fromkeys([*([each.needed_psi] if each.needed_psi else []), *each.levels_psi]))
    try:
        made = forecast(
            each.row,
            policy=rows.policy,
            pool=lent,
            from_day=from_day,
            days_ahead=rows.years_ahead * YEAR_DAYS,
            need_psi=wanted,
        )
    except OutsideValidity as refusal:
        return told | {"is_forecast": False, "reasons": [str(refusal)], "forecast": None}
    return told | {"is_forecast": True, "reasons": [], "forecast": _plain(made, each)}


def _plain(made: ForceForecast, each: RowToForecast) -> dict:
    """Days as dates: what is reached early counts from the day before it, what is shown from the day itself."""
    plain = made.as_dict()
    plain["from_day"] = _day(made.from_day)
    plain["points"] = [point | {"on_day": _day(ceil(point["on_day"]))} for point in plain["points"]]
    for reaching in plain["reachings"]:
        for name in ("early_day", "middle_day"):
            reaching[name] = None if reaching[name] is None else _day(floor(reaching[name]))
        reaching["is_need"] = reaching["psi"] == each.needed_psi
    plain["bars"] = [{"bar": each.bar_names[bar["bar_index"]]} | bar for bar in plain["bars"]]
    return plain


def _day(number: float) -> str | None:
    """An ordinal as a date; None after the year 9999."""
    return date.fromordinal(int(number)).isoformat() if 1 <= number <= date.max.toordinal() else None
