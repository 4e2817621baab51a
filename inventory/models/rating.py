"""How a county rates: the settings its engineer has adopted, and the vehicles of its State and its own."""

from django.db import models
from django.db.models import Q

from inventory.vocabulary.vehicles import USUAL_SET, SignClass, VehicleClass

from .people import Agency


def default_vehicles() -> list[str]:
    """The usual set, as a list of its own for each row."""
    return list(USUAL_SET)


class RatingSettings(models.Model):
    """Owner policy beside the posting level and the rounding that stand on the agency.

    What each means, its default and its source: `rules/rating_settings`. `revision` counts the changes of settings and
    of vehicles; a structure rated under an older one is owed a new rating, for the reason in `last_change`.
    """

    agency = models.OneToOneField(Agency, on_delete=models.CASCADE, related_name="rating_settings", primary_key=True)
    posting_method = models.CharField(max_length=4, default="ASR")
    load_factor_table = models.CharField(max_length=4, default="2013")
    one_lane_case_too = models.BooleanField(default=True)
    emergency_in_one_lane = models.BooleanField(default=False)
    raise_condition_where_measured = models.BooleanField(default=False)
    rate_edge_strip = models.BooleanField(default=False)
    deflection_ratio = models.FloatField(default=425.0)
    transition_in = models.FloatField(default=0.25)
    least_shell_in = models.FloatField(default=2.0)
    least_shell_ratio = models.FloatField(default=0.25)
    pressure_floor_psi = models.FloatField(default=40.0)
    closing_pressure_psi = models.FloatField(default=20.0)
    pressure_reason = models.CharField(max_length=300, blank=True)
    drilled_void_below = models.FloatField(default=0.50)
    drilled_sound_from = models.FloatField(default=0.75)
    wave_sound_us_per_ft = models.FloatField(default=259.0)
    wave_grade_ratio = models.FloatField(default=1.3)
    wave_half_ratio = models.FloatField(null=True, default=1.5)
    wave_void_ratio = models.FloatField(null=True, default=2.0)
    standard_vehicles = models.JSONField(default=default_vehicles)
    vehicles_in_use = models.JSONField(default=list, help_text="Keys of the agency's own, as the last sweep saw them.")
    revision = models.PositiveIntegerField(default=0)
    last_change = models.CharField(max_length=200, blank=True)

    class Meta:
        verbose_name_plural = "rating settings"

    def __str__(self):
        return f"rating settings of {self.agency}"


class RatingVehicle(models.Model):
    """A vehicle of the State or the county. Ratings keep their own copy, so a change here never changes an old one.

    `axles_kip` front to rear; `spacings_ft` a (least, most) pair for each gap, alike where it does not vary.
    """

    agency = models.ForeignKey(Agency, on_delete=models.PROTECT, related_name="rating_vehicles")
    key = models.CharField(max_length=20, help_text="Short, as it will stand in tables, such as ST-4.")
    name = models.CharField(max_length=60)
    vehicle_class = models.CharField("class", max_length=10, choices=VehicleClass.choices())
    sign_class = models.CharField(
        "counts on the sign as", max_length=12, choices=SignClass.choices(), default=SignClass.SINGLE_UNIT.value
    )
    axles_kip = models.JSONField()
    spacings_ft = models.JSONField(default=list)
    gross_kip = models.FloatField()
    lane_klf = models.FloatField("lane load", null=True, blank=True)
    lane_moment_kip = models.FloatField("its load for moment", null=True, blank=True)
    lane_shear_kip = models.FloatField("its load for shear", null=True, blank=True)
    relieving_axles_dropped = models.BooleanField(default=False)
    source = models.CharField(max_length=200, help_text="Law, rule or order that makes it legal, with its section.")
    in_use_from = models.DateField()
    in_use_to = models.DateField("retired on", null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["agency", "key"]
        constraints = [
            models.UniqueConstraint(fields=["agency", "key"], name="vehicle_key_once_per_agency"),
            models.CheckConstraint(condition=Q(gross_kip__gt=0), name="vehicle_weight_positive"),
            models.CheckConstraint(
                condition=Q(in_use_to__isnull=True) | Q(in_use_to__gte=models.F("in_use_from")),
                name="vehicle_retired_after_in_use",
            ),
        ]

    def __str__(self):
        return f"{self.key} {self.name}"
