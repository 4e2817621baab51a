"""What the county owns and who works here, as rows: fields and constraints; nothing is decided here."""

from .bar_policy import BarPolicy
from .bars import Bar, StressingSystem
from .equipment import Jack
from .event import Document, Event
from .history import SurfacingLayer, Treatment, Work
from .inspection_policy import InspectionPolicy
from .members import MemberGroup, Railing, SubstructureUnit
from .people import Agency, Membership, Person
from .posting import Posting, Sign
from .qualification import EmergencyContact, Qualification
from .rating import RatingSettings, RatingVehicle
from .records import FederalRecord, HeldChange, RecordImport
from .setting import DeliveredBeam, SettingRecord, SettingStep
from .standing import Standing
from .structure import Span, Structure

__all__ = [
    "Agency",
    "Bar",
    "BarPolicy",
    "DeliveredBeam",
    "Document",
    "EmergencyContact",
    "Event",
    "FederalRecord",
    "HeldChange",
    "InspectionPolicy",
    "Jack",
    "MemberGroup",
    "Membership",
    "Person",
    "Posting",
    "Qualification",
    "Railing",
    "RatingSettings",
    "RatingVehicle",
    "RecordImport",
    "SettingRecord",
    "SettingStep",
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
