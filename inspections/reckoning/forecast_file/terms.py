"""What stands in a file of rows to forecast, in the order people write it: real dates, bars by name."""

from __future__ import annotations

from dataclasses import dataclass

METHODS = ("lift_off", "load_cell", "hand_loose", "lock_off")
LOCK_OFF, LOOSE = "lock_off", "hand_loose"


@dataclass(frozen=True, kw_only=True)
class BarInRow:
    """A bar and its station from the first bearing."""

    name: str
    station_ft: float


@dataclass(frozen=True, kw_only=True)
class FileForces:
    """The force a stressing left in one bar, by lift-off or load cell after the last pull."""

    bar: str
    force_lb: float


@dataclass(frozen=True, kw_only=True)
class FileStressing:
    """A day the bars were pulled (year-month-day), and the forces it left in them; none: only the target is known."""

    on: str
    left: tuple[FileForces, ...] = ()


@dataclass(frozen=True, kw_only=True)
class FileReading:
    """A reading of one bar on a day. ``lock_off`` is what the gauge gave when the nut was locked: never a standing
    force, so it is listed back and enters nothing. ``hand_loose``: force 0. ``confirmed``: the force is right, however
    it looks."""

    on: str
    bar: str
    force_lb: float
    method: str
    repeats: int = 1
    wood_temp_f: float | None = None
    moisture_pct: float | None = None
    confirmed: bool = False


@dataclass(frozen=True, kw_only=True)
class FileRow:
    """One row of bars: one span, one level. ``kind`` names what it may be pooled with (system and level).
    ``needed_psi``: the needed least local pressure; ``levels_psi``: others to be dated, such as that at which the
    posting would change. Bar steel and ram, where given, let readings be judged."""

    name: str
    kind: str
    length_ft: float
    thickness_in: float
    bars: tuple[BarInRow, ...]
    target_lb: float | None = None
    stressed: tuple[FileStressing, ...] = ()
    readings: tuple[FileReading, ...] = ()
    needed_psi: float | None = None
    levels_psi: tuple[float, ...] = ()
    net_area_in2: float | None = None
    tensile_psi: float = 150_000.0
    ram_area_in2: float | None = None
