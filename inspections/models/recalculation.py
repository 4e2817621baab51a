"""Standing ratings computed again by a newer kernel or table, for somebody to look at before they are made anew."""

from django.conf import settings
from django.db import models

from inspections.vocabulary.states import OwedState, RecalculationState


class Recalculation(models.Model):
    """One look at what changed formulas and tables would do to a county; no rating and no posting follows by itself."""

    agency = models.ForeignKey("inventory.Agency", on_delete=models.CASCADE, related_name="recalculations")
    state = models.CharField(
        max_length=10, choices=RecalculationState.choices(), default=RecalculationState.ASKED.value
    )
    kernel_version = models.CharField(max_length=20)
    table_versions = models.JSONField(default=dict)
    standing_count = models.PositiveIntegerField(default=0, help_text="Ratings standing when it was looked at.")
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    asked_at = models.DateTimeField()
    worked_at = models.DateTimeField(help_text="When the worker last wrote something to it.")
    finished_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-asked_at", "-id"]
        indexes = [models.Index(fields=["state", "worked_at"])]

    def __str__(self):
        return f"recalculation {self.pk} of {self.agency_id}, kernel {self.kernel_version}"


class RecalculatedRating(models.Model):
    """One standing rating that a change touches: why, and (once done) the old and the new answer."""

    recalculation = models.ForeignKey(Recalculation, on_delete=models.CASCADE, related_name="lines")
    rating = models.ForeignKey("inspections.Rating", on_delete=models.CASCADE, related_name="+")
    causes = models.JSONField(default=list)
    state = models.CharField(max_length=8, choices=OwedState.choices(), default=OwedState.OWED.value)
    attempts = models.PositiveSmallIntegerField(default=0)
    change = models.JSONField(default=dict, help_text="old and new, as reckoning gives them.")
    is_changed = models.BooleanField(default=False)
    problem = models.CharField(max_length=500, blank=True)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["recalculation", "state"])]
        constraints = [
            models.UniqueConstraint(fields=["recalculation", "rating"], name="rating_recalculated_once"),
        ]

    def __str__(self):
        return f"rating {self.rating_id} again"
