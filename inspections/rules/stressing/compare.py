"""A logged pull beside the plan: gauge, lock-off, elongation and neighbours, in percent and in words.

What counts as off: the same percentages that stop a pull (`stops`, owner policy); a neighbour's loss is only told,
since the interaction of the plan is a `model` until the first pass is read.
"""

from dataclasses import dataclass

from .stops import PullAsked, PullSeen, StopLimits, expected_elongation_in


@dataclass(frozen=True, kw_only=True)
class Deviation:
    """One figure beside the plan. `pct` is of the planned value, None where that is nothing or not read."""

    name: str
    unit: str
    planned: float | None
    seen: float | None
    pct: float | None
    words: str
    is_off: bool = False


def deviation_pct(planned: float | None, seen: float | None) -> float | None:
    """Percent above (+) or below (-) the plan."""
    if planned is None or seen is None or abs(planned) < 1e-9:
        return None
    return 100.0 * (seen / planned - 1.0)


def compared(
    asked: PullAsked, seen: PullSeen, limits: StopLimits, neighbours_planned: dict[int, tuple[str, float, float]]
) -> tuple[Deviation, ...]:
    """Rows of the comparison. `neighbours_planned`: bar index to (name, force before, force after) by the plan, lb."""
    rows = [
        _row("Gauge", "psi", asked.gauge_psi, seen.gauge_psi, limits.short_of_pct),
        _row("Force left after lock-off", "lb", asked.locked_lb, seen.locked_lb, limits.short_of_pct),
    ]
    expected = asked.elongation_in if seen.gauge_psi is None else expected_elongation_in(asked, seen.gauge_psi)
    rows.append(_row("Elongation for that gauge", "in", expected, seen.elongation_in, limits.disagree_pct))
    for index, before, after in seen.neighbours:
        if index in neighbours_planned:
            rows.append(_neighbour(neighbours_planned[index], before, after))
    return tuple(rows)


def _row(name: str, unit: str, planned: float | None, seen: float | None, most_pct: float) -> Deviation:
    pct = deviation_pct(planned, seen)
    off = pct is not None and abs(pct) > most_pct
    if seen is None:
        words = "not read"
    elif pct is None:
        words = "nothing to compare with"
    else:
        words = side_words(pct) + (f", more than {most_pct:g} % off" if off else "")
    return Deviation(name=name, unit=unit, planned=planned, seen=seen, pct=pct, words=words, is_off=off)


def side_words(pct: float) -> str:
    """'3 % above the plan', 'as planned' within half a percent."""
    if abs(pct) < 0.5:
        return "as planned"
    return f"{abs(pct):.0f} % {'above' if pct > 0 else 'below'} the plan"


def _neighbour(planned: tuple[str, float, float], before: float, after: float) -> Deviation:
    name, planned_before, planned_after = planned
    loss, planned_loss = before - after, planned_before - planned_after
    pct = deviation_pct(planned_loss, loss)
    if loss < 0:
        words = f"gained {-loss:,.0f} lb: a neighbour loses force, so read it again"
    elif pct is None:
        words = f"lost {loss:,.0f} lb, the plan says none"
    elif abs(pct) < 5:
        words = f"lost {loss:,.0f} lb, as planned"
    else:
        words = f"lost {loss:,.0f} lb, {abs(pct):.0f} % {'more' if pct > 0 else 'less'} than planned"
    return Deviation(
        name=f"Loss of bar {name}", unit="lb", planned=planned_loss, seen=loss, pct=pct, words=words, is_off=loss < 0
    )
