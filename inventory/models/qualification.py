"""What people are qualified for, and whom to call when something is grave."""

from django.conf import settings
from django.db import models

from inventory.vocabulary.people import ContactRole, QualificationKind

from .people import Agency


class Qualification(models.Model):
    """One line of the agency's registry of inspectors (23 CFR 650.307(e), 650.309); withdrawn ones stay on record."""

    agency = models.ForeignKey(Agency, on_delete=models.CASCADE, related_name="qualifications")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="qualifications")
    kind = models.CharField(max_length=16, choices=QualificationKind.choices())
    basis = models.CharField(max_length=200, help_text="Licence, degree and years, course passed.")
    evidence = models.CharField(max_length=200, help_text="Where the proof is kept.")
    held_since = models.DateField()
    expires_on = models.DateField(null=True, blank=True)
    refresher_hours = models.FloatField(null=True, blank=True)
    refreshed_on = models.DateField("last refresher finished", null=True, blank=True)
    withdrawn_on = models.DateField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    recorded_at = models.DateTimeField()
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["agency", "person", "kind", "-held_since"]

    def __str__(self):
        return f"{QualificationKind.label_of(self.kind)}, {self.person}"


class EmergencyContact(models.Model):
    """Whom to call, in this order, before anything is recorded."""

    agency = models.ForeignKey(Agency, on_delete=models.CASCADE, related_name="emergency_contacts")
    role = models.CharField(max_length=12, choices=ContactRole.choices())
    name = models.CharField(max_length=80)
    phone = models.CharField(max_length=40)
    order = models.PositiveSmallIntegerField(default=1)
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["agency", "order", "id"]

    def __str__(self):
        return f"{ContactRole.label_of(self.role)}: {self.name}, {self.phone}"
