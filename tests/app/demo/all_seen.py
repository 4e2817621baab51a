"""What a seeded county shows, to hold two of them beside each other."""

import json
from collections import Counter

from inspections.models import (
    BarForecast,
    ChannelSurvey,
    FieldStop,
    Finding,
    Inspection,
    LoggedPull,
    QualityCheck,
    Rating,
    Recommendation,
    Reminder,
    ScourAppraisal,
    StressingDay,
)
from inventory.models import (
    DeliveredBeam,
    Jack,
    MemberGroup,
    Posting,
    Qualification,
    SettingStep,
    Structure,
    SurfacingLayer,
)


def all_seen() -> Counter[str]:
    """Everything that would be seen, without the numbers the database gave the rows."""
    seen = Counter()
    for model, fields in (
        (Structure, ("number", "road_name", "feature_crossed", "lon_deg", "lat_deg", "length_ft", "installed_on")),
        (MemberGroup, ("span__structure__number", "role", "count", "width_in", "depth_in", "grade")),
        (Inspection, ("structure__number", "kind", "state", "field_completed_on", "superstructure_rating")),
        (Finding, ("inspection__structure__number", "kind", "station_ft", "force_lb", "depth_in")),
        (SurfacingLayer, ("structure__number", "material", "thickness_in", "laid_on", "removed_on")),
        (Rating, ("structure__number", "is_rated", "least_factor", "as_of")),
        (Recommendation, ("structure__number", "state", "restriction", "single_ton", "made_on")),
        (Posting, ("structure__number", "restriction", "single_ton", "decided_on")),
        (Jack, ("name", "serial", "calibrated_on")),
        (DeliveredBeam, ("record__structure__number", "mark", "place", "weight_lb")),
        (SettingStep, ("record__structure__number", "key", "done_on", "value", "passed_over_reason")),
        (StressingDay, ("structure__number", "state", "planned_for", "released_most_lb")),
        (LoggedPull, ("day__structure__number", "pull_number", "bar_index", "gauge_psi", "elongation_in", "state")),
        (BarForecast, ("structure__number", "level", "recommended_on", "need_reached_early_on", "posting_horizon_on")),
        (Reminder, ("structure__number", "kind", "due_on", "state", "reason")),
        (Qualification, ("person__username", "kind", "held_since", "expires_on", "refreshed_on")),
        (FieldStop, ("structure__number", "kind", "order", "day__on", "day__leader__username", "day__override_reason")),
        (ChannelSurvey, ("section__structure__number", "inspection__field_completed_on", "points", "water_ft")),
        (ScourAppraisal, ("structure__number", "on", "result")),
        (QualityCheck, ("inspection__structure__number", "inspection__field_completed_on", "sample__seed", "state")),
    ):
        seen.update(f"{model.__name__}: {json.dumps(row, default=str)}" for row in model.objects.values_list(*fields))
    return seen
