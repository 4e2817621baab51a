"""What was done to a structure since it was set: treatment, surfacing, works."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.vocabulary.structures import Preservative, SurfaceMaterial, TreatmentKind, WorkKind

from .structure import Structure


class Treatment(models.Model):
    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="treatments")
    part = models.CharField(max_length=80, default="all timber")
    kind = models.CharField(max_length=10, choices=TreatmentKind.choices())
    preservative = models.CharField(max_length=20, choices=Preservative.choices())
    retention_pcf = models.FloatField(null=True, blank=True)
    treated_on = models.DateField()
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["structure", "-treated_on"]

    def __str__(self):
        return f"{Preservative.label_of(self.preservative)}, {self.treated_on}"


class SurfacingLayer(models.Model):
    """One layer; the layers not removed are the dead load standing on the deck, in the order laid."""

    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="surfacing")
    material = models.CharField(max_length=12, choices=SurfaceMaterial.choices())
    thickness_in = models.FloatField()
    unit_weight_pcf = models.FloatField()
    was_measured = models.BooleanField(default=False, help_text="Thickness measured in the field.")
    laid_on = models.DateField()
    removed_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["structure", "laid_on", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(thickness_in__gte=0), name="layer_thickness_not_negative"),
            models.CheckConstraint(
                condition=Q(removed_on__isnull=True) | Q(removed_on__gte=models.F("laid_on")),
                name="layer_removed_after_laid",
            ),
        ]

    def __str__(self):
        return f"{self.thickness_in:g} in {SurfaceMaterial.label_of(self.material).lower()}, {self.laid_on}"


class Work(models.Model):
    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="works")
    kind = models.CharField(max_length=12, choices=WorkKind.choices())
    done_on = models.DateField()
    summary = models.CharField(max_length=300)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT)
    crew = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["structure", "-done_on", "-id"]

    def __str__(self):
        return f"{WorkKind.label_of(self.kind)}, {self.done_on}"
