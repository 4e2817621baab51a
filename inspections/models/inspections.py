"""What was found: an inspection, its component ratings, element states and findings."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from inspections.vocabulary.findings import Change, Face, FindingKind, ForceMethod, InspectionKind
from inspections.vocabulary.states import InspectionState

RATING_CHOICES = [(c, c) for c in "9876543210N"]


class Inspection(models.Model):
    """`revision` guards against two people saving over each other; `identity` is unique for ever."""

    identity = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    structure = models.ForeignKey("inventory.Structure", on_delete=models.PROTECT, related_name="inspections")
    kind = models.CharField(max_length=12, choices=InspectionKind.choices(), default=InspectionKind.ROUTINE.value)
    state = models.CharField(max_length=10, choices=InspectionState.choices(), default=InspectionState.DRAFT.value)
    field_completed_on = models.DateField(
        "field portion completed", null=True, blank=True, help_text="The inspection date of the federal rule."
    )
    inspector = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="inspections"
    )
    team = models.CharField(max_length=160, blank=True)
    weather = models.CharField(max_length=120, blank=True)
    air_temp_f = models.FloatField("air temperature", null=True, blank=True)
    deck_rating = models.CharField(max_length=1, blank=True, choices=RATING_CHOICES)
    superstructure_rating = models.CharField(max_length=1, blank=True, choices=RATING_CHOICES)
    substructure_rating = models.CharField(max_length=1, blank=True, choices=RATING_CHOICES)
    channel_rating = models.CharField(max_length=1, blank=True, choices=RATING_CHOICES)
    culvert_rating = models.CharField(max_length=1, blank=True, choices=RATING_CHOICES)
    scour_rating = models.CharField("scour condition", max_length=1, blank=True, choices=RATING_CHOICES)
    protection_rating = models.CharField("channel protection", max_length=1, blank=True, choices=RATING_CHOICES)
    underwater_rating = models.CharField("underwater condition", max_length=1, blank=True, choices=RATING_CHOICES)
    rating_reasons = models.JSONField(
        default=dict, blank=True, help_text="{component: why the inspector rated it so}, kept beside what was proposed."
    )
    rating_proposals = models.JSONField(
        default=dict, blank=True, help_text="{component: {rating, reasons}} as proposed when it was submitted."
    )
    leader = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        verbose_name="team leader on site",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    notes = models.TextField(blank=True)
    from_record = models.BooleanField(default=False, help_text="Date and ratings taken from the federal record.")
    submitted_at = models.DateTimeField(null=True, blank=True)
    reviewed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    reviewed_at = models.DateTimeField(null=True, blank=True)
    review_reason = models.CharField(max_length=500, blank=True)
    asked = models.JSONField(
        "asked for when it was sent back",
        default=list,
        blank=True,
        help_text="[{finding: identity or '', field: column, 'photo' or '', words, answered}].",
    )
    device = models.UUIDField("entered on", null=True, blank=True, editable=False)
    revision = models.PositiveIntegerField(default=0)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["structure", "-field_completed_on", "-id"]
        indexes = [models.Index(fields=["state"]), models.Index(fields=["structure", "-field_completed_on"])]
        constraints = [
            models.CheckConstraint(
                condition=Q(state="draft") | Q(field_completed_on__isnull=False), name="submitted_inspection_has_date"
            )
        ]

    def __str__(self):
        return f"{InspectionKind.label_of(self.kind)} inspection, {self.field_completed_on or 'not finished'}"


class ElementState(models.Model):
    """Quantities by condition state; they must add up to the total (rule at both ends)."""

    inspection = models.ForeignKey(Inspection, on_delete=models.CASCADE, related_name="elements")
    number = models.PositiveSmallIntegerField("element")
    unit = models.CharField(max_length=8)
    total = models.FloatField()
    cs1 = models.FloatField(default=0)
    cs2 = models.FloatField(default=0)
    cs3 = models.FloatField(default=0)
    cs4 = models.FloatField(default=0)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["inspection", "number"]
        constraints = [models.UniqueConstraint(fields=["inspection", "number"], name="element_once_per_inspection")]

    def __str__(self):
        return f"element {self.number}"


class Finding(models.Model):
    """One thing seen or measured, at a place. Which of the sizes a kind needs stands in rules/evidence."""

    inspection = models.ForeignKey(Inspection, on_delete=models.CASCADE, related_name="findings")
    identity = models.UUIDField(default=uuid.uuid4, null=True, unique=True, editable=False)
    carries_on = models.UUIDField(
        null=True, blank=True, editable=False, help_text="Identity of the finding of an earlier inspection it follows."
    )
    change = models.CharField(max_length=6, choices=Change.choices(), blank=True)
    kind = models.CharField(max_length=20, choices=FindingKind.choices())
    span_index = models.PositiveSmallIntegerField("span", null=True, blank=True)
    member = models.ForeignKey(
        "inventory.MemberGroup", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    member_number = models.PositiveSmallIntegerField(
        "which member", null=True, blank=True, help_text="Counted from the left edge, looking ahead."
    )
    bar = models.ForeignKey("inventory.Bar", null=True, blank=True, on_delete=models.SET_NULL, related_name="readings")
    station_ft = models.FloatField("from the first bearing", null=True, blank=True)
    across_ft = models.FloatField("from the left edge of the deck", null=True, blank=True)
    extent_ft = models.FloatField("length along the member", null=True, blank=True)
    face = models.CharField(max_length=8, choices=Face.choices(), blank=True)
    depth_in = models.FloatField("depth lost or penetrated", null=True, blank=True)
    width_in = models.FloatField("width", null=True, blank=True)
    height_in = models.FloatField("height", null=True, blank=True)
    offset_in = models.FloatField("void centre above mid-depth", null=True, blank=True)
    moisture_pct = models.FloatField(null=True, blank=True)
    moisture_depth_in = models.FloatField(null=True, blank=True)
    resistance_pct = models.FloatField("drilling resistance, percent of sound", null=True, blank=True)
    wave_time_us_per_ft = models.FloatField("stress-wave time", null=True, blank=True)
    force_lb = models.FloatField("bar force", null=True, blank=True)
    force_method = models.CharField(max_length=12, choices=ForceMethod.choices(), blank=True)
    jack = models.ForeignKey("inventory.Jack", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    gauge_psi = models.FloatField("gauge pressure where the nut lifts", null=True, blank=True)
    repeats_lb = models.JSONField("repeat readings", default=list, blank=True)
    wood_temp_f = models.FloatField(null=True, blank=True)
    value_in = models.FloatField("measured", null=True, blank=True, help_text="Slip, crack width, sag, thickness.")
    area_pct = models.FloatField("share of the area", null=True, blank=True)
    condition_state = models.PositiveSmallIntegerField(null=True, blank=True)
    photo = models.ForeignKey("inventory.Document", null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    note = models.CharField(max_length=400, blank=True)

    class Meta:
        ordering = ["inspection", "id"]

    def __str__(self):
        return FindingKind.label_of(self.kind)


class InspectionPhoto(models.Model):
    """A photograph taken at an inspection, of one finding or of the whole. Findings are named by identity, because
    saving a draft writes their rows anew."""

    inspection = models.ForeignKey(Inspection, on_delete=models.CASCADE, related_name="photos")
    document = models.ForeignKey("inventory.Document", on_delete=models.CASCADE, related_name="+")
    finding_identity = models.UUIDField(null=True, blank=True)
    caption = models.CharField(max_length=200, blank=True)
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["inspection", "order", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["inspection", "document", "finding_identity"],
                condition=Q(finding_identity__isnull=False),
                name="photo_once_per_finding",
            ),
            models.UniqueConstraint(
                fields=["inspection", "document"],
                condition=Q(finding_identity__isnull=True),
                name="photo_once_per_inspection",
            ),
        ]

    def __str__(self):
        return self.caption or f"photograph {self.document_id}"


class InspectionVersion(models.Model):
    """What an inspection said at one revision, kept so that two people's changes can be told from what both began with.

    `content` is {"inspection": columns, "findings": [...], "elements": [...]} as the field sends them.
    """

    inspection = models.ForeignKey(Inspection, on_delete=models.CASCADE, related_name="versions")
    revision = models.PositiveIntegerField()
    content = models.JSONField()
    device = models.UUIDField(null=True, blank=True, help_text="The device it came from; empty from the office.")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["inspection", "-revision"]
        constraints = [models.UniqueConstraint(fields=["inspection", "revision"], name="version_once_per_revision")]

    def __str__(self):
        return f"inspection {self.inspection_id}, revision {self.revision}"
