"""A stressing day: the plan an engineer releases, and every pull as the crew logged it."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.vocabulary.states import PullState, StressingState


class StressingDay(models.Model):
    """One row of bars (a span, a level) on one day. `given` and `plan` are the kernel's input and answer as JSON.

    Once released the sheet is what the crew holds: `released_most_lb` is its greatest pull, and a revised plan above it
    waits for the engineer. `plan` always is the plan in use; `released_plan` never changes.
    """

    identity = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    structure = models.ForeignKey("inventory.Structure", on_delete=models.PROTECT, related_name="stressing_days")
    system = models.ForeignKey(
        "inventory.StressingSystem", null=True, on_delete=models.SET_NULL, related_name="stressing_days"
    )
    span_index = models.PositiveSmallIntegerField("span")
    level = models.CharField(max_length=8, default="mid")
    state = models.CharField(max_length=10, choices=StressingState.choices(), default=StressingState.DRAFTED.value)
    purpose = models.CharField(
        max_length=10,
        default="retension",
        choices=[("stressing", "Stressing at erection"), ("retension", "Re-tension")],
    )
    planned_for = models.DateField(null=True, blank=True)
    crew = models.CharField(max_length=160, blank=True)
    target_source = models.CharField("where the target comes from", max_length=200)
    asked = models.JSONField(default=dict, help_text="What the planner asked for, as typed.")
    sources = models.JSONField(default=list, help_text="[{name, words, value, unit, source, is_own}] of every input.")
    rests_on = models.JSONField(default=dict, help_text="Digests of bars, readings, jacks and sizes it was made from.")
    given = models.JSONField()
    plan = models.JSONField()
    bar_ids = models.JSONField(help_text="Primary keys of the bars, in the order of the plan.")
    jack_ids = models.JSONField(default=list, help_text="Primary keys of the jacks, in the order of the plan.")
    released_plan = models.JSONField(null=True, blank=True)
    released_most_lb = models.FloatField(null=True, blank=True)
    final = models.JSONField(
        default=list, help_text="[{bar, force_lb, is_read}] once finished; bar is its primary key."
    )
    kernel_version = models.CharField(max_length=20)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField()
    released_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    released_at = models.DateTimeField(null=True, blank=True)
    release_note = models.CharField(max_length=400, blank=True)
    held_reason = models.CharField(max_length=400, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    reopened_at = models.DateTimeField("traffic let back on the span", null=True, blank=True)
    reopened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    learned = models.JSONField(
        default=list, blank=True, help_text="[{after_pass, relearned, sentences}] each time the rest was planned again."
    )
    work = models.ForeignKey("inventory.Work", null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    note = models.CharField(max_length=400, blank=True)
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["-planned_for", "-id"]
        indexes = [models.Index(fields=["structure", "state"])]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=("drafted", "withdrawn")) | Q(released_at__isnull=False),
                name="stressing_day_released_before_use",
            )
        ]

    def __str__(self):
        return f"stressing day {self.pk}, span {self.span_index}"


class LoggedPull(models.Model):
    """One bar of one pull: what was planned when it was made, and what the crew saw. `identity` from the device."""

    identity = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    day = models.ForeignKey(StressingDay, on_delete=models.CASCADE, related_name="pulls")
    pull_number = models.PositiveSmallIntegerField()
    pass_number = models.PositiveSmallIntegerField()
    bar_index = models.PositiveSmallIntegerField()
    bar = models.ForeignKey("inventory.Bar", null=True, on_delete=models.SET_NULL, related_name="+")
    jack = models.ForeignKey("inventory.Jack", null=True, on_delete=models.SET_NULL, related_name="+")
    planned_set_lb = models.FloatField()
    planned_gauge_psi = models.FloatField()
    planned_locked_lb = models.FloatField()
    planned_elongation_in = models.FloatField(null=True, blank=True)
    state = models.CharField(max_length=10, choices=PullState.choices(), default=PullState.DONE.value)
    before_lb = models.FloatField("force before the pull, as best known", null=True, blank=True)
    gauge_psi = models.FloatField(null=True, blank=True)
    set_lb = models.FloatField("force by the gauge", null=True, blank=True)
    locked_lb = models.FloatField("force read after lock-off", null=True, blank=True)
    force_method = models.CharField("how that force was read", max_length=12, blank=True)
    elongation_in = models.FloatField(null=True, blank=True)
    plate_sunk_in = models.FloatField("plate sunk into the wood", null=True, blank=True)
    neighbours = models.JSONField(default=list, help_text="[{bar_index, before_lb, after_lb}] read beside this pull.")
    stop_reasons = models.JSONField(default=list)
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["day", "pull_number", "bar_index", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["day", "pull_number", "bar_index"],
                condition=~Q(state="taken_back"),
                name="one_log_line_per_pull_and_bar",
            )
        ]

    def __str__(self):
        return f"pull {self.pull_number} of bar {self.bar_index}"
