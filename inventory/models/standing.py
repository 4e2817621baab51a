"""What an upper room knows of a structure, in one row that lists, filters, map and exports read."""

from django.db import models

from inventory.vocabulary.structures import BarStanding, ConditionClass, Restriction

from .structure import Structure


class Standing(models.Model):
    """Written only by actions of the inspections and maps rooms, never by a page."""

    structure = models.OneToOneField(Structure, on_delete=models.CASCADE, related_name="standing", primary_key=True)
    condition_class = models.CharField(
        max_length=10, choices=ConditionClass.choices(), default=ConditionClass.NOT_RATED.value
    )
    lowest_rating = models.PositiveSmallIntegerField("lowest component rating", null=True, blank=True)
    deck_rating = models.CharField(max_length=1, blank=True)
    superstructure_rating = models.CharField(max_length=1, blank=True)
    substructure_rating = models.CharField(max_length=1, blank=True)
    culvert_rating = models.CharField(max_length=1, blank=True)
    least_factor = models.FloatField("least legal rating factor", null=True, blank=True)
    governing = models.CharField(max_length=160, blank=True)
    rated_on = models.DateField(null=True, blank=True)
    restriction = models.CharField(max_length=8, choices=Restriction.choices(), default=Restriction.UNKNOWN.value)
    sign_words = models.CharField(max_length=120, blank=True)
    posted_ton = models.FloatField(null=True, blank=True)
    emergency_gross_ton = models.FloatField("emergency vehicles, gross limit", null=True, blank=True)
    sign_awaited = models.BooleanField(default=False)
    decision_awaited = models.BooleanField(default=False)
    bar_state = models.CharField(max_length=8, choices=BarStanding.choices(), default=BarStanding.NONE.value)
    least_pressure_psi = models.FloatField(null=True, blank=True)
    last_inspected_on = models.DateField(null=True, blank=True)
    next_due_on = models.DateField(null=True, blank=True)
    next_due_words = models.CharField(max_length=200, blank=True)
    missing_count = models.PositiveSmallIntegerField(default=0)
    surface_material = models.CharField(max_length=12, blank=True)
    detour_mi = models.FloatField(null=True, blank=True)
    rated_revision = models.PositiveIntegerField(
        default=0, help_text="The structure's revision that the last rating saw; behind it, a rating is owed."
    )
    rated_settings_revision = models.PositiveIntegerField(
        default=0, help_text="The agency's rating settings that the last rating saw."
    )
    updated_on = models.DateField(null=True, blank=True)

    class Meta:
        indexes = [
            models.Index(fields=["condition_class"]),
            models.Index(fields=["restriction"]),
            models.Index(fields=["next_due_on"]),
            models.Index(fields=["bar_state"]),
        ]

    def __str__(self):
        return f"{self.structure_id}: {self.condition_class}, {self.restriction}"
