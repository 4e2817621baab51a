"""What stands in the invented county: one line a structure, with the story it is there to tell."""

from dataclasses import dataclass

# Stories: sound, worn (fair), overdue, decayed_stringer, overlay (took the capacity), slack (bars), posted, closed,
# no_members, no_position, no_grade, no_readings, draft, awaiting_review, sent_back, awaiting_decision, sign_unseen,
# sign_missing, just_stressed, just_set (with its setting record), retensioned (with its log), creeping (loses force
# fast), old_surface.


@dataclass(frozen=True)
class Plan:
    system: str
    year: int
    span_ft: float
    story: str = "sound"
    spans: int = 1
    runs_through: bool = False  # the stringers run on over the piers


PLANS: tuple[Plan, ...] = (
    # Sawn stringers: the oldest, the weakest, the most repaired.
    Plan("sawn_stringer", 1958, 16, "posted"),
    Plan("sawn_stringer", 1961, 18, "worn"),
    Plan("sawn_stringer", 1963, 18, "decayed_stringer"),
    Plan("sawn_stringer", 1966, 19, "posted"),
    Plan("sawn_stringer", 1969, 15, "closed"),
    Plan("sawn_stringer", 1972, 22, "overdue"),
    Plan("sawn_stringer", 1974, 18, "worn", spans=2),
    Plan("sawn_stringer", 1977, 19, "awaiting_decision"),
    Plan("sawn_stringer", 1981, 16, "no_grade"),
    Plan("sawn_stringer", 1985, 23, "overlay"),
    Plan("sawn_stringer", 1989, 18, "sign_missing"),
    Plan("sawn_stringer", 1996, 20),
    Plan("sawn_stringer", 2004, 22, spans=3),
    # Glulam stringers.
    Plan("glulam_stringer", 1978, 36, "worn"),
    Plan("glulam_stringer", 1983, 40, "sign_unseen"),
    Plan("glulam_stringer", 1988, 44, "old_surface"),
    Plan("glulam_stringer", 1992, 36, spans=2, runs_through=True),
    Plan("glulam_stringer", 1999, 52),
    Plan("glulam_stringer", 2006, 60),
    Plan("glulam_stringer", 2014, 56, "awaiting_review"),
    Plan("glulam_stringer", 2019, 40),
    # Longitudinal nail- and spike-laminated decks.
    Plan("nail_laminated", 1964, 14, "worn"),
    Plan("nail_laminated", 1968, 19, "posted"),
    Plan("nail_laminated", 1973, 18, "overdue"),
    Plan("nail_laminated", 1979, 16),
    Plan("nail_laminated", 1986, 25.5, "overlay"),
    Plan("nail_laminated", 1993, 18, spans=2),
    Plan("spike_laminated", 1982, 20, "worn"),
    Plan("spike_laminated", 1990, 22),
    Plan("spike_laminated", 2001, 24, "old_surface"),
    Plan("spike_laminated", 2011, 26),
    # Longitudinal glulam panels.
    Plan("glulam_panel", 1984, 20, "worn"),
    Plan("glulam_panel", 1991, 24, "no_position"),
    Plan("glulam_panel", 1997, 28),
    Plan("glulam_panel", 2003, 30, "draft"),
    Plan("glulam_panel", 2010, 32),
    Plan("glulam_panel", 2017, 24),
    # Stress-laminated decks.
    Plan("stress_laminated", 1989, 24, "slack"),
    Plan("stress_laminated", 1991, 28, "worn"),
    Plan("stress_laminated", 1993, 32, "no_readings"),
    Plan("stress_laminated", 1996, 26, "low_bars"),
    Plan("stress_laminated", 2000, 30, "creeping"),
    Plan("stress_laminated", 2005, 34, "sent_back"),
    Plan("stress_laminated", 2012, 28, "retensioned"),
    Plan("stress_laminated", 2024, 24, "just_stressed"),
    # Stress-laminated T- and box-beam spans.
    Plan("stress_laminated_t", 1998, 40, "low_bars"),
    Plan("stress_laminated_t", 2007, 36),
    Plan("stress_laminated_t", 2016, 44),
    Plan("stress_laminated_t", 2026, 40, "just_set"),
    Plan("stress_laminated_box", 2002, 48),
    Plan("stress_laminated_box", 2013, 54),
    # What a county knows least about.
    Plan("sawn_stringer", 1955, 14, "no_members"),
    Plan("unknown", 1949, 12, "no_members"),
    Plan("other", 1952, 46, "no_members"),
)
