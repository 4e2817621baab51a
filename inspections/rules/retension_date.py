"""The day a row of bars should be pulled again, and why: the earliest of what the forecast and the record ask for.

The lower edge of the band decides, never the mean. Pressures are counted in whole psi rounded down, so a posting that
holds from 43.2 psi up is lost when the lower edge falls below 44. All of it is owner policy [model]; the engineer
adopts.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from .clocks import day
from .posting import GENERAL_CLASSES

STEADY_DAYS = 7
"""A date that moves by no more than this on new knowledge stays: a calendar is worth more than a few days (policy)."""
NOTICE_DAYS = 30
"""A date that moves by this much or more is told in the history (policy)."""
NAMED = 4
SIGNED_CLASSES = (*GENERAL_CLASSES, "emergency")


@dataclass(frozen=True, kw_only=True)
class Change:
    """What the posting does below a pressure: `psi` of the curve, `from_whole_psi` the least whole one from it up."""

    psi: float
    words: str

    @property
    def from_whole_psi(self) -> float:
        return float(ceil(self.psi - 1e-6))


@dataclass(frozen=True, kw_only=True)
class Reached:
    """A pressure and the day the lower edge reaches it: None not within the years looked ahead, which may be never."""

    psi: float
    words: str
    on: date | None


@dataclass(frozen=True, kw_only=True)
class Recommended:
    """The date, the sentence, and which of the reasons governs: need, limit, posting; "" with no date."""

    on: date | None = None
    why: str = ""
    governs: str = ""


def posting_changes(thresholds: Sequence[Mapping], vehicles: Sequence[Mapping]) -> list[Change]:
    """Pressures of a kept curve at which a sign would change, highest first; what only a design or permit vehicle
    notices is left out."""
    known = {row["vehicle"]: row for row in vehicles}
    said: dict[float, list[str]] = {}
    limits: dict[float, list[str]] = {}
    for row in thresholds:
        if row["kind"] == "factor 1":
            vehicle = known.get(row["vehicle"], {})
            if vehicle.get("vehicle_class") in SIGNED_CLASSES:
                limits.setdefault(row["pressure_psi"], []).append(vehicle.get("name", row["vehicle"]))
        elif (row["action_below"], row["below_tons"]) != (row["action_above"], row["above_tons"]):
            said.setdefault(row["pressure_psi"], []).append(row["words"])
    for psi, names in limits.items():
        said.setdefault(psi, []).append(f"Below it a limit is needed for {_some(list(dict.fromkeys(names)))}.")
    return [Change(psi=psi, words=" ".join(dict.fromkeys(said[psi]))) for psi in sorted(said, reverse=True)]


def _some(names: list[str]) -> str:
    """The first few by name: the curve of the rating names them all."""
    if len(names) <= NAMED + 1:
        return ", ".join(names)
    return f"{', '.join(names[:NAMED])} and {len(names) - NAMED} more"


def whole_sentences(text: str, limit: int) -> str:
    """As many whole sentences as fit."""
    kept = ""
    for sentence in text.split(". "):
        sentence = sentence if sentence.endswith(".") else f"{sentence}."
        if len(kept) + len(sentence) + 1 > limit:
            break
        kept = f"{kept} {sentence}".strip()
    return kept


def next_change(changes: Iterable[Change], counted_psi: float | None) -> Change | None:
    """The first change below the pressure counted today; None where none is left, or no pressure is known."""
    if counted_psi is None:
        return None
    return next((change for change in changes if change.psi <= counted_psi + 1e-6), None)


def recommend(
    *,
    as_of: date,
    marks: Sequence[tuple[str, Reached]],
    horizon: tuple[date, str] | None,
    lead_days: int,
    band_ratio: float,
    lowered: bool = False,
) -> Recommended:
    """The earliest of the marks of pressure (("need" or "limit", reached)) and the posting horizon less the lead.

    `lowered`: the edge was lowered to what was read, since the readings lie below the band."""
    edge = f"the lower edge of the forecast's {100 * band_ratio:.0f} % band"
    if lowered:
        edge += ", lowered to the last readings,"
    asked = []
    for governs, mark in marks:
        if mark.on is not None and mark.on <= as_of:
            why = f"{edge} is below {mark.words} ({mark.psi:.0f} psi) already, seen {day(as_of)}."
            asked.append(Recommended(on=as_of, why=why, governs=governs))
        elif mark.on is not None:
            why = f"{edge} reaches {mark.words} ({mark.psi:.0f} psi) on {day(mark.on)}."
            asked.append(Recommended(on=mark.on, why=why, governs=governs))
    if horizon is not None:
        on = max(as_of, horizon[0] - timedelta(days=lead_days))
        why = f"with nothing done the posting would change on {day(horizon[0])} at {edge}, less {lead_days} days' lead."
        asked.append(Recommended(on=on, why=why, governs="posting"))
    found = min(asked, key=lambda row: row.on, default=Recommended())
    return Recommended(on=found.on, why=found.why[:1].upper() + found.why[1:], governs=found.governs)


def kept_or_new(
    *, kept: Recommended, new: Recommended, as_of: date, pulled_since: bool, latest: date | None = None
) -> Recommended:
    """The date that stands: the kept one where the new one moves it by a few days, or only says "already" once more.

    Time that passes never moves a date that has come; a pull does, and so does a reading that shows more force.
    `latest` is the first day on which a pressure is reached or the posting would change: no steadiness keeps a date
    beyond it.
    """
    if pulled_since or kept.on is None or new.on is None:
        return new
    if new.on <= as_of:
        return kept if kept.on <= as_of else new
    if latest is not None and kept.on > latest:
        return new
    return kept if abs((new.on - kept.on).days) <= STEADY_DAYS else new


def moved_noticeably(before: date | None, after: date | None) -> bool:
    """Whether a date came, went or moved by NOTICE_DAYS or more."""
    if before is None or after is None:
        return before != after
    return abs((after - before).days) >= NOTICE_DAYS


def rating_owed_why(
    *, span: str, rated_psi: float | None, edge_psi: int | None, step_psi: float, changes: Iterable[Change]
) -> str:
    """Why the fall of the lower edge since the last rating asks for a new one; "" where it does not.

    Readings that were out of date at that rating stay unknown until the bars are read, whatever a forecast says.
    """
    if rated_psi is None or edge_psi is None or edge_psi >= rated_psi:
        return ""
    crossed = next((change for change in changes if edge_psi < change.psi <= rated_psi + 1e-6), None)
    if crossed is not None:
        return (
            f"Span {span}: the forecast of bar force fell to {edge_psi} psi, below the {crossed.psi:.1f} psi at which "
            "the posting changes"
        )
    if rated_psi - edge_psi >= step_psi:
        return f"Span {span}: the forecast of bar force fell to {edge_psi} psi, {rated_psi:.0f} psi when last rated"
    return ""
