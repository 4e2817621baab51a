"""When a pull must stop, and what may not be logged at all: each a sentence with figures and what to do.

Force by the gauge F = p A_ram eff, efficiency from the calibration (EM 7700-8 chapter 9, memory).
Elongation and gauge checking one another within a few percent is common practice of prestressing, no source; how many
percent is the county's policy (`model`). A plate that sinks more than 1/8 in: record, look again, expected force is
lost (`model`). No load above the released sheet, none above 0.70 of the tensile strength of the net area (`memory`,
LRFD 9.9.5.6), none above the jack's scale or rating.
"""

from dataclasses import dataclass

from inspections.rules.force_or_pressure import looks_like_pressure

WHAT_TO_DO = "Stop. Let the jack off slowly, keep everybody out of line with the bar, and call the engineer."
ELONGATION_READ_IN = 1.0 / 32.0
"""How finely a movement is read beside a jack: nearer than this, gauge and tape do not disagree (`model`)."""
GAUGE_MOST_PSI, MOVE_MOST_IN, SINK_READ_MOST_IN = 20_000.0, 60.0, 12.0
"""Nothing beside a jack reads more than this: slips of the keyboard (`model`)."""
SAY_SO = "If it is right, write in the note that it is."


@dataclass(frozen=True, kw_only=True)
class StopLimits:
    """The county's policy: percent between gauge and elongation, inches a plate may sink, percent short of the pull."""

    disagree_pct: float = 7.0
    sink_most_in: float = 0.125
    short_of_pct: float = 5.0


@dataclass(frozen=True, kw_only=True)
class PullAsked:
    """One bar of one pull as the plan in use asks for it, with its jack. Forces lb, pressures psi, lengths in.

    `before_lb` is the best knowledge of the bar's force before the pull; `bar_limit_lb` 0.70 f_pu times the net area;
    `wood_limit_lb` what its plate and the deck or flange allow. None: not on record.
    """

    bar: str
    jack: str
    pull_number: int
    pass_number: int
    set_lb: float
    gauge_psi: float
    locked_lb: float
    elongation_in: float
    before_lb: float
    ram_area_in2: float
    efficiency: float
    gauge_division_psi: float
    released_most_lb: float
    bar_limit_lb: float
    wood_limit_lb: float | None = None
    capacity_lb: float | None = None
    gauge_most_psi: float | None = None

    def force_lb(self, gauge_psi: float) -> float:
        """F = p A_ram eff, lb."""
        return gauge_psi * self.ram_area_in2 * self.efficiency

    @property
    def half_division_lb(self) -> float:
        """Force of half a division of the gauge: a pressure rounded to the division may stand so far off, lb."""
        return self.force_lb(self.gauge_division_psi / 2.0)


@dataclass(frozen=True, kw_only=True)
class PullSeen:
    """What the crew saw. `neighbours`: (bar index, force before, force after), lb. `gauge_is_so`: looked at again, the
    gauge really stood above the sheet. `order_reason`: why this pull is made before its turn."""

    gauge_psi: float | None
    elongation_in: float | None = None
    locked_lb: float | None = None
    force_method: str = ""
    plate_sunk_in: float | None = None
    neighbours: tuple[tuple[int, float, float], ...] = ()
    did_not_reach: bool = False
    gauge_is_so: bool = False
    note: str = ""
    order_reason: str = ""


def entry_refusals(asked: PullAsked, seen: PullSeen) -> tuple[str, ...]:
    """Why what was typed cannot be taken as a pull; empty where it can."""
    if seen.gauge_psi is None:
        return ("Write the gauge pressure that was reached, in psi; 0 where the jack never moved.",)
    told = [_scale_refusal(asked, seen.gauge_psi)]
    if not told[0] and not seen.gauge_is_so:
        told.append(above_sheet(asked, seen.gauge_psi))
    for value, most, word in (
        (seen.elongation_in, MOVE_MOST_IN, "The elongation"),
        (seen.plate_sunk_in, SINK_READ_MOST_IN, "What the plate sank"),
    ):
        if value is not None and not 0 <= value <= most:
            told.append(f"{word} is {value:g} in, outside 0 to {most:g} in: measure it again.")
    told.append(_locked_refusal(asked, seen))
    return tuple(sentence for sentence in told if sentence)


def _scale_refusal(asked: PullAsked, gauge_psi: float) -> str:
    if gauge_psi < 0:
        return f"The gauge cannot stand at {gauge_psi:,.0f} psi, below zero: read it again."
    most = min(asked.gauge_most_psi or GAUGE_MOST_PSI, GAUGE_MOST_PSI)
    if gauge_psi > most:
        hint = (
            " It looks like a force in lb: write the pressure in psi."
            if 0.5 * asked.set_lb <= gauge_psi <= 1.5 * asked.set_lb
            else " Read it again."
        )
        return (
            f"The gauge of {asked.jack} ends at {most:,.0f} psi, so it cannot have stood at "
            f"{gauge_psi:,.0f} psi; nothing was saved.{hint}"
        )
    return ""


def above_sheet(asked: PullAsked, gauge_psi: float) -> str:
    """The sentence where a gauge stands above what the sheet, the bar, the wood or the jack allows, else empty.

    Half a division of the gauge is let pass: the sheet's own pressures are rounded to the division.
    """
    force = asked.force_lb(gauge_psi)
    limits = [
        (asked.released_most_lb, "the greatest pull of the released sheet"),
        (asked.bar_limit_lb, f"the limit of bar {asked.bar} (0.70 of its tensile strength)"),
        (asked.wood_limit_lb, f"the limit of the plate, deck or flange at bar {asked.bar}"),
        (asked.capacity_lb, f"the rating of {asked.jack}"),
    ]
    for limit, words in limits:
        if limit is not None and force > limit + asked.half_division_lb * (1.0 + 1e-9):
            return (
                f"{gauge_psi:,.0f} psi is {force:,.0f} lb on bar {asked.bar}, above {words}, {limit:,.0f} lb: no load "
                f"above the sheet. Read the gauge again. {WHAT_TO_DO}"
            )
    return ""


