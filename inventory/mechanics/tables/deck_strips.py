"""Transverse decks on stringers: widths that carry a wheel, the panel rule's constants, deck factors of planks.

Standard Specifications 3.25.1 and 3.7 (footnote on timber floors); AASHTO LRFD Table 4.6.2.1.3-1, 8.4.4.8, 3.6.1.1.2;
NDS Supplement 4A, 4B, 4D on flat use. Marks: memory, but flat use of lumber 2 to 4 in thick (checked-2nd).
"""

from __future__ import annotations

VERSION = "deck-strips 1.0"
SOURCE = "AASHTO Standard Specifications 3.25.1; AASHTO LRFD Table 4.6.2.1.3-1"

STANDARD = "AASHTO Standard Specifications 3.25.1"
LRFD = "AASHTO LRFD Table 4.6.2.1.3-1"

TIRE_LENGTH_IN = 15.0
"""Length along the bridge over which a wheel is spread besides the thickness of the deck, in."""
CONTINUITY = 0.80
"""Moment of a deck continuous over more than two spans, over that of a simple span (3.25.1.3)."""

RELIEVED = ("H20", "HS20")
RELIEVED_WHEEL_LB = 12_000.0
"""Timber floors under H 20 and HS 20: an axle of 24 kip, or two of 16 kip 4 ft apart, in place of the 32 kip axle
(Standard Specifications, footnote of figures 3.7.6A and 3.7.7A)."""

PANEL_K = {"H20": 0.51, "HS20": 0.51}
PANEL_K_OTHERS = 0.47
"""K of dowelled panels: 0.47 for H 15, 0.51 for H 20. Any other vehicle takes 0.47, which never gives less moment
(model)."""
PANEL_SPAN_IN = (20.0, 82.0)
"""Effective deck spans over which the moment of dowelled panels is used here, in; below it turns unsafe (computed: at
10 in the formula gives no moment at all), and the upper end is that of one wheel on the span."""
DOWEL_BRANCH_IN = 50.0
"""Effective deck span at which the two branches of the dowel formulas meet, in."""
ONE_WHEEL_SPAN_IN = 82.0
"""Two wheels 48 in apart bend a span more than one wheel from 48/0.586 = 81.9 in on (mechanics)."""

LRFD_STRIPS = {
    "glulam_panel": (2.0, 40.0),
    "glulam_panel_interconnected": (4.0, 30.0),
    "nail_laminated": (2.0, 40.0),
    "nail_laminated_interconnected": (4.0, 40.0),
}
"""Strip across the roadway per axle: factor on the thickness, and inches added; nailed decks by the spike-laminated
rows."""
PRESENCE_ONE_LANE = 1.20
"""Multiple presence factor of one loaded lane (LRFD 3.6.1.1.2)."""

FLAT_USE = ((4.0, 1.10, 1.00), (5.0, 1.10, 1.05), (8.0, 1.15, 1.05))
FLAT_USE_WIDER = (1.20, 1.10)
"""C_fu on F_b of lumber lying flat: up to nominal width in, for 2 and 3 in thick, for 4 in thick."""
FLAT_USE_TIMBER = {"Select Structural": 0.86, "No.1": 0.74, "No.2": 1.00}
"""Beams and stringers loaded on the wide face (NDS Supplement 4D, memory)."""
PLANK_THICKNESS_IN = (3.0, 4.0)
"""Actual thickness, in, above and up to which a plank is 4 in nominal."""
