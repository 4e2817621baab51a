"""A device's clock against the site's: plain arithmetic of moments."""

from datetime import UTC, datetime, timedelta

from inspections.rules.field_clock import (
    clock_sentence,
    day_from,
    is_far_off,
    moment_from,
    put_right,
    stamp_error_s,
)

AT = datetime(2026, 6, 15, 12, tzinfo=UTC)


def test_a_year_ahead_is_moved_back_a_year():
    error = stamp_error_s("2027-06-15T12:00:00Z", 0, AT)
    assert error == 365 * 86400
    assert put_right(moment_from("2027-06-15T11:00:00Z"), error) == AT - timedelta(hours=1)
    assert "365 days ahead of" in clock_sentence(error)


def test_what_the_device_corrected_itself_is_not_moved_again():
    """Raw clock a year ahead, and a year taken off each stamp: the stamps are right."""
    assert stamp_error_s("2027-06-15T12:00:00Z", -365 * 86400, AT) == 0


def test_half_a_day_is_left_alone():
    near = stamp_error_s("2026-06-15T23:59:00Z", 0, AT)
    assert not is_far_off(near) and put_right(AT, near) == AT and clock_sentence(near) == ""
    assert is_far_off(stamp_error_s("2026-06-16T00:01:00Z", 0, AT))


def test_nonsense_is_nothing():
    for text in (None, "", "soon", "2026-13-01", 5, "9999-99-99T00:00:00Z", "x" * 100):
        assert moment_from(text) is None
        assert stamp_error_s(text, 0, AT) is None
    assert day_from("2026-02-30") is None and day_from(7) is None
    assert moment_from("0001-01-01T00:00:00+14:00") is None
    assert put_right(AT, None) == AT
