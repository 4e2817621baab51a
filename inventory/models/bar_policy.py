"""How a county looks after its bars: every `model` value of loss, reading and jacking that its engineer may change."""

from django.db import models

from .people import Agency


class BarPolicy(models.Model):
    """Owner policy of bar force. What each means, its default, range, source and mark: `rules/bar_policy`."""

    agency = models.OneToOneField(Agency, on_delete=models.CASCADE, related_name="bar_policy", primary_key=True)
    log_slope_ratio = models.FloatField(default=0.13)
    log_slope_sd_ratio = models.FloatField(default=0.03)
    log_slope_spread_ratio = models.FloatField(default=0.025)
    floor_ratio = models.FloatField(default=0.50)
    floor_sd_ratio = models.FloatField(default=0.06)
    floor_spread_ratio = models.FloatField(default=0.05)
    settle_days = models.FloatField(default=180.0)
    settle_spread_factor = models.FloatField(default=1.6)
    reading_sd_ratio = models.FloatField(default=0.05)
    day_sd_ratio = models.FloatField(default=0.04)
    bar_sd_ratio = models.FloatField(default=0.10)
    stressing_sd_ratio = models.FloatField(default=0.05)
    band_ratio = models.FloatField(default=0.80)
    frost_below_f = models.FloatField(default=32.0)
    wet_above_pct = models.FloatField(default=20.0)
    retension_below_factor = models.FloatField(default=1.25)
    lead_days = models.PositiveSmallIntegerField(default=60)
    rerate_step_psi = models.FloatField(default=2.0)
    repeat_within_pct = models.FloatField(default=5.0)
    sample_every = models.PositiveSmallIntegerField(default=3)
    sample_near_ft = models.FloatField(default=10.0)
    e_transverse_ratio = models.FloatField(default=0.013)
    shear_ratio = models.FloatField(default=0.03)
    seating_in = models.FloatField(default=0.02)
    lift_off_ratio = models.FloatField(default=1.05)
    reach_ratio = models.FloatField(default=0.95)
    disagree_pct = models.FloatField(default=7.0)
    sink_most_in = models.FloatField(default=0.125)
    short_of_pct = models.FloatField(default=5.0)
    revision = models.PositiveIntegerField(default=0)
    last_change = models.CharField(max_length=200, blank=True)

    class Meta:
        verbose_name_plural = "bar policies"

    def __str__(self):
        return f"bar policy of {self.agency}"
