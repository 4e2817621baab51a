"""Axle trains as data: the rating vehicles, and the county's own."""

from .trains import STANDARD_VEHICLES, LaneLoad, Vehicle, find_vehicle

__all__ = ["STANDARD_VEHICLES", "LaneLoad", "Vehicle", "find_vehicle"]
