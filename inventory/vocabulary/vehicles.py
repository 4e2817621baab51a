"""Words for vehicles: what a vehicle is rated as, and on which line of a sign its limit counts."""

from .words import Words

USUAL_SET = ("HS20", "HL93", "TYPE3", "TYPE3S2", "TYPE3-3", "SU4", "SU5", "SU6", "SU7", "EV2", "EV3")
"""Standard vehicles rated until the county chooses: legal and hauling trucks, emergency vehicles, HS 20 and HL-93."""


class VehicleClass(Words):
    LEGAL = "legal", "Legal truck"
    SHV = "shv", "Specialised hauling vehicle"
    EMERGENCY = "emergency", "Emergency vehicle"
    COUNTY = "county", "County's own"
    PERMIT = "permit", "Permit vehicle"


class SignClass(Words):
    SINGLE_UNIT = "single_unit", "Single unit"
    COMBINATION = "combination", "Combination, one trailer"
    TWO_TRAILERS = "two_trailers", "Combination, two trailers"
