"""Who did what, when; and the papers."""

from django.conf import settings
from django.db import models

from .people import Agency
from .structure import Structure


class Event(models.Model):
    """Written inside the transaction of the action it tells of; never changed."""

    agency = models.ForeignKey(Agency, on_delete=models.PROTECT, related_name="events")
    structure = models.ForeignKey(Structure, null=True, blank=True, on_delete=models.CASCADE, related_name="events")
    verb = models.CharField(max_length=40)
    sentence = models.CharField(max_length=500)
    detail = models.JSONField(default=dict)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT)
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-id"]
        indexes = [models.Index(fields=["structure", "-at"]), models.Index(fields=["agency", "-at"])]

    def __str__(self):
        return f"{self.at:%Y-%m-%d} {self.sentence}"


class Document(models.Model):
    """A received file. The received bytes are kept and never served; a clean re-encoded copy is."""

    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="documents")
    kind = models.CharField(max_length=10, choices=[("photo", "Photo"), ("paper", "Paper")])
    title = models.CharField(max_length=160)
    received = models.FileField(upload_to="received/%Y/")
    served = models.FileField(upload_to="served/%Y/", blank=True)
    sha256 = models.CharField(max_length=64)
    taken_on = models.DateField(null=True, blank=True)
    place = models.CharField(max_length=120, blank=True)
    identity = models.UUIDField(null=True, blank=True, unique=True, editable=False, help_text="Made on the device.")
    taken_at = models.DateTimeField(null=True, blank=True)
    lon = models.FloatField(null=True, blank=True)
    lat = models.FloatField(null=True, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT)
    at = models.DateTimeField()

    class Meta:
        ordering = ["structure", "-at"]
        constraints = [models.UniqueConstraint(fields=["structure", "sha256"], name="same_file_once")]

    def __str__(self):
        return self.title
