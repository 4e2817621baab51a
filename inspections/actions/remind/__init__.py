"""Reminders: made and closed from the record by `refresh_reminders`, moved by people with the other verbs."""

from .messages import mark_read
from .moves import acknowledge, assign, assign_many, complete, defer
from .refresh import Refreshed, refresh_reminders

__all__ = [
    "Refreshed",
    "acknowledge",
    "assign",
    "assign_many",
    "complete",
    "defer",
    "mark_read",
    "refresh_reminders",
]
