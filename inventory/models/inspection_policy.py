"""When a county inspects and how fast it answers: intervals and clocks that its State or its engineer may change."""

from django.db import models

from .people import Agency


class InspectionPolicy(models.Model):
    """Owner policy of the inspection clocks. What each means, its range, source and mark: `rules/inspection_policy`."""

    agency = models.OneToOneField(Agency, on_delete=models.CASCADE, related_name="inspection_policy", primary_key=True)
    routine_months = models.PositiveSmallIntegerField(default=24)
    routine_most_months = models.PositiveSmallIntegerField(default=24)
    routine_reduced_months = models.PositiveSmallIntegerField(default=12)
    serious_rating = models.PositiveSmallIntegerField(default=3)
    short_months = models.PositiveSmallIntegerField(default=24)
    underwater_months = models.PositiveSmallIntegerField(default=60)
    underwater_reduced_months = models.PositiveSmallIntegerField(default=24)
    in_depth_months = models.PositiveSmallIntegerField(default=60)
    in_depth_from_years = models.PositiveSmallIntegerField(default=20)
    special_months = models.PositiveSmallIntegerField(default=12)
    bar_check_months = models.PositiveSmallIntegerField(default=24)
    initial_months = models.PositiveSmallIntegerField(default=3)
    tolerance_short_months = models.PositiveSmallIntegerField(default=2)
    tolerance_long_months = models.PositiveSmallIntegerField(default=3)
    scour_visit_days = models.PositiveSmallIntegerField(default=7)
    damage_visit_days = models.PositiveSmallIntegerField(default=2)
    sign_up_days = models.PositiveSmallIntegerField(default=30)
    sign_missing_days = models.PositiveSmallIntegerField(default=30)
    posting_days = models.PositiveSmallIntegerField(default=30)
    rating_months = models.PositiveSmallIntegerField(default=3)
    record_months = models.PositiveSmallIntegerField(default=3)
    critical_tell_hours = models.PositiveSmallIntegerField(default=24)
    critical_plan_days = models.PositiveSmallIntegerField(default=30)
    critical_status_days = models.PositiveSmallIntegerField(default=30)
    refresher_months = models.PositiveSmallIntegerField(default=60)
    refresher_hours = models.PositiveSmallIntegerField(default=18)
    qa_sample_pct = models.PositiveSmallIntegerField(default=5)
    qa_rating_differs = models.PositiveSmallIntegerField(default=1)
    revision = models.PositiveIntegerField(default=0)
    last_change = models.CharField(max_length=200, blank=True)

    class Meta:
        verbose_name_plural = "inspection policies"

    def __str__(self):
        return f"inspection policy of {self.agency}"
