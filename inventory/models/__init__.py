"""What the county owns and who works here, as rows: fields and constraints; nothing is decided here."""

from .bars import Bar, StressingSystem
from .event import Document, Event
from .history import SurfacingLayer, Treatment, Work
from .members import MemberGroup, Railing, SubstructureUnit
from .people import Agency, Membership, Person
from .posting import Posting, Sign
from .rating import RatingSettings, RatingVehicle
from .records import FederalRecord, HeldChange, RecordImport
from .standing import Standing
from .structure import Span, Structure

__all__ = [
    "Agency",
    "Bar",
    "Document",
    "Event",
    "FederalRecord",
    "HeldChange",
    "MemberGroup",
    "Membership",
    "Person",
    "Posting",
    "Railing",
    "RatingSettings",
    "RatingVehicle",
    "RecordImport",
    "Sign",
    "Span",
    "Standing",
    "StressingSystem",
    "Structure",
    "SubstructureUnit",
    "SurfacingLayer",
    "Treatment",
    "Work",
]
