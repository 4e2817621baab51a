"""Axle weights and spacings of the rating vehicles, kip and ft.

H and HS trucks with their lane loads: AASHTO Standard Specifications 3.7. Type 3, 3S2, 3-3, SU4 to SU7 and NRL:
AASHTO Manual for Bridge Evaluation, appendix D6A (memory). EV2, EV3: FHWA memorandum of 3 November 2016 (axle limits
checked-2nd, spacing memory). State legal vehicles differ; they come in as data of the county, not here.
"""

from __future__ import annotations

VERSION = "vehicles 1.0"
SOURCE = "AASHTO Standard Specifications 3.7; Manual for Bridge Evaluation D6A; FHWA 2016"

_STD = "AASHTO Standard Specifications 3.7"
_MBE = "AASHTO Manual for Bridge Evaluation, appendix D6A"
_T = (_MBE, "memory")
_FHWA = "FHWA memorandum of 3 November 2016"
_LRFD = "AASHTO LRFD 3.6.1.2"

HL93_LANE_PLF = 640.0
"""Lane load of HL-93, standing with its truck or tandem (AASHTO LRFD 3.6.1.2.4, memory)."""
SIGN_CLASS = {"TYPE3S2": "combination", "TYPE3-3": "two_trailers", "HS15": "combination", "HS20": "combination"}
"""Line of a sign of three classes on which a vehicle counts; the others are single units."""

# id: name, class, axles kip, spacings ft (a pair is a variable spacing), lane (kip/ft, kip moment, kip shear) or None,
# axles that relieve an effect are left out, source, mark
ROWS = {
    "H15": ("H 15 truck or lane", "design", (6, 24), (14,), (0.48, 13.5, 19.5), True, _STD, "memory"),
    "H20": ("H 20 truck or lane", "design", (8, 32), (14,), (0.64, 18, 26), True, _STD, "memory"),
    "HS15": ("HS 15 truck or lane", "design", (6, 24, 24), (14, (14, 30)), (0.48, 13.5, 19.5), True, _STD, "memory"),
    "HS20": ("HS 20 truck or lane", "design", (8, 32, 32), (14, (14, 30)), (0.64, 18, 26), True, _STD, "memory"),
    "ALT-MIL": ("Alternate military load", "design", (24, 24), (4,), None, True, _STD, "checked-2nd"),
    "HL93-TRUCK": ("HL-93 design truck", "design", (8, 32, 32), (14, (14, 30)), None, True, _LRFD, "memory"),
    "HL93-TANDEM": ("HL-93 design tandem", "design", (25, 25), (4,), None, True, _LRFD, "memory"),
    "TYPE3": ("Legal truck Type 3", "legal", (16, 17, 17), (15, 4), None, False, *_T),
    "TYPE3S2": ("Legal truck Type 3S2", "legal", (10, 15.5, 15.5, 15.5, 15.5), (11, 4, 22, 4), None, False, *_T),
    "TYPE3-3": ("Legal truck Type 3-3", "legal", (12, 12, 12, 16, 14, 14), (15, 4, 15, 16, 4), None, False, *_T),
    "SU4": ("Single unit SU4", "shv", (12, 8, 17, 17), (10, 4, 4), None, False, *_T),
    "SU5": ("Single unit SU5", "shv", (12, 8, 8, 17, 17), (10, 4, 4, 4), None, False, *_T),
    "SU6": ("Single unit SU6", "shv", (11.5, 8, 8, 17, 17, 8), (10, 4, 4, 4, 4), None, False, *_T),
    "SU7": ("Single unit SU7", "shv", (11.5, 8, 8, 17, 17, 8, 8), (10, 4, 4, 4, 4, 4), None, False, *_T),
    "NRL": ("Notional rating load", "screen", (6, 8, 8, 17, 17, 8, 8, 8), ((6, 14), 4, 4, 4, 4, 4, 4), None, True, *_T),
    "EV2": ("Emergency vehicle EV2", "emergency", (24, 33.5), (15,), None, False, _FHWA, "memory"),
    "EV3": ("Emergency vehicle EV3", "emergency", (24, 31, 31), (15, 4), None, False, _FHWA, "memory"),
}  # fmt: skip
