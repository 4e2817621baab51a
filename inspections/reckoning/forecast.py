"""A row of bars to its forecast as kept: pressures today, dates, what governs and why. Computes and saves nothing."""

import hashlib
import json
import logging
from datetime import date, timedelta
from math import erf, floor, sqrt
from statistics import NormalDist

from inspections.assembly.loss_history import RowHistory
from inspections.rules.clocks import Due
from inspections.rules.forecast_band import Days, read_off
from inspections.rules.retension_date import (
    Change,
    Reached,
    Recommended,
    kept_or_new,
    next_change,
    recommend,
    whole_sentences,
)
from inventory.mechanics.bars.loss import BarRow, LossPolicy, fit_row, forecast
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import KERNEL_VERSION

from .bar_pool import Member, SummedPool, grid_key, member_of
from .forecast_kept import Kept, Made, Owner, short_forecast
from .known_of_rating import Known

DAYS_AHEAD = 3653.0
"""Ten years: longer than the longest interval between readings, and as far as a county plans."""
ANEW_DAYS = 28
"""A forecast whose inputs did not change is read off again each night and made wholly anew after this long."""


FAILED = "The forecast could not be computed from this record: whoever runs this site must look at its log."

log = logging.getLogger(__name__)


def row_digest(row: BarRow, policy: LossPolicy) -> str:
    """Of one row's history under a policy of loss and the grid it is fitted on."""
    return _digest(
        {"row": row.as_dict(), "policy": policy.as_dict(), "grid": grid_key(policy), "kernel": KERNEL_VERSION}
    )


def own_member(history: RowHistory, owner: Owner, kept: Kept | None) -> Member | None:
    """What a row adds to its kind's pool: as kept where its history did not change; None where it cannot be fitted."""
    if (
        kept is not None
        and kept.results.get("member")
        and kept.results["member_row"] == row_digest(history.row, owner.loss)
    ):
        return Member.from_dict(kept.results["member"])
    try:
        return member_of(fit_row(history.row, owner.loss), owner.loss)
    except OutsideValidity:
        return None


def made_forecast(
    *,
    history: RowHistory,
    owner: Owner,
    pool: SummedPool | None,
    known: Known,
    recorded: Due | None,
    kept: Kept | None,
    as_of: date,
) -> Made:
    """The forecast of one row on a day; the kept one brought to today where nothing it rests on changed."""
    lent = pool if pool is not None and pool.is_under(owner.loss) else None
    inputs = _inputs(history, owner, lent, known)
    digest = _digest(inputs)
    if kept is not None and kept.digest == digest and _is_fresh(kept, as_of):
        return _brought_to(kept, inputs, owner, known, recorded, as_of)
    try:
        return _made_anew(history, owner, lent, known, recorded, kept, as_of, inputs, digest)
    except OutsideValidity as refusal:
        return _refused(str(refusal), recorded, inputs, digest)
    except (ValueError, ArithmeticError):
        # One row must not stop the night of the others; a person sees it on the list.
        log.exception("no forecast of bar force for %s", history.label)
        return _refused(FAILED, recorded, inputs, digest)


def _inputs(history: RowHistory, owner: Owner, pool: SummedPool | None, known: Known) -> dict:
    """All a forecast rests on, kept with it: the row, the policy, what the rating says, what the pool was."""
    return {
        "row": history.row.as_dict(),
        "row_digest": row_digest(history.row, owner.loss),
        "bar_ids": list(history.bar_ids),
        "numbers": list(history.numbers),
        "kind": history.row.kind,
        "policy": owner.loss.as_dict(),
        "policy_revision": owner.revision,
        "limit_psi": owner.limit_psi,
        "lead_days": owner.lead_days,
        "known": known.as_dict(),
        "pool": pool.digest if pool else "",
        "kernel": KERNEL_VERSION,
    }


def _digest(plain: dict) -> str:
    canonical = json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(canonical.encode()).hexdigest()


def _is_fresh(kept: Kept, as_of: date) -> bool:
    made = kept.results.get("made_anew_on")
    return bool(made) and timedelta(0) <= as_of - date.fromisoformat(made) < timedelta(days=ANEW_DAYS)


