"""The month in the field: days, teams, the structures of each day in order; visits owed; keys of calendar feeds."""

import uuid

from django.conf import settings
from django.db import models

from inspections.vocabulary.findings import InspectionKind, VisitCause
from inspections.vocabulary.states import VisitState


class FieldDay(models.Model):
    """One team on one day. A leader whose qualification has lapsed needs a named person's word (`override_by`)."""

    agency = models.ForeignKey("inventory.Agency", on_delete=models.CASCADE, related_name="field_days")
    on = models.DateField("day")
    leader = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="field_days"
    )
    team = models.CharField("others on the team", max_length=160, blank=True)
    note = models.CharField(max_length=300, blank=True)
    override_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    override_reason = models.CharField(max_length=300, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    made_at = models.DateTimeField()
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["on", "id"]
        indexes = [models.Index(fields=["agency", "on"])]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(override_by__isnull=True) | ~models.Q(override_reason=""),
                name="leader_override_has_reason",
            )
        ]

    def __str__(self):
        return f"field day {self.on}"


class FieldStop(models.Model):
    """One structure of a field day and what is to be done there."""

    day = models.ForeignKey(FieldDay, on_delete=models.CASCADE, related_name="stops")
    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="field_stops")
    kind = models.CharField(max_length=12, choices=InspectionKind.choices(), default=InspectionKind.ROUTINE.value)
    reminder = models.ForeignKey(
        "inspections.Reminder", null=True, blank=True, on_delete=models.SET_NULL, related_name="field_stops"
    )
    order = models.PositiveSmallIntegerField(default=1)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["day", "order", "id"]
        constraints = [models.UniqueConstraint(fields=["day", "structure", "kind"], name="one_stop_per_day_and_kind")]

    def __str__(self):
        return f"{self.structure_id} on {self.day_id}"


class InspectionNeed(models.Model):
    """A structure's own interval for one kind of inspection, shorter or longer than the county's, with its reason.

    Special, in-depth and underwater inspections of a structure are set here; ended ones stay on record.
    """

    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="inspection_needs")
    kind = models.CharField(max_length=12, choices=InspectionKind.choices())
    interval_months = models.PositiveSmallIntegerField()
    first_due_on = models.DateField("first due", null=True, blank=True)
    reason = models.CharField(max_length=300)
    set_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    set_at = models.DateTimeField()
    ended_on = models.DateField(null=True, blank=True)
    ended_reason = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["structure", "kind", "-set_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["structure", "kind"], condition=models.Q(ended_on__isnull=True), name="one_need_per_kind"
            )
        ]

    def __str__(self):
        return f"{InspectionKind.label_of(self.kind)} every {self.interval_months} months"


class OwedVisit(models.Model):
    """A damage inspection or scour monitoring owed because something happened: high water, a hit, a fire."""

    identity = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="owed_visits")
    kind = models.CharField(max_length=12, choices=InspectionKind.choices())
    cause = models.CharField(max_length=10, choices=VisitCause.choices())
    happened_on = models.DateField()
    words = models.CharField(max_length=300, blank=True)
    due_on = models.DateField()
    state = models.CharField(max_length=10, choices=VisitState.choices(), default=VisitState.OPEN.value)
    state_reason = models.CharField(max_length=300, blank=True)
    inspection = models.ForeignKey(
        "inspections.Inspection", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    made_at = models.DateTimeField()
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["due_on", "id"]
        indexes = [models.Index(fields=["structure", "state"])]

    def __str__(self):
        return f"{VisitCause.label_of(self.cause)} {self.happened_on}, structure {self.structure_id}"


class CalendarKey(models.Model):
    """The secret address of one person's calendar feed; only its digest is kept."""

    agency = models.ForeignKey("inventory.Agency", on_delete=models.CASCADE, related_name="calendar_keys")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="calendar_keys")
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-made_at"]

    def __str__(self):
        return f"calendar of {self.person_id}"
