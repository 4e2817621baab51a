"""What must be done next and by when; and messages owed to people."""

from django.conf import settings
from django.db import models

from inspections.vocabulary.states import OwedState, ReminderKind, ReminderState


class Reminder(models.Model):
    """Unique per structure, kind and date; `due_on` is the date of the rule, `deferred_to` a person's.

    `counted_from` is the fact the clock was started by (last inspection, last reading, day the sign was ordered): when
    the record holds a later one, this reminder is done; when the clock vanished without one, it is no longer owed.
    """

    structure = models.ForeignKey("inventory.Structure", on_delete=models.CASCADE, related_name="reminders")
    kind = models.CharField(max_length=12, choices=ReminderKind.choices())
    due_on = models.DateField()
    late_after = models.DateField(help_text="Last day of the tolerance; the due date itself where there is none.")
    counted_from = models.DateField(null=True, blank=True)
    reason = models.CharField(max_length=400)
    state = models.CharField(max_length=12, choices=ReminderState.choices(), default=ReminderState.OPEN.value)
    assigned_to = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="reminders"
    )
    deferred_to = models.DateField(null=True, blank=True)
    state_reason = models.CharField(max_length=300, blank=True)
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    changed_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField()
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["due_on", "structure"]
        constraints = [
            models.UniqueConstraint(fields=["structure", "kind", "due_on"], name="one_reminder_per_structure_kind_date")
        ]
        indexes = [models.Index(fields=["state", "due_on"])]

    def __str__(self):
        return f"{ReminderKind.label_of(self.kind)} due {self.due_on}, structure {self.structure_id}"


class OwedMessage(models.Model):
    """A message a person must get; shown on their own page until read, handed to mail where mail is set up."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="owed_messages")
    structure = models.ForeignKey("inventory.Structure", null=True, on_delete=models.CASCADE, related_name="+")
    sentence = models.CharField(max_length=400)
    key = models.CharField(max_length=120, help_text="The same thing is told to the same person once.")
    state = models.CharField(max_length=8, choices=OwedState.choices(), default=OwedState.OWED.value)
    created_at = models.DateTimeField()
    read_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-created_at"]
        constraints = [models.UniqueConstraint(fields=["person", "key"], name="one_message_per_person_and_key")]

    def __str__(self):
        return self.sentence
