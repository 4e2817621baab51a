"""What the federal record says of a structure, kept beside what the county knows."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.vocabulary.record_1995.columns import COLUMNS

from .structure import Structure


class RecordImport(models.Model):
    """One file read in one transaction."""

    file_name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT)
    at = models.DateTimeField()
    report = models.JSONField(default=dict)

    class Meta:
        ordering = ["-at"]

    def __str__(self):
        return f"{self.file_name}, {self.at:%Y-%m-%d}"


class FederalRecord(models.Model):
    """The raw items of the last record read, and the values it gave to the structure's fields."""

    structure = models.OneToOneField(Structure, on_delete=models.CASCADE, related_name="federal_record")
    texts = models.JSONField(
        default=list, help_text="Raw text of every item in the order of the record; null where the file lacked it."
    )
    given = models.JSONField(default=dict, help_text="Structure field to the value this record gave it.")
    refused = models.JSONField(default=list, help_text="Values not taken, with the reason.")
    digest = models.CharField(max_length=64)
    source = models.ForeignKey(RecordImport, null=True, on_delete=models.SET_NULL, related_name="records")
    line = models.PositiveIntegerField(null=True)

    def __str__(self):
        return f"federal record of {self.structure_id}"

    @property
    def items(self) -> dict[str, str]:
        """Item number to raw text, as read."""
        return {column.item: text for column, text in zip(COLUMNS, self.texts, strict=False) if text is not None}


class HeldChange(models.Model):
    """The record and the county disagree on a field the county entered by hand: a person chooses."""

    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="held_changes")
    field = models.CharField(max_length=40)
    record_value = models.JSONField(null=True)
    county_value = models.JSONField(null=True)
    source = models.ForeignKey(RecordImport, null=True, on_delete=models.SET_NULL, related_name="held")
    decision = models.CharField(
        max_length=8, blank=True, choices=[("kept", "County's value kept"), ("taken", "Record's value taken")]
    )
    decided_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT)
    decided_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["structure", "field"]
        constraints = [
            models.UniqueConstraint(fields=["structure", "field"], condition=Q(decision=""), name="one_open_hold")
        ]

    def __str__(self):
        return f"{self.structure_id} {self.field}"
