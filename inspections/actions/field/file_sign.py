"""A sign seen from the field: standing, taken down, or missing."""

from inspections.actions.lock import day_of
from inspections.actions.signs import confirm_sign, report_sign_missing
from inspections.rules.field_clock import clock_sentence, day_from, is_far_off, moment_from, put_right
from inventory.models import Sign

from .filing import REFUSED, Filed, Filing, held


def file_sign(filing: Filing) -> Filed:
    """Called inside the transaction of the filing. The crew's word counts from the day it was seen."""
    given = filing.record["sign"]
    sign = Sign.objects.filter(pk=given["id"], posting__structure=filing.structure).first()
    if sign is None:
        return held(REFUSED, "This sign is not on record at this structure any more; what was seen is kept here.")
    on = day_from(given["seen_on"])
    if on is None:
        return held(REFUSED, f"The day the sign was seen, '{given['seen_on']:.20}', is no date.")
    said = []
    if is_far_off(filing.error_s):
        # The device stamped this day itself, from the moment at which the button was pressed.
        right = put_right(moment_from(f"{on.isoformat()}T12:00:00+00:00"), filing.error_s)
        on = min(day_of(right), day_of(filing.at)) if right else day_of(filing.at)
        said.append(f"{clock_sentence(filing.error_s)} The sign counts as seen on {on.day} {on:%b %Y}.")
    act = report_sign_missing if given["seen"] == "missing" else confirm_sign
    place = {name: given[name] for name in ("lon", "lat") if given.get(name) is not None}
    sign = act(sign=sign, on=on, by=filing.by, at=filing.at, **place)
    return Filed(sign=sign, sentences=said)