def _made_anew(history, owner, pool, known, recorded, kept, as_of, inputs, digest) -> Made:
    member, member_row, lent = _lent(history, owner, pool, kept)
    need = known.needed_psi
    told = forecast(
        history.row,
        policy=owner.loss,
        pool=lent,
        from_day=float(as_of.toordinal()),
        days_ahead=DAYS_AHEAD,
        need_psi=(need,),
    )
    short = short_forecast(told)
    first = short["points"][0]
    ratio = _read_ratio(history, known, first["least_lower_psi"], kept)
    days = Days(points=told.points, ratio=ratio)
    change = next_change(known.changes, _counted(known, first["least_lower_psi"]))
    horizon = days.lower(change.from_whole_psi) if change is not None and change.psi > 0.0 else None
    own = _own_date(owner, known, days, horizon, kept, history, as_of)
    columns = {
        "problem": "",
        "lower_psi_today": first["least_lower_psi"],
        "middle_psi_today": first["least_middle_psi"],
        "needed_psi": need,
        "chance_below_need_ratio": told.reachings[0].chance_already_ratio,
        "need_reached_early_on": days.lower(need),
        "need_reached_middle_on": days.middle(need),
        "posting_psi": change.psi if change else None,
        "posting_horizon_on": horizon,
        "posting_words": whole_sentences(_posting_words(change, known), 300),
    }
    limit_on = days.lower(owner.limit_psi)
    results = {
        "forecast": short,
        "member": member.as_dict() if member else None,
        "member_row": member_row,
        "member_pool": pool.digest if pool else "",
        "limit_day": limit_on.toordinal() if limit_on else None,
        "read_ratio": ratio,
        "made_anew_on": as_of.isoformat(),
        "own": {"on": own.on.isoformat() if own.on else None, "why": own.why, "governs": own.governs},
    }
    return Made(digest=digest, columns=columns | _recommended(own, recorded), inputs=inputs, results=results)


def _read_ratio(history: RowHistory, known: Known, lower_psi: float, kept: Kept | None) -> float:
    """How far what was read since the last pull lies below the band: the part by which every edge is lowered for the
    dates, 1 where it does not.

    A forecast may not explain a low reading (a plate that sank, a bar that slipped); the loss then goes on from what
    was read, not from the band. Time does not make it up: the part stays until the bars are read or pulled again. A
    reading in frost is no such reading: its force comes back on warming (`model`); the lower of the last two days says
    which it is.
    """
    last = max((stressed.on_day for stressed in history.row.stressed), default=0.0)
    since = {read.on_day for read in history.row.readings if read.on_day > last}
    counted = sorted(since)[-2:]
    in_frost = bool(counted) and _is_left_out(history, min(counted, key=lambda day: _mean_lb(history, day)))
    if not since or in_frost or known.rated_psi is None or known.rated_psi >= floor(lower_psi):
        return 1.0
    ratio = max(0.0, known.rated_psi / lower_psi)
    if (
        kept is not None
        and kept.results.get("read_ratio")
        and kept.inputs["row"]["readings"] == [read.as_dict() for read in history.row.readings]
    ):
        ratio = min(ratio, kept.results["read_ratio"])
    return round(ratio, 4)


def _mean_lb(history: RowHistory, day: float) -> float:
    forces = [read.force_lb for read in history.row.readings if read.on_day == day]
    return sum(forces) / len(forces)


def _is_left_out(history: RowHistory, day: float) -> bool:
    return any(read.left_out for read in history.row.readings if read.on_day == day)


def _lent(history: RowHistory, owner: Owner, pool: SummedPool | None, kept: Kept | None):
    """The row's part in the pool as it was when the pool was made, the digest of the row it is of, and the pool
    without it."""
    if kept is not None and pool is not None and kept.results.get("member_pool") == pool.digest:
        plain, of_row = kept.results["member"], kept.results["member_row"]
        member = Member.from_dict(plain) if plain else None
    else:
        member, of_row = own_member(history, owner, kept), row_digest(history.row, owner.loss)
    if pool is None or member is None:
        return member, of_row, None
    return member, of_row, pool.without(member)


