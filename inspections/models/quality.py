"""Quality assurance: inspections done again by another, and every difference followed until it is closed."""

from django.conf import settings
from django.db import models

from inspections.vocabulary.states import QualityState


class QualitySample(models.Model):
    """A draw from the accepted inspections of a period; the seed makes it repeatable."""

    agency = models.ForeignKey("inventory.Agency", on_delete=models.CASCADE, related_name="quality_samples")
    period_from = models.DateField()
    period_to = models.DateField()
    seed = models.PositiveIntegerField()
    share_pct = models.PositiveSmallIntegerField()
    drawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    drawn_at = models.DateTimeField()

    class Meta:
        ordering = ["-drawn_at"]

    def __str__(self):
        return f"quality sample {self.period_from} to {self.period_to}"


class QualityCheck(models.Model):
    """One inspection of the sample and the one that repeats it."""

    sample = models.ForeignKey(QualitySample, on_delete=models.CASCADE, related_name="checks")
    inspection = models.ForeignKey("inspections.Inspection", on_delete=models.PROTECT, related_name="quality_checks")
    repeated = models.ForeignKey(
        "inspections.Inspection", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    state = models.CharField(max_length=10, choices=QualityState.choices(), default=QualityState.DRAWN.value)
    closed_words = models.CharField(max_length=300, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["sample", "id"]
        constraints = [models.UniqueConstraint(fields=["sample", "inspection"], name="inspection_once_per_sample")]

    def __str__(self):
        return f"quality check of inspection {self.inspection_id}"


class QualityDifference(models.Model):
    """One thing the two inspections disagree about."""

    check_of = models.ForeignKey(QualityCheck, on_delete=models.CASCADE, related_name="differences")
    what = models.CharField(max_length=120)
    first = models.CharField(max_length=200, blank=True)
    second = models.CharField(max_length=200, blank=True)
    counts = models.BooleanField(default=True, help_text="Larger than the county's policy lets pass.")
    closed_words = models.CharField("what came of it", max_length=300, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["check_of", "id"]

    def __str__(self):
        return self.what
