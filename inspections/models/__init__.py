"""Findings, ratings, recommendations, reminders, field days and what comes in from the field, as rows."""

from .channel import ChannelSection, ChannelSurvey, ScourAppraisal, ScourPlan
from .critical import CriticalFinding, CriticalNotice
from .field_days import CalendarKey, FieldDay, FieldStop, InspectionNeed, OwedVisit
from .forecasts import BarForecast, BarPool
from .inspections import ElementState, Finding, Inspection, InspectionPhoto, InspectionVersion
from .quality import QualityCheck, QualityDifference, QualitySample
from .ratings import OwedRating, Rating, Recommendation
from .recalculation import RecalculatedRating, Recalculation
from .received import PhotoPlace, PhotoUpload, Receipt
from .reminders import OwedMessage, Reminder
from .stressing import LoggedPull, StressingDay

__all__ = [
    "BarForecast",
    "BarPool",
    "CalendarKey",
    "ChannelSection",
    "ChannelSurvey",
    "CriticalFinding",
    "CriticalNotice",
    "ElementState",
    "FieldDay",
    "FieldStop",
    "Finding",
    "Inspection",
    "InspectionNeed",
    "InspectionPhoto",
    "InspectionVersion",
    "LoggedPull",
    "OwedMessage",
    "OwedRating",
    "OwedVisit",
    "PhotoPlace",
    "PhotoUpload",
    "QualityCheck",
    "QualityDifference",
    "QualitySample",
    "Rating",
    "RecalculatedRating",
    "Recalculation",
    "Receipt",
    "Recommendation",
    "Reminder",
    "ScourAppraisal",
    "ScourPlan",
    "StressingDay",
]
