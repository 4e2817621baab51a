"""What it means: ratings that never change, and the recommendations made from them."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.vocabulary.states import OwedState, RecommendationState
from inventory.vocabulary.structures import Restriction


class OwedRating(models.Model):
    """The queue of ratings: a row here says a structure must be rated again and why."""

    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="owed_ratings")
    inspection = models.ForeignKey(
        "inspections.Inspection", null=True, blank=True, on_delete=models.CASCADE, related_name="owed_ratings"
    )
    cause = models.CharField(max_length=200)
    state = models.CharField(max_length=8, choices=OwedState.choices(), default=OwedState.OWED.value)
    attempts = models.PositiveSmallIntegerField(default=0)
    problem = models.CharField(max_length=500, blank=True)
    rating = models.ForeignKey(
        "inspections.Rating",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="settled",
        help_text="What settled it; the last one settled names the rating that stands today.",
    )
    created_at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["state", "id"])]

    def __str__(self):
        return f"rating owed to {self.structure_id}: {self.cause}"


class Rating(models.Model):
    """Immutable: snapshot and digest of the inputs, kernel and table versions, results, reasons, trace."""

    structure = models.ForeignKey("inventory.Structure", on_delete=models.PROTECT, related_name="ratings")
    inspection = models.ForeignKey(
        "inspections.Inspection", null=True, blank=True, on_delete=models.PROTECT, related_name="ratings"
    )
    cause = models.CharField(max_length=200)
    as_of = models.DateField()
    made_at = models.DateTimeField()
    digest = models.CharField(max_length=64)
    kernel_version = models.CharField(max_length=20)
    table_versions = models.JSONField(default=dict)
    snapshot = models.JSONField()
    is_rated = models.BooleanField(default=True, help_text="False where inputs are missing; see reasons.")
    results = models.JSONField(
        default=dict, help_text="governing, spans, posting, notes, cautions as the kernel gave them."
    )
    reasons = models.JSONField(default=list)
    flags = models.JSONField(default=list)
    trace = models.JSONField(default=list)
    least_factor = models.FloatField(null=True, blank=True)
    governing = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["structure", "-made_at", "-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["structure", "digest", "kernel_version"], name="same_inputs_same_kernel_rated_once"
            )
        ]

    def __str__(self):
        return f"rating {self.pk} of {self.structure_id}, {self.as_of}"


class Recommendation(models.Model):
    """An opinion with its evidence; only `adopt` or `restrict_now` turn one into a posting."""

    structure = models.ForeignKey("inventory.Structure", on_delete=models.PROTECT, related_name="recommendations")
    rating = models.ForeignKey(Rating, null=True, blank=True, on_delete=models.PROTECT, related_name="recommendations")
    state = models.CharField(
        max_length=10, choices=RecommendationState.choices(), default=RecommendationState.PROPOSED.value
    )
    restriction = models.CharField(max_length=8, choices=Restriction.choices())
    single_ton = models.FloatField(null=True, blank=True)
    single_unit_ton = models.FloatField(null=True, blank=True)
    combination_ton = models.FloatField(null=True, blank=True)
    double_ton = models.FloatField(null=True, blank=True)
    emergency_single_axle_ton = models.FloatField(null=True, blank=True)
    emergency_tandem_ton = models.FloatField(null=True, blank=True)
    emergency_gross_ton = models.FloatField(null=True, blank=True)
    reasons = models.JSONField(default=list)
    changes_sign = models.BooleanField(default=False)
    needs_review_now = models.BooleanField(default=False)
    made_on = models.DateField()
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    decision_reason = models.CharField(max_length=500, blank=True)
    adopted_otherwise = models.BooleanField(default=False)
    posting = models.ForeignKey(
        "inventory.Posting", null=True, blank=True, on_delete=models.PROTECT, related_name="recommendations"
    )
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["structure", "-made_on", "-id"]
        constraints = [
            models.UniqueConstraint(fields=["structure"], condition=Q(state="proposed"), name="one_open_proposal")
        ]

    def __str__(self):
        return f"{self.restriction} proposed for {self.structure_id}, {self.made_on}"
