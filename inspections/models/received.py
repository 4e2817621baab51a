"""What devices in the field send: every record once for ever, and photographs piece by piece."""

from django.conf import settings
from django.db import models

from inspections.vocabulary.states import ReceiptState, UploadState


class Receipt(models.Model):
    """A record exactly as it came, kept before anything is made of it. `identity` was made on the device.

    The same identity again is answered with what was answered before; the same identity with other content is refused.
    """

    identity = models.UUIDField(unique=True)
    agency = models.ForeignKey("inventory.Agency", on_delete=models.PROTECT, related_name="receipts")
    structure = models.ForeignKey(
        "inventory.Structure", null=True, blank=True, on_delete=models.SET_NULL, related_name="receipts"
    )
    kind = models.CharField(max_length=12)
    device = models.UUIDField()
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    sha256 = models.CharField(max_length=64)
    body = models.JSONField()
    way = models.CharField(max_length=8, choices=[("sent", "Sent by the device"), ("file", "Brought as a file")])
    received_at = models.DateTimeField()
    clock_off_s = models.FloatField("device's clock ahead of the site's", null=True, blank=True)
    state = models.CharField(max_length=10, choices=ReceiptState.choices(), default=ReceiptState.KEPT.value)
    held_for = models.CharField(max_length=12, blank=True, help_text="meeting, missing, refused, photos, format")
    sentences = models.JSONField(default=list)
    answer = models.JSONField(default=dict)
    inspection = models.ForeignKey(
        "inspections.Inspection", null=True, blank=True, on_delete=models.SET_NULL, related_name="receipts"
    )
    settled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-received_at", "-id"]
        indexes = [models.Index(fields=["agency", "state"]), models.Index(fields=["device", "received_at"])]

    def __str__(self):
        return f"{self.kind} {self.identity}"


class PhotoUpload(models.Model):
    """A photograph being received; pieces are appended in order, and the whole is held against its checksum."""

    identity = models.UUIDField(unique=True)
    agency = models.ForeignKey("inventory.Agency", on_delete=models.CASCADE, related_name="photo_uploads")
    structure = models.ForeignKey(
        "inventory.Structure", null=True, blank=True, on_delete=models.SET_NULL, related_name="photo_uploads"
    )
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    device = models.UUIDField()
    sha256 = models.CharField(max_length=64)
    size_bytes = models.PositiveIntegerField()
    received_bytes = models.PositiveIntegerField(default=0)
    path = models.CharField(max_length=200, blank=True, help_text="Under the files of the site; empty once kept.")
    about = models.JSONField(default=dict, help_text="Caption, moment, place as the device gave them.")
    state = models.CharField(max_length=8, choices=UploadState.choices(), default=UploadState.OPEN.value)
    problem = models.CharField(max_length=300, blank=True)
    document = models.ForeignKey(
        "inventory.Document", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    started_at = models.DateTimeField()
    touched_at = models.DateTimeField()

    class Meta:
        ordering = ["started_at"]
        indexes = [models.Index(fields=["state", "touched_at"])]

    def __str__(self):
        return f"photograph {self.identity}"


class PhotoPlace(models.Model):
    """Where a photograph that a record names belongs; the photograph may come long after the record.

    One of `inspection`, `critical`, `sign` once the record is filed; none while it is held. `linked_at` is empty while
    the photograph is awaited.
    """

    identity = models.UUIDField(help_text="Of the photograph, made on the device.")
    receipt = models.ForeignKey(Receipt, on_delete=models.CASCADE, related_name="photo_places")
    inspection = models.ForeignKey("inspections.Inspection", null=True, on_delete=models.CASCADE, related_name="+")
    critical = models.ForeignKey("inspections.CriticalFinding", null=True, on_delete=models.CASCADE, related_name="+")
    sign = models.ForeignKey("inventory.Sign", null=True, on_delete=models.SET_NULL, related_name="+")
    finding_identity = models.UUIDField(null=True)
    caption = models.CharField(max_length=200, blank=True)
    order = models.PositiveSmallIntegerField(default=0)
    linked_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["receipt", "order", "id"]
        indexes = [models.Index(fields=["identity"])]
        constraints = [models.UniqueConstraint(fields=["receipt", "identity"], name="photo_place_once_per_record")]

    def __str__(self):
        return f"place of photograph {self.identity}"
