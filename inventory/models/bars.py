"""The bars that squeeze a stress-laminated span together."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from .structure import Span


class StressingSystem(models.Model):
    """Bars of one kind in one span. A design force never has a default: it comes from the design or the engineer."""

    span = models.OneToOneField(Span, on_delete=models.CASCADE, related_name="stressing")
    bar_diameter_in = models.FloatField()
    bar_area_in2 = models.FloatField("net area")
    bar_grade = models.CharField(max_length=60, default="ASTM A722, 150 ksi")
    fpu_ksi = models.FloatField("tensile strength", default=150)
    spacing_in = models.FloatField()
    stressed_depth_in = models.FloatField(help_text="Deck or flange depth the bars squeeze.")
    design_force_lb = models.FloatField(null=True, blank=True)
    design_source = models.CharField(max_length=120, blank=True)
    needed_pressure_psi = models.FloatField(
        "pressure needed", null=True, blank=True, help_text="From the design or the engineer; computed where empty."
    )
    plate_width_in = models.FloatField(null=True, blank=True)
    plate_height_in = models.FloatField(null=True, blank=True)
    plate_thickness_in = models.FloatField("plate thickness", null=True, blank=True)
    nut_plate_in = models.FloatField("width of the nut's own plate", null=True, blank=True)
    plate_yield_ksi = models.FloatField("yield strength of the plate", null=True, blank=True)
    channel_height_in = models.FloatField("steel channel, height against the edge", null=True, blank=True)
    channel_length_in = models.FloatField("steel channel, length that serves one bar", null=True, blank=True)
    edge_species = models.CharField(max_length=60, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(spacing_in__gt=0) & Q(stressed_depth_in__gt=0) & Q(bar_area_in2__gt=0),
                name="stressing_sizes_positive",
            )
        ]

    def __str__(self):
        return f"{self.bar_diameter_in:g} in bars at {self.spacing_in:g} in"


class Bar(models.Model):
    system = models.ForeignKey(StressingSystem, on_delete=models.CASCADE, related_name="bars")
    number = models.PositiveSmallIntegerField()
    station_ft = models.FloatField(help_text="From the first bearing of the span.")
    level = models.CharField(
        max_length=8, default="mid", choices=[("top", "Top"), ("mid", "Mid-depth"), ("bottom", "Bottom")]
    )
    is_usable = models.BooleanField(default=True, help_text="Pitted, bent or unidentified bars are not jacked.")
    set_aside_reason = models.CharField("why it is not jacked", max_length=200, blank=True)
    set_aside_on = models.DateField(null=True, blank=True)
    released_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    released_on = models.DateField(null=True, blank=True)
    release_reason = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["system", "level", "number"]
        constraints = [models.UniqueConstraint(fields=["system", "level", "number"], name="bar_number_once")]

    def __str__(self):
        return f"bar {self.number}" + ("" if self.level == "mid" else f" ({self.level})")
