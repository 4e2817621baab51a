"""What readings taken with instruments mean for the section: the county's adopted policy, as the losses take it.

Sound stress-wave time across the grain from 259 microseconds per foot; 1.3 times sound is moderate decay, 1.5 severe,
2 a void (FPL-GTR-119 [memory]); drilling under half of sound resistance is a void, up to three quarters half effective.
Turning them into lost section is owner policy [model].
"""

from dataclasses import asdict, dataclass


@dataclass(frozen=True, kw_only=True)
class LossPolicy:
    """Wave steps are times the sound time; None leaves a step out. Drilling in parts of sound resistance."""

    wave_sound_us_per_ft: float = 259.0
    wave_grade_ratio: float = 1.3
    wave_half_ratio: float | None = 1.5
    wave_void_ratio: float | None = 2.0
    drilled_void_below: float = 0.50
    drilled_sound_from: float = 0.75
    transition_in: float = 0.25

    def wave_step(self, time_us_per_ft: float) -> str:
        """ "" for sound wood, "grade", "half" or "void"; the hardest step reached counts."""
        ratio = time_us_per_ft / self.wave_sound_us_per_ft + 1e-9
        if self.wave_void_ratio is not None and ratio >= self.wave_void_ratio:
            return "void"
        if self.wave_half_ratio is not None and ratio >= self.wave_half_ratio:
            return "half"
        return "grade" if ratio >= self.wave_grade_ratio else ""

    @property
    def half_ratio(self) -> float:
        """A part of sound resistance that the kernel takes as half effective."""
        return (self.drilled_void_below + self.drilled_sound_from) / 2.0

    def as_dict(self) -> dict:
        return asdict(self)


DEFAULT = LossPolicy()
