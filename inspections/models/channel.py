"""The stream under a structure: sections across the channel, soundings, appraisals of scour, plans of action."""

from django.conf import settings
from django.db import models

from inspections.vocabulary.findings import ScourResult


class ChannelSection(models.Model):
    """A line across the channel that is sounded again and again; stations run from the left end looking ahead on the
    road, depths down from the datum (a mark on the structure that does not move)."""

    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="channel_sections")
    name = models.CharField(max_length=60, help_text="Upstream face, downstream face, 50 ft upstream.")
    datum = models.CharField(max_length=120, help_text="What the depths are measured down from.")
    order = models.PositiveSmallIntegerField(default=1)
    foundation_ft = models.FloatField("underside of footing or pile tips below the datum", null=True, blank=True)

    class Meta:
        ordering = ["structure", "order", "id"]
        constraints = [models.UniqueConstraint(fields=["structure", "name"], name="channel_section_once")]

    def __str__(self):
        return self.name


class ChannelSurvey(models.Model):
    """Soundings of one section at one inspection: `points` is [[station_ft, depth_ft], ...] by rising station."""

    inspection = models.ForeignKey("inspections.Inspection", on_delete=models.CASCADE, related_name="channel_surveys")
    section = models.ForeignKey(ChannelSection, on_delete=models.CASCADE, related_name="surveys")
    points = models.JSONField()
    water_ft = models.FloatField("water surface below the datum", null=True, blank=True)
    method = models.CharField(max_length=40, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["section", "inspection"]
        constraints = [models.UniqueConstraint(fields=["inspection", "section"], name="section_once_per_inspection")]

    def __str__(self):
        return f"{self.section}, {self.inspection_id}"


class ScourAppraisal(models.Model):
    """An engineer's appraisal of scour; the newest counts, older ones stay."""

    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="scour_appraisals")
    on = models.DateField()
    result = models.CharField(max_length=10, choices=ScourResult.choices())
    foundation = models.CharField(max_length=200, blank=True)
    basis = models.CharField("what it rests on", max_length=300)
    reasons = models.TextField(blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["structure", "-on", "-id"]

    def __str__(self):
        return f"{ScourResult.label_of(self.result)}, {self.on}"


class ScourPlan(models.Model):
    """The plan of action of a scour critical bridge or of unknown foundations: when to watch, when to close."""

    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="scour_plans")
    appraisal = models.ForeignKey(ScourAppraisal, on_delete=models.PROTECT, related_name="plans")
    watch_when = models.CharField("watched when", max_length=300)
    watch_how = models.CharField("watched how", max_length=300)
    close_when = models.CharField("closed when", max_length=300)
    reopen_when = models.CharField("opened again when", max_length=300, blank=True)
    countermeasures = models.TextField(blank=True)
    review_on = models.DateField("looked at again on")
    adopted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    adopted_on = models.DateField()
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["structure", "-adopted_on", "-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["structure"], condition=models.Q(ended_on__isnull=True), name="one_scour_plan_in_force"
            )
        ]

    def __str__(self):
        return f"scour plan of {self.structure_id}, {self.adopted_on}"
