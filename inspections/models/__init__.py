"""Findings, ratings, recommendations and reminders as rows."""

from .forecasts import BarForecast, BarPool
from .inspections import ElementState, Finding, Inspection
from .ratings import OwedRating, Rating, Recommendation
from .recalculation import RecalculatedRating, Recalculation
from .reminders import OwedMessage, Reminder
from .stressing import LoggedPull, StressingDay

__all__ = [
    "BarForecast",
    "BarPool",
    "ElementState",
    "Finding",
    "Inspection",
    "LoggedPull",
    "OwedMessage",
    "OwedRating",
    "Rating",
    "RecalculatedRating",
    "Recalculation",
    "Recommendation",
    "Reminder",
    "StressingDay",
]
