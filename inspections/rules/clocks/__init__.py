"""Due dates: pure rules from facts to dates with reasons. The intervals and their sources stand in `intervals`."""

from .bar_facts import BarFact, BarsFacts, ForecastFact, erection_started
from .bars import bar_dues
from .inspection import InspectionFacts, inspection_dues, routine_interval, tolerance_end
from .months import add_months, add_years
from .retension import recorded_due, retension_due
from .signs import PostingFacts, ProposalFacts, SignFact, posting_dues, sign_dues
from .structure import StructureFacts, all_dues, closing, settled_on
from .terms import Due, Policy, day
from .upkeep import Layer, SurfaceFacts, Treated, TreatmentFacts, surface_due, treatment_due
from .words import (
    CLOSED_BY_RECORD,
    LAW_KINDS,
    SOON_DAYS,
    Lateness,
    deferral_note,
    deferral_refusal,
    first_late_day,
    lateness,
    latest_deferral,
)

__all__ = [
    "CLOSED_BY_RECORD",
    "LAW_KINDS",
    "SOON_DAYS",
    "BarFact",
    "BarsFacts",
    "Due",
    "ForecastFact",
    "InspectionFacts",
    "Lateness",
    "Layer",
    "Policy",
    "PostingFacts",
    "ProposalFacts",
    "SignFact",
    "StructureFacts",
    "SurfaceFacts",
    "Treated",
    "TreatmentFacts",
    "add_months",
    "add_years",
    "all_dues",
    "bar_dues",
    "closing",
    "day",
    "deferral_note",
    "deferral_refusal",
    "erection_started",
    "first_late_day",
    "inspection_dues",
    "lateness",
    "latest_deferral",
    "posting_dues",
    "recorded_due",
    "retension_due",
    "routine_interval",
    "settled_on",
    "sign_dues",
    "surface_due",
    "tolerance_end",
    "treatment_due",
]
