"""Findings, ratings, recommendations and reminders as rows."""

from .inspections import ElementState, Finding, Inspection
from .ratings import OwedRating, Rating, Recommendation
from .recalculation import RecalculatedRating, Recalculation
from .reminders import OwedMessage, Reminder

__all__ = [
    "ElementState",
    "Finding",
    "Inspection",
    "OwedMessage",
    "OwedRating",
    "Rating",
    "RecalculatedRating",
    "Recalculation",
    "Recommendation",
    "Reminder",
]
