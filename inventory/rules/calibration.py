"""Whether a jack with its gauge was in calibration on a day, in words that are shown and printed.

A jack and its gauge are calibrated together and again after a set time, usually 12 months or less (common practice, no
source; the State's manual may ask for less). A reading with no calibration is kept: it is told so wherever it stands.
"""

from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

SOON_DAYS = 30
VALID, SOON, EXPIRED, NEVER, NOT_YET = "valid", "soon", "expired", "never", "not_yet"


@dataclass(frozen=True, kw_only=True)
class Calibration:
    """State on a day: valid, soon (expires within 30 days), expired, never, or not_yet (calibrated only after it)."""

    state: str
    until: date | None
    words: str

    @property
    def warns(self) -> bool:
        """True where a reading with it must carry the words."""
        return self.state in (EXPIRED, NEVER, NOT_YET)


def calibration_on(*, as_of: date, calibrated_on: date | None, months: int) -> Calibration:
    """The state on `as_of`; a calibration holds through the same day of the month, `months` later."""
    if calibrated_on is None:
        return Calibration(state=NEVER, until=None, words="no calibration on record")
    if calibrated_on > as_of:
        words = f"no calibration on record for {_day(as_of)}: calibrated only on {_day(calibrated_on)}"
        return Calibration(state=NOT_YET, until=None, words=words)
    until = last_day(calibrated_on, months)
    if as_of > until:
        words = f"calibration expired {_day(until)} (made {_day(calibrated_on)})"
        return Calibration(state=EXPIRED, until=until, words=words)
    if until - as_of <= timedelta(days=SOON_DAYS):
        return Calibration(state=SOON, until=until, words=f"calibrated {_day(calibrated_on)}, expires {_day(until)}")
    return Calibration(state=VALID, until=until, words=f"calibrated {_day(calibrated_on)}, valid to {_day(until)}")


def calibration_among(made: Sequence[tuple[date, int]], *, as_of: date) -> Calibration:
    """The state on a day in the past, from every calibration on record (day, months it holds), in any order."""
    earlier = [each for each in made if each[0] <= as_of]
    later = [each for each in made if each[0] > as_of]
    if not earlier and not later:
        return calibration_on(as_of=as_of, calibrated_on=None, months=0)
    on, months = max(earlier) if earlier else min(later)
    return calibration_on(as_of=as_of, calibrated_on=on, months=months)


def last_day(calibrated_on: date, months: int) -> date:
    """The last day a calibration holds: the same day of the month, or the last of a shorter one."""
    month = calibrated_on.month - 1 + months
    year, month = calibrated_on.year + month // 12, month % 12 + 1
    return date(year, month, min(calibrated_on.day, monthrange(year, month)[1]))


def _day(on: date) -> str:
    return f"{on.day} {on:%b %Y}"
