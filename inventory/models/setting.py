"""How a bridge was set: what was delivered, in which order it was set, and the holds that were kept."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from .history import Work
from .structure import Span, Structure


class SettingRecord(models.Model):
    """The setting of one span, from delivery to opening. Finishing it writes the first works of the history."""

    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="setting_records")
    span = models.ForeignKey(Span, on_delete=models.CASCADE, related_name="setting_records")
    started_on = models.DateField()
    finished_on = models.DateField(null=True, blank=True)
    target_force_lb = models.FloatField(
        "force per bar at stressing", null=True, blank=True, help_text="From the design or the engineer; no default."
    )
    target_source = models.CharField("where the force comes from", max_length=160, blank=True)
    foreman = models.CharField(max_length=120, blank=True)
    note = models.CharField(max_length=400, blank=True)
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["structure", "-started_on", "-id"]

    def __str__(self):
        return f"setting of span {self.span.index}, {self.started_on}"


class DeliveredBeam(models.Model):
    """A beam as delivered. `place` counts from the reference beam on the centre line: 0, 1 and -1 beside it."""

    record = models.ForeignKey(SettingRecord, on_delete=models.CASCADE, related_name="beams")
    mark = models.CharField(max_length=30, help_text="As painted on the beam.")
    place = models.SmallIntegerField(help_text="0 on the centre line, minus to the left looking ahead.")
    kind = models.CharField(max_length=40, blank=True)
    length_ft = models.FloatField(null=True, blank=True)
    depth_in = models.FloatField(null=True, blank=True)
    weight_lb = models.FloatField(null=True, blank=True)
    lift_first_ft = models.FloatField("first lift point from the near end", null=True, blank=True)
    lift_second_ft = models.FloatField("second lift point from the near end", null=True, blank=True)
    checked_on = models.DateField("seen and accepted at delivery", null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["record", "place"]
        constraints = [
            models.UniqueConstraint(fields=["record", "place"], name="one_beam_per_place"),
            models.UniqueConstraint(fields=["record", "mark"], name="beam_mark_once"),
            models.CheckConstraint(
                condition=Q(weight_lb__isnull=True) | Q(weight_lb__gt=0), name="beam_weight_positive"
            ),
        ]

    def __str__(self):
        return f"beam {self.mark}"


class SettingStep(models.Model):
    """One line of the checklist. A hold cannot be passed out of order without a named person's reason."""

    record = models.ForeignKey(SettingRecord, on_delete=models.CASCADE, related_name="steps")
    order = models.PositiveSmallIntegerField()
    key = models.CharField(max_length=40)
    title = models.CharField(max_length=200)
    is_hold = models.BooleanField(default=False)
    done_on = models.DateField(null=True, blank=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    seen_by = models.CharField("seen by", max_length=120, blank=True)
    value = models.FloatField(null=True, blank=True, help_text="Force, thickness or count, as the step asks.")
    note = models.CharField(max_length=300, blank=True)
    passed_over_reason = models.CharField(max_length=300, blank=True)
    passed_over_by = models.CharField(max_length=120, blank=True)
    work = models.ForeignKey(Work, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        ordering = ["record", "order"]
        constraints = [models.UniqueConstraint(fields=["record", "order"], name="setting_step_order_once")]

    def __str__(self):
        return self.title
