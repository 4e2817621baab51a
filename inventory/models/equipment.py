"""Jacks with their gauges: what a gauge reading is worth as a force."""

from django.db import models
from django.db.models import Q

from .people import Agency


class Jack(models.Model):
    """A hydraulic jack and the gauge calibrated with it. `efficiency` from its calibration, never guessed."""

    agency = models.ForeignKey(Agency, on_delete=models.PROTECT, related_name="jacks")
    name = models.CharField(max_length=40, help_text="As painted on it, such as Jack 2.")
    serial = models.CharField("serial of the jack", max_length=40)
    ram_area_in2 = models.FloatField("ram area")
    efficiency = models.FloatField(help_text="From the calibration, 0.95 to 1.0 usual.")
    capacity_lb = models.FloatField("rated capacity", null=True, blank=True)
    gauge_serial = models.CharField("serial of the gauge", max_length=40, blank=True)
    gauge_division_psi = models.FloatField("smallest division of the gauge", default=100)
    gauge_most_psi = models.FloatField("end of the gauge's scale", null=True, blank=True)
    calibrated_on = models.DateField("jack and gauge calibrated", null=True, blank=True)
    calibration_months = models.PositiveSmallIntegerField("calibration holds for", default=12)
    calibrated_by = models.CharField(max_length=80, blank=True)
    retired_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["agency", "name"]
        constraints = [
            models.UniqueConstraint(fields=["agency", "serial"], name="jack_serial_once_per_agency"),
            models.CheckConstraint(
                condition=Q(ram_area_in2__gt=0) & Q(efficiency__gt=0) & Q(gauge_division_psi__gt=0),
                name="jack_sizes_positive",
            ),
        ]

    def __str__(self):
        return f"{self.name} ({self.serial})"
