"""A fact of the trade and what it leaves open, fixed before anything was rated.

The fact (common practice, no source): a 61 ft span carried HS20 on stress-laminated T-beams of parallel strand lumber
31.5 in deep, about 20,000 lb left in each bar, T-beams of about 6,000 lb and box edge beams of about 10,000 lb each.

Given by it: span, depth, and with a stated density of 45 lb/ft3 (maker-typical, checked-2nd) the area of a T-beam,
6,000 x 144/(45 x 61) = 315 in2. "About" is read as 10 % either way. Everything else is drawn from the ranges below,
each evenly, by a seeded Latin hypercube. An inner T-beam is rated. The box edge beams are not: how they are made inside
is not given, they hold two thirds more wood at the same depth, and a curb keeps the wheels from them.
"""

from __future__ import annotations

SEED = 61
SAMPLES = 400

SPAN_FT = 61.0
DEPTH_IN = 31.5
DENSITY_PCF = 45.0

# From "about": 10 % either way (reading of the word).
BEAM_LB = (5400.0, 6600.0)
BAR_LB = (18000.0, 22000.0)

# Strand lumber is made in multiples of 1-3/4 in (common practice, no source); thicker webs leave no flange.
WEB_IN = (3.5, 5.25, 7.0)
# Centre to centre of T-beams, in: from webs that hardly part to the widest flange in use (common practice, no source).
SPACING_IN = (18.0, 36.0)
# The flange is what area is left over the clear width; a draw is kept where it lies here: room for a bar and its plate
# above 4 in, and still a T below half the depth.
FLANGE_IN = (4.0, 15.75)
# Bars 24 to 60 in apart in practice (EM 7700-8, memory).
BAR_SPACING_IN = (24.0, 60.0)
# Faces that press on each other: mu 0.35 surfaced, 0.45 rough (EM 7700-8 chapter 9, memory).
SURFACES = ("surfaced", "rough")

# Makers' typical grades: 1.8E with F_b 2400, F_v 190; 2.0E and 2.2E with F_b 2900, F_v 290 psi (memory, checked-2nd).
GRADES = ("1.8E", "2.0E", "2.2E")
# Wet factors come from makers alone; from dry to nearly saturated, treated (memory, wide on purpose).
WET_BENDING = (0.60, 1.00)
WET_SHEAR = (0.60, 1.00)
WET_MODULUS = (0.75, 1.00)

# Traffic and dead load: one lane or two; asphalt at 140 lb/ft3; railing with its curb on each side (model).
LANES = (1, 2)
ASPHALT_IN = (0.0, 4.0)
RAILING_PLF = (40.0, 150.0)
DECK_WIDTH_FT = (16.0, 32.0)
