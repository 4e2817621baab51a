"""What carries: groups of like members with section, material and design values, and the railing and supports."""

from django.db import models
from django.db.models import Q

from inventory.vocabulary.structures import MemberRole, Product

from .structure import Span, Structure


class MemberGroup(models.Model):
    """Like members of one span. Design values stand with their source and edition."""

    span = models.ForeignKey(Span, on_delete=models.CASCADE, related_name="members")
    role = models.CharField(max_length=16, choices=MemberRole.choices())
    label = models.CharField(max_length=60, blank=True)
    count = models.PositiveSmallIntegerField(default=1)
    spacing_ft = models.FloatField(null=True, blank=True, help_text="Centre to centre across the roadway.")
    first_offset_ft = models.FloatField(
        null=True, blank=True, help_text="First member from the left edge of the deck, looking ahead."
    )
    width_in = models.FloatField("width")
    depth_in = models.FloatField("depth")
    is_dressed = models.BooleanField(default=False, help_text="Actual sizes are stored either way.")
    bearing_length_in = models.FloatField(null=True, blank=True)
    unbraced_ft = models.FloatField("unbraced length", default=0)
    # Transverse decks and pile caps.
    support_width_in = models.FloatField("width of a support's top", null=True, blank=True)
    on_steel = models.BooleanField("on steel stringers", default=False)
    runs_over_supports = models.BooleanField("continuous over more than two spans", null=True, blank=True)
    at_end = models.CharField("end of the span", max_length=4, blank=True, choices=[("near", "Near"), ("far", "Far")])
    product = models.CharField(max_length=10, choices=Product.choices(), blank=True)
    species = models.CharField(max_length=60, blank=True)
    grade = models.CharField(max_length=60, blank=True)
    size_class = models.CharField(max_length=90, blank=True)
    # Empty values are looked up in the published table of that species, grade and size class.
    fb_psi = models.FloatField("bending, reference", null=True, blank=True)
    fv_psi = models.FloatField("shear, reference", null=True, blank=True)
    fc_perp_psi = models.FloatField("compression across the grain, reference", null=True, blank=True)
    e_psi = models.FloatField("modulus of elasticity", null=True, blank=True)
    # Structural composites have no general wet-service factor: only the maker's report gives them.
    maker_wet_bending = models.FloatField("maker's wet factor, bending", null=True, blank=True)
    maker_wet_shear = models.FloatField("maker's wet factor, shear", null=True, blank=True)
    maker_wet_bearing = models.FloatField("maker's wet factor, bearing", null=True, blank=True)
    maker_wet_modulus = models.FloatField("maker's wet factor, stiffness", null=True, blank=True)
    value_source = models.CharField(max_length=160, blank=True, help_text="Table, edition or maker's report.")
    grade_assumed_by = models.CharField(max_length=80, blank=True)
    incised = models.BooleanField(default=False)

    class Meta:
        ordering = ["span", "role", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(width_in__gt=0) & Q(depth_in__gt=0), name="member_size_positive"),
            models.CheckConstraint(condition=Q(count__gte=1), name="member_count_positive"),
        ]

    def __str__(self):
        size = f"{self.width_in:g} x {self.depth_in:g} in"
        if self.role == MemberRole.CAP:
            return f"Pile cap {size} on {self.count} piles"
        return f"{self.count} {MemberRole.label_of(self.role).lower()} {size}"


class Railing(models.Model):
    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="railings")
    side = models.CharField(max_length=8, choices=[("left", "Left"), ("right", "Right"), ("both", "Both")])
    kind = models.CharField(max_length=80)
    weight_plf = models.FloatField(null=True, blank=True)
    test_level = models.CharField(max_length=20, blank=True)
    standard = models.CharField(max_length=40, blank=True)

    class Meta:
        ordering = ["structure", "id"]

    def __str__(self):
        return f"{self.kind} ({self.side})"


class SubstructureUnit(models.Model):
    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="substructure")
    label = models.CharField(max_length=40)
    kind = models.CharField(
        max_length=20,
        choices=[("abutment", "Abutment"), ("pile_bent", "Pile bent"), ("pier", "Pier"), ("other", "Other")],
    )
    material = models.CharField(max_length=40, blank=True)
    pile_count = models.PositiveSmallIntegerField(null=True, blank=True)
    foundation_known = models.BooleanField(null=True, blank=True)

    class Meta:
        ordering = ["structure", "id"]

    def __str__(self):
        return self.label