def _locked_refusal(asked: PullAsked, seen: PullSeen) -> str:
    locked = seen.locked_lb
    if locked is None:
        return ""
    if locked < 0:
        return f"The force read after lock-off is {locked:,.0f} lb, below zero: read it again."
    top = max(asked.set_lb, asked.force_lb(seen.gauge_psi), asked.before_lb)
    if locked > 1.1 * top + asked.half_division_lb:
        return (
            f"Bar {asked.bar} cannot hold {locked:,.0f} lb after lock-off where it was pulled to {top:,.0f} lb: read "
            "it again, and write the force in lb."
        )
    if seen.did_not_reach or seen.note.strip():
        return ""
    question = looks_like_pressure(force_lb=locked, expected_lb=asked.locked_lb, ram_lb_per_psi=asked.force_lb(1.0))
    return question and f"After lock-off, bar {asked.bar}: {question} {SAY_SO}"


def what_happened(reason: str) -> str:
    """A stop reason without what to do, so that several can be told with the order once."""
    return reason.replace(WHAT_TO_DO, "").strip()


def held_words(standing: str, reasons: tuple[str, ...], most: int) -> str:
    """The reason a day is held for, at most `most` characters: the order first where a stop rule gives one."""
    told = [what_happened(standing)] if standing else []
    told += [what_happened(reason) for reason in reasons if what_happened(reason) not in standing]
    if any(WHAT_TO_DO in words for words in (standing, *reasons)):
        told.insert(0, WHAT_TO_DO)
    words = " ".join(told)
    return words if len(words) <= most else words[: most - 3].rstrip() + "..."


def stop_reasons(asked: PullAsked, seen: PullSeen, limits: StopLimits) -> tuple[str, ...]:
    """Every stop rule this pull meets, as sentences; empty where the crew may go on.

    `seen.gauge_psi` is a number (`entry_refusals` came first).
    """
    found = (_short(asked, seen, limits), _sunk(asked, seen, limits), _disagree(asked, seen, limits))
    told = [sentence for sentence in found if sentence]
    over = above_sheet(asked, seen.gauge_psi)
    if over:
        return (over, *(f"{sentence} {WHAT_TO_DO}" for sentence in told))
    return tuple(f"{sentence} {WHAT_TO_DO}" for sentence in told)


def _short(asked: PullAsked, seen: PullSeen, limits: StopLimits) -> str:
    force = asked.force_lb(seen.gauge_psi)
    least = asked.set_lb * (1.0 - limits.short_of_pct / 100.0)
    reached = (
        f"Bar {asked.bar} does not reach its pull: the gauge stood at {seen.gauge_psi:,.0f} psi, {force:,.0f} lb of "
        f"{asked.set_lb:,.0f} lb"
    )
    if force < least:
        short = 100.0 * (1.0 - force / asked.set_lb)
        return f"{reached}, {short:.0f} % short (at most {limits.short_of_pct:g} %)."
    return f"{reached}, and the crew says that it would not go further." if seen.did_not_reach else ""


def _sunk(asked: PullAsked, seen: PullSeen, limits: StopLimits) -> str:
    if seen.plate_sunk_in is None or seen.plate_sunk_in <= limits.sink_most_in:
        return ""
    return (
        f"The plate of bar {asked.bar} sank {seen.plate_sunk_in:.3g} in into the wood; more than "
        f"{limits.sink_most_in:.3g} in means crushing."
    )


def expected_elongation_in(asked: PullAsked, gauge_psi: float) -> float | None:
    """Movement of the bar's end for the gauge that was reached: the planned one in proportion to the rise, in.

    The bars and wood of the model are elastic, so movement goes with the rise of force (Hooke). None where the pull
    hardly raises the bar, so that a tape says nothing.
    """
    rise = asked.set_lb - asked.before_lb
    if rise <= 0 or asked.elongation_in <= 0:
        return None
    return max(0.0, asked.elongation_in * (asked.force_lb(gauge_psi) - asked.before_lb) / rise)


def _disagree(asked: PullAsked, seen: PullSeen, limits: StopLimits) -> str:
    if seen.elongation_in is None:
        return ""
    expected = expected_elongation_in(asked, seen.gauge_psi)
    if expected is None:
        return ""
    off = seen.elongation_in - expected
    if abs(off) <= max(limits.disagree_pct / 100.0 * expected, ELONGATION_READ_IN):
        return ""
    if off > 0 and asked.before_lb <= 0:
        # The first pull of a loose bar also closes gaps and beds the plates in: more movement says nothing.
        return ""
    share = f"{100.0 * abs(off) / expected:.0f} % {'more' if off > 0 else 'less'}" if expected else "not nothing"
    why = (
        "the bar slips, the plate sinks or the gauge reads low"
        if off > 0
        else "the bar is caught, or the gauge reads high"
    )
    return (
        f"Gauge and elongation of bar {asked.bar} disagree: {seen.gauge_psi:,.0f} psi asks for {expected:.2f} in, the "
        f"bar moved {seen.elongation_in:.2f} in, {share} (at most {limits.disagree_pct:g} %): {why}."
    )
