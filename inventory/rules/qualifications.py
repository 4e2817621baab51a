"""May this person lead on this day? The registry of inspectors, read for one day, answered in a sentence.

A team leader is on site at each initial, routine, in-depth and underwater inspection (23 CFR 650.313 [memory]); holds
18 hours of approved refresher training in every 60 months (650.309 [memory]; both are settings of the county); an
underwater inspector is trained for it (650.309 [memory]). A State may ask for more and keeps the registry (650.307(e),
650.309 [checked]). That the months run from the last refresher with enough hours, else from the day the qualification
was gained, is this project's reading [model]. Who may lead damage and special inspections the State writes [memory].
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import isfinite

from inventory.vocabulary.people import QualificationKind

from .calibration import last_day

LEADER_ON_SITE = frozenset({"initial", "routine", "in_depth", "underwater"})
"""Kinds of inspection (the codes of the inspections room) that need a team leader on site."""
UNDER_WATER = "underwater"
REFRESHED = frozenset(
    {QualificationKind.PROGRAM_MANAGER, QualificationKind.TEAM_LEADER, QualificationKind.TENSION_LEADER}
)
SOON_DAYS = 60
MOST_HOURS = 1000.0
VALID, SOON, LAPSED, WITHDRAWN, NOT_YET, NONE = "valid", "soon", "lapsed", "withdrawn", "not_yet", "none"
BEST_FIRST = (VALID, SOON, LAPSED, WITHDRAWN, NOT_YET)


@dataclass(frozen=True, kw_only=True)
class Refresher:
    """What the county asks: `hours` of approved training in every `months` months."""

    months: int = 60
    hours: float = 18.0


@dataclass(frozen=True, kw_only=True)
class Held:
    """One line of the registry as plain values."""

    kind: str
    held_since: date
    expires_on: date | None = None
    refresher_hours: float | None = None
    refreshed_on: date | None = None
    withdrawn_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class Holding:
    """How a line stands on a day: `until` is the last day it holds, `days_left` to it; None where none is set."""

    state: str
    words: str
    until: date | None = None
    days_left: int | None = None

    @property
    def counts(self) -> bool:
        return self.state in (VALID, SOON)

    @property
    def warns(self) -> bool:
        """Lapsed, or lapses within 60 days."""
        return self.state in (SOON, LAPSED)


@dataclass(frozen=True, kw_only=True)
class Answer:
    """Whether a person may lead, in a sentence; `until` is the last day of it, where one is known."""

    may: bool
    words: str
    until: date | None = None


def holding_on(line: Held, *, on: date, refresher: Refresher) -> Holding:
    """How one line stands on a day; it holds through its last day."""
    if on < line.held_since:
        return Holding(state=NOT_YET, words=f"held only since {_day(line.held_since)}")
    if line.withdrawn_on is not None and on >= line.withdrawn_on:
        return Holding(state=WITHDRAWN, words=f"withdrawn on {_day(line.withdrawn_on)}", until=line.withdrawn_on)
    until, why = _last_day_of(line, refresher)
    if until is None:
        return Holding(state=VALID, words="valid, with no last day")
    left = (until - on).days
    if left < 0:
        return Holding(state=LAPSED, words=f"lapsed on {_day(until)}: {why}", until=until, days_left=left)
    words = f"valid to {_day(until)} ({why}), {_days(left)} left"
    return Holding(state=SOON if left <= SOON_DAYS else VALID, words=words, until=until, days_left=left)


def best_of(lines: Sequence[Held], kind: str, *, on: date, refresher: Refresher) -> Holding:
    """The line of a kind that stands best on a day; of two that hold, the one that holds longer."""
    found = [holding_on(line, on=on, refresher=refresher) for line in lines if line.kind == kind]
    if not found:
        label = QualificationKind.label_of(kind).lower()
        return Holding(state=NONE, words=f"nothing on record as {label}")
    return min(found, key=lambda each: (BEST_FIRST.index(each.state), -(each.until or date.max).toordinal()))


def may_lead(lines: Sequence[Held], *, kind: str, on: date, name: str, refresher: Refresher) -> Answer:
    """May `name`, who holds `lines`, lead an inspection of `kind` (a code of the inspections room) on a day?"""
    if kind not in LEADER_ON_SITE:
        return Answer(may=True, words="The rule asks for no team leader on site here; the State's manual may.")
    leads = best_of(lines, QualificationKind.TEAM_LEADER, on=on, refresher=refresher)
    if not leads.counts:
        return Answer(may=False, words=f"{name} is not a qualified team leader on {_day(on)}: {leads.words}.")
    if kind == UNDER_WATER:
        dives = best_of(lines, QualificationKind.DIVER, on=on, refresher=refresher)
        if not dives.counts:
            return Answer(
                may=False,
                words=f"{name} is a team leader, but not an underwater inspector on {_day(on)}: {dives.words}. "
                "Where another dives, a named person says so with the diver's name and proof.",
            )
        last = min((each for each in (leads.until, dives.until) if each is not None), default=None)
        return Answer(may=True, words=f"{name} is a team leader and underwater inspector.", until=last)
    return Answer(may=True, words=f"{name} is a team leader, {leads.words}.", until=leads.until)


def qualification_faults(values: Mapping, *, today: date) -> dict[str, str]:
    """Field -> sentence, for a line as it is entered or changed."""
    faults = {}
    if not values.get("person"):
        faults["person"] = "Choose the person: only people who sign in here can be entered."
    if values.get("kind") not in {kind.value for kind in QualificationKind}:
        faults["kind"] = "Choose what the person is qualified as."
    if not (values.get("basis") or "").strip():
        faults["basis"] = "Say what it rests on: licence, degree and years, course passed."
    if not (values.get("evidence") or "").strip():
        faults["evidence"] = "Say where the proof is kept: the rule asks for it to be kept."
    return faults | _date_faults(values, today) | _hour_faults(values)


def withdrawal_fault(reason: str) -> dict[str, str]:
    """A line is withdrawn for a reason."""
    return {} if reason.strip() else {"reason": "Say why it is withdrawn: the reason stays on record."}


def _date_faults(values: Mapping, today: date) -> dict[str, str]:
    since, expires, refreshed = values.get("held_since"), values.get("expires_on"), values.get("refreshed_on")
    faults = {}
    if since is None:
        faults["held_since"] = "Give the day it was gained."
    elif since > today:
        faults["held_since"] = "The day it was gained lies in the future: enter it once it is gained."
    if since and expires and expires <= since:
        faults["expires_on"] = f"It cannot expire on or before the day it was gained, {_day(since)}."
    if refreshed and refreshed > today:
        faults["refreshed_on"] = "The refresher lies in the future: enter it once it is finished."
    elif since and refreshed and refreshed < since:
        faults["refreshed_on"] = f"A refresher is taken after the qualification was gained, on {_day(since)}."
    return faults


def _hour_faults(values: Mapping) -> dict[str, str]:
    hours, refreshed = values.get("refresher_hours"), values.get("refreshed_on")
    if hours is not None and (not isfinite(hours) or not 0 <= hours <= MOST_HOURS):
        return {"refresher_hours": f"Refresher hours must be from 0 to {MOST_HOURS:g}; {hours:,g} was entered."}
    if refreshed and hours is None:
        return {"refresher_hours": "Say how many hours of refresher training there were up to that day."}
    if hours and not refreshed:
        return {"refreshed_on": "Give the day the last of these hours was finished."}
    return {}


def _last_day_of(line: Held, refresher: Refresher) -> tuple[date | None, str]:
    """The earlier of its own last day and the end of the refresher's months, and which it is."""
    ends = [] if line.expires_on is None else [(line.expires_on, "its own last day")]
    if line.kind in REFRESHED:
        enough = line.refreshed_on is not None and (line.refresher_hours or 0) >= refresher.hours
        counted_from = line.refreshed_on if enough else line.held_since
        asked = f"{refresher.hours:g} hours of refresher in {refresher.months} months"
        ends.append((last_day(counted_from, refresher.months), asked))
    return min(ends) if ends else (None, "")


def _day(on: date) -> str:
    return f"{on.day} {on:%b %Y}"


def _days(number: int) -> str:
    return f"{number} day" + ("" if number == 1 else "s")
