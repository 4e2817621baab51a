"""Words for vehicles: what a vehicle is rated as, and on which line of a sign its limit counts."""

from .words import Words


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
