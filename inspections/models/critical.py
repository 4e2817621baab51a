"""Critical findings: what was seen, who was told and when, what made it safe, what closed it."""

import uuid

from django.conf import settings
from django.db import models

from inspections.vocabulary.findings import CriticalKind
from inspections.vocabulary.states import CriticalState


class CriticalFinding(models.Model):
    """Closed only with what was done and a photograph. The clocks are the agency's policy."""

    identity = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    structure = models.ForeignKey("inventory.Structure", on_delete=models.PROTECT, related_name="critical_findings")
    inspection = models.ForeignKey(
        "inspections.Inspection", null=True, blank=True, on_delete=models.SET_NULL, related_name="critical_findings"
    )
    kind = models.CharField(max_length=12, choices=CriticalKind.choices())
    words = models.CharField("what was seen", max_length=500)
    found_at = models.DateTimeField()
    found_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    received_at = models.DateTimeField()
    photo = models.ForeignKey("inventory.Document", null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    state = models.CharField(max_length=10, choices=CriticalState.choices(), default=CriticalState.REPORTED.value)
    posting = models.ForeignKey("inventory.Posting", null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    plan_words = models.CharField("what will be done", max_length=500, blank=True)
    plan_until = models.DateField("to be done by", null=True, blank=True)
    planned_at = models.DateTimeField(null=True, blank=True)
    safe_words = models.CharField("what makes it safe for now", max_length=500, blank=True)
    made_safe_at = models.DateTimeField(null=True, blank=True)
    closed_words = models.CharField("what was done", max_length=500, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closing_photo = models.ForeignKey(
        "inventory.Document", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["-found_at", "-id"]
        indexes = [models.Index(fields=["structure", "state"]), models.Index(fields=["state", "found_at"])]
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(state="closed") | (~models.Q(closed_words="") & models.Q(closed_at__isnull=False)),
                name="critical_closed_with_words",
            )
        ]

    def __str__(self):
        return f"{CriticalKind.label_of(self.kind)}, structure {self.structure_id}"


class CriticalNotice(models.Model):
    """One person told of a critical finding: whom, how, when, by whom. Never changed."""

    finding = models.ForeignKey(CriticalFinding, on_delete=models.CASCADE, related_name="notices")
    whom = models.CharField(max_length=120)
    role = models.CharField(max_length=12, blank=True)
    how = models.CharField(
        max_length=10,
        choices=[("call", "By telephone"), ("radio", "By radio"), ("person", "In person"), ("mail", "By mail")],
        default="call",
    )
    told_at = models.DateTimeField()
    told_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    is_status_report = models.BooleanField(default=False)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["told_at", "id"]

    def __str__(self):
        return f"{self.whom} told {self.told_at:%Y-%m-%d %H:%M}"
