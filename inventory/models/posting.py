"""The restriction in force and its signs. Only `adopt` and `restrict_now` make one."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.vocabulary.structures import Restriction, SignState

from .structure import Structure


class Posting(models.Model):
    """Tons are short tons of 2,000 lb. `single_ton` is one gross limit; the class limits stand on an R12-5 sign.

    The emergency limits stand on a sign of their own (R12-7), with or without a limit for all.
    """

    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="postings")
    restriction = models.CharField(max_length=8, choices=Restriction.choices())
    single_ton = models.FloatField("gross limit", null=True, blank=True)
    single_unit_ton = models.FloatField("single unit", null=True, blank=True)
    combination_ton = models.FloatField("combination, one trailer", null=True, blank=True)
    double_ton = models.FloatField("combination, two trailers", null=True, blank=True)
    emergency_single_axle_ton = models.FloatField("emergency vehicles, single axle", null=True, blank=True)
    emergency_tandem_ton = models.FloatField("emergency vehicles, tandem", null=True, blank=True)
    emergency_gross_ton = models.FloatField("emergency vehicles, gross", null=True, blank=True)
    speed_mph = models.PositiveSmallIntegerField(null=True, blank=True)
    reason = models.CharField(max_length=500, blank=True)
    order_number = models.CharField("order or resolution", max_length=60, blank=True)
    source = models.CharField(
        max_length=12,
        choices=[("adopted", "Adopted"), ("immediate", "Restricted at once"), ("record", "From the federal record")],
    )
    adopted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    decided_on = models.DateField()
    in_force_from = models.DateField(null=True, blank=True, help_text="When the signs were seen standing.")
    superseded_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["structure", "-decided_on", "-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["structure"], condition=Q(superseded_on__isnull=True), name="one_posting_in_force"
            ),
            models.CheckConstraint(condition=Q(single_ton__isnull=True) | Q(single_ton__gte=3), name="posting_3_tons"),
        ]

    def __str__(self):
        return self.words

    @property
    def words(self) -> str:
        """What the sign says, in a phrase."""
        if self.restriction != Restriction.POSTED:
            return Restriction.label_of(self.restriction)
        classes = (self.single_unit_ton, self.combination_ton, self.double_ton)
        emergency = (self.emergency_single_axle_ton, self.emergency_tandem_ton, self.emergency_gross_ton)
        said = []
        if self.single_ton is not None:
            said.append(f"{self.single_ton:g} T")
        elif any(classes):
            said.append(_slashed(classes))
        if any(emergency):
            said.append(f"emergency {_slashed(emergency)}")
        return "; ".join(said) or "Posted, limit not on record"


def _slashed(tons: tuple[float | None, ...]) -> str:
    return " / ".join("-" if ton is None else f"{ton:g}" for ton in tons) + " T"


class Sign(models.Model):
    posting = models.ForeignKey(Posting, on_delete=models.CASCADE, related_name="signs")
    approach = models.CharField(max_length=40, help_text="Which end, looking towards the structure.")
    code = models.CharField(max_length=12, help_text="MUTCD sign code.")
    legend = models.CharField(max_length=120)
    state = models.CharField(max_length=10, choices=SignState.choices(), default=SignState.ORDERED.value)
    set_on = models.DateField(null=True, blank=True)
    confirmed_on = models.DateField(null=True, blank=True)
    confirmed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    missing_seen_on = models.DateField(null=True, blank=True)
    photo = models.ForeignKey("inventory.Document", null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    lon = models.FloatField("seen at, longitude", null=True, blank=True)
    lat = models.FloatField("seen at, latitude", null=True, blank=True)

    class Meta:
        ordering = ["posting", "approach"]

    def __str__(self):
        return f"{self.code} {self.legend}, {self.approach}"
