"""A device whose clock is wrong: how far its stamps are off, and what is made of them.

Stamps are moved only where the clock was more than half a day off, and never without a sentence. The day of the field
work is never moved: somebody may have typed it, so it is asked for again. Half a day is the project's own limit
[model]: less may be a wrong time zone of the device, which no date depends on.
"""

from datetime import UTC, date, datetime, timedelta

HALF_A_DAY_S = 12 * 3600.0
MOST_S = 100 * 366 * 86400.0


def moment_from(text) -> datetime | None:
    """An aware moment from its ISO text (without an offset: UTC), None where it cannot be read."""
    if not isinstance(text, str) or len(text) > 40:
        return None
    try:
        moment = datetime.fromisoformat(text)
        moment = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
        return moment.astimezone(UTC)
    except (ValueError, OverflowError):
        return None


def day_from(text) -> date | None:
    """A date from its ISO text, None where it cannot be read."""
    try:
        return date.fromisoformat(text[:10]) if isinstance(text, str) else None
    except ValueError:
        return None


def stamp_error_s(device_now, correction_s, at: datetime) -> float | None:
    """Seconds by which the device's stamps are ahead of the site's clock; None where the device does not say its time.

    `device_now` is the uncorrected clock at sending, `correction_s` what the device had added to it when it stamped.
    """
    now = moment_from(device_now)
    if now is None:
        return None
    correction = correction_s if isinstance(correction_s, int | float) and not isinstance(correction_s, bool) else 0.0
    error = (now - at).total_seconds() + correction
    return max(-MOST_S, min(MOST_S, error)) if error == error else None


def is_far_off(error_s: float | None) -> bool:
    return error_s is not None and abs(error_s) > HALF_A_DAY_S


def put_right(stamp: datetime | None, error_s: float | None) -> datetime | None:
    """The stamp as the site's clock would have had it; unchanged where the device's clock was near enough."""
    if stamp is None or not is_far_off(error_s):
        return stamp
    try:
        return stamp - timedelta(seconds=error_s)
    except OverflowError:
        return None


def clock_sentence(error_s: float | None) -> str:
    """What a person reads where the clock was far off, "" otherwise."""
    if not is_far_off(error_s):
        return ""
    days = round(abs(error_s) / 86400)
    far = f"{days} day{'' if days == 1 else 's'}" if days else "half a day"
    where = "ahead of" if error_s > 0 else "behind"
    return (
        f"The clock of the device was {far} {where} the site's: moments it stamped were moved by as much. Set the "
        "clock of the device."
    )


def confirm_day_sentence(on: date | None) -> str:
    said = f"{on.day} {on:%b %Y}" if on else "not given"
    return (
        f"The day of the field work ({said}) was not moved with the clock: look at it, confirm it and submit. Until "
        "then this stays a draft."
    )
