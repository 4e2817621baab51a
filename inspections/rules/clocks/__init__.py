"""Due dates: pure rules from facts to dates with reasons. The intervals and their sources stand in `intervals`."""

from .bar_facts import BarFact, BarsFacts, ForecastFact, erection_started
from .bars import bar_dues
from .inspection import inspection_clocks, inspection_dues
from .inspection_facts import InspectionFacts, NeedFact, VisitFact
from .inspection_interval import routine_interval, standing_in
from .months import add_months, add_years
from .retension import recorded_due, retension_due
from .schedule import (
    INSPECTION_OF,
    ScheduleLine,
    rating_due,
    record_entry_due,
    schedule_lines,
    schedule_notes,
    visit_due_on,
)
from .signs import PostingFacts, ProposalFacts, SignFact, posting_dues, sign_dues
from .structure import StructureFacts, all_dues, closing, settled_on
from .terms import AGENCY_FIELDS, POLICY_FIELDS, STANDARD, Due, Policy, day
from .tolerance import tolerance_end
from .upkeep import Layer, SurfaceFacts, Treated, TreatmentFacts, surface_due, treatment_due
from .visits import VISIT_KINDS, kind_offered, visit_dues
from .words import (
    CLOSED_BY_RECORD,
    INSPECTION_KINDS,
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
    "AGENCY_FIELDS",
    "CLOSED_BY_RECORD",
    "INSPECTION_KINDS",
    "INSPECTION_OF",
    "LAW_KINDS",
    "POLICY_FIELDS",
    "SOON_DAYS",
    "STANDARD",
    "VISIT_KINDS",
    "BarFact",
    "BarsFacts",
    "Due",
    "ForecastFact",
    "InspectionFacts",
    "Lateness",
    "Layer",
    "NeedFact",
    "Policy",
    "PostingFacts",
    "ProposalFacts",
    "ScheduleLine",
    "SignFact",
    "StructureFacts",
    "SurfaceFacts",
    "Treated",
    "TreatmentFacts",
    "VisitFact",
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
    "inspection_clocks",
    "inspection_dues",
    "kind_offered",
    "lateness",
    "latest_deferral",
    "posting_dues",
    "rating_due",
    "record_entry_due",
    "recorded_due",
    "retension_due",
    "routine_interval",
    "schedule_lines",
    "schedule_notes",
    "settled_on",
    "sign_dues",
    "standing_in",
    "surface_due",
    "tolerance_end",
    "treatment_due",
    "visit_due_on",
    "visit_dues",
]
