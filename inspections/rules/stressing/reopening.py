"""May traffic come back on the span: least local pressure at least the need and never under 40 psi (`model`, common
caution; floor in service 40 psi, LRFD 9.9.5.6 commentary, `memory`), no jack on a bar of the bridge."""

from collections.abc import Sequence

from inventory.mechanics.bars import BarReading, least_local_pressure
from inventory.mechanics.bars.pressure import FLOOR_PSI
from inventory.mechanics.errors import OutsideValidity


def row_least_psi(
    *, stations_ft: Sequence[float], forces_lb: Sequence[float | None], span_ft: float, thickness_in: float
) -> float | None:
    """Least mean pressure over three bars or 10 ft of one row, psi; None where it cannot be worked out."""
    bars = tuple(
        BarReading(station_ft=station, force_lb=force, broken=force is None)
        for station, force in zip(stations_ft, forces_lb, strict=True)
    )
    try:
        length = max([span_ft, *stations_ft])
        return least_local_pressure(bars=bars, length_ft=length, thickness_in=thickness_in).least_psi
    except OutsideValidity:
        return None


def reopening_faults(
    *,
    least_psi: float | None,
    need_psi: float | None,
    other_days: Sequence[str] = (),
    is_finished: bool = True,
    bars_read: int | None = None,
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(what nobody may pass over, what an engineer may pass over with his reason); both empty: traffic may come back.

    `bars_read`: bars read after the last pull, None where it does not matter. `other_days`: names of other stressing
    days under way on the bridge, a jack may be on a bar.
    """
    hard, soft = [], []
    if not is_finished:
        hard.append(
            "The day is not finished: no traffic on the span while a jack may be on a bar. Finish the log first."
        )
    for name in other_days:
        hard.append(f"Another stressing day is under way on this bridge ({name}): no traffic until it is finished.")
    if bars_read == 0:
        soft.append(
            "No bar was read after the last pull, so what stands is the model's word alone: read bars about the "
            "weakest stretch and enter them when the day is finished, or let the engineer decide."
        )
    if least_psi is None:
        soft.append("The least local pressure cannot be worked out from the bars on record.")
    else:
        wanted = max(need_psi or 0.0, FLOOR_PSI)
        if least_psi < wanted:
            why = "the pressure needed" if need_psi and need_psi > FLOOR_PSI else "the floor in service"
            soft.append(
                f"The least local pressure is {least_psi:.0f} psi, under {why} of {wanted:.0f} psi: keep traffic off "
                "and call the engineer."
            )
    if need_psi is None:
        soft.append("What pressure this span needs is not on record: the engineer decides.")
    return tuple(hard), tuple(soft)