def _counted(known: Known, lower_psi: float) -> float | None:
    """The pressure counted today: the lower of the rating's and the forecast's edge in whole psi."""
    edge = float(floor(lower_psi + 1e-9))
    if known.rating_id is None:
        return edge
    return None if known.rated_psi is None else min(known.rated_psi, edge)


def _posting_words(change: Change | None, known: Known) -> str:
    if change is not None:
        return change.words
    if known.rating_id is not None and known.rated_psi is None:
        return "No bar has a current reading, so no pressure is counted and none can be lost: read the bars."
    return "Below the pressure counted today nothing more changes the posting."


def _own_date(owner, known, days, horizon, kept, history, as_of) -> Recommended:
    """The date by the forecast alone, held against the one that stands."""
    limit, need = owner.limit_psi, known.needed_psi
    marks = [
        ("limit", Reached(psi=limit, words="the re-tension limit", on=days.lower(limit))),
        ("need", Reached(psi=need, words=known.need_words, on=days.lower(need))),
    ]
    new = recommend(
        as_of=as_of,
        marks=marks,
        horizon=None if horizon is None else (horizon, ""),
        lead_days=owner.lead_days,
        band_ratio=owner.loss.band_ratio,
        lowered=days.ratio < 1.0,
    )
    if kept is None or not kept.results.get("own"):
        return new
    pulls = [[stressed.on_day for stressed in history.row.stressed], _pull_days(kept)]
    latest = min(filter(None, [horizon, *(mark.on for _governs, mark in marks)]), default=None)
    return kept_or_new(kept=_kept_own(kept), new=new, as_of=as_of, pulled_since=pulls[0] != pulls[1], latest=latest)


def _kept_own(kept: Kept) -> Recommended:
    own = kept.results["own"]
    on = date.fromisoformat(own["on"]) if own["on"] else None
    return Recommended(on=on, why=own["why"], governs=own["governs"])


def _pull_days(kept: Kept) -> list[float]:
    return [float(stressed["on_day"]) for stressed in kept.inputs["row"]["stressed"]]


def _recommended(own: Recommended, recorded: Due | None) -> dict:
    """The earlier of the forecast's date and the record's (readings, schedule after erection)."""
    on, why = own.on, own.why
    if recorded is not None and (on is None or recorded.due_on <= on):
        on, why = recorded.due_on, recorded.reason
    return {"recommended_on": on, "recommended_why": why[:400]}


def _brought_to(kept: Kept, inputs: dict, owner: Owner, known: Known, recorded: Due | None, as_of: date) -> Made:
    """Nothing it rests on changed: pressures and chance of today are read off, every date stays."""
    points = kept.results["forecast"]["points"]
    lower, middle = (read_off(points, as_of, f"least_{name}_psi") for name in ("lower", "middle"))
    columns = dict(kept.columns) | {"lower_psi_today": lower, "middle_psi_today": middle}
    if date.fromisoformat(kept.results["made_anew_on"]) < as_of:
        columns["chance_below_need_ratio"] = max(
            kept.columns["chance_below_need_ratio"],
            _chance_below(known.needed_psi, lower, middle, owner.loss.band_ratio),
        )
    columns |= _recommended(_kept_own(kept), recorded)
    return Made(digest=kept.digest, columns=columns, inputs=inputs, results=dict(kept.results))


def _chance_below(psi: float, lower: float, middle: float, band_ratio: float) -> float:
    """Read off between the edges as if normal: only for the days between two forecasts made anew (`model`)."""
    sd = (middle - lower) / NormalDist().inv_cdf((1.0 + band_ratio) / 2.0)
    if sd <= 0.0:
        return float(middle <= psi)
    return 0.5 * (1.0 + erf((psi - middle) / sd / sqrt(2.0)))


def _refused(sentence: str, recorded: Due | None, inputs: dict, digest: str) -> Made:
    none = dict.fromkeys(
        (
            "lower_psi_today",
            "middle_psi_today",
            "chance_below_need_ratio",
            "need_reached_early_on",
            "need_reached_middle_on",
            "posting_psi",
            "posting_horizon_on",
        )
    )
    known = inputs["known"]
    columns = none | {"problem": sentence[:400], "needed_psi": known["needed_psi"], "posting_words": ""}
    return Made(digest=digest, columns=columns | _recommended(Recommended(), recorded), inputs=inputs, results={})
