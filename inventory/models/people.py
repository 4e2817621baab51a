"""Who works here: agencies, persons and what each may do where."""

from django.contrib.auth.models import AbstractUser
from django.db import models

from inventory.vocabulary.roles import Role


class Agency(models.Model):
    """A county (or another owner). Every row of the register belongs to one."""

    name = models.CharField(max_length=120, unique=True)
    state_code = models.CharField("State code", max_length=2, blank=True, help_text="Two-digit FIPS code.")
    county_code = models.CharField(max_length=3, blank=True, help_text="Three-digit FIPS code; blank if unassigned.")
    is_demonstration = models.BooleanField(default=False)
    # Owner policy; the kernel and the rules take these as arguments.
    posting_level = models.DecimalField(
        max_digits=3,
        decimal_places=2,
        default=1,
        help_text="0 posts at inventory, 1 at operating, between by proportion. Owner policy, never above operating.",
    )
    rounding = models.CharField(
        max_length=20,
        default="down",
        choices=[
            ("down", "Down to whole tons"),
            ("down_by_5_above_30", "Down to whole tons, above 30 tons down by fives"),
            ("nearest", "Nearest whole ton"),
        ],
    )
    # When the county inspects stands in InspectionPolicy.
    resurfacing_years = models.PositiveSmallIntegerField(default=12)
    treatment_years = models.PositiveSmallIntegerField(default=5)
    reviewer_may_be_inspector = models.BooleanField(
        default=False, help_text="A small county's engineer may lead the team; give the reason."
    )
    reviewer_override_reason = models.CharField(max_length=300, blank=True)

    class Meta:
        verbose_name_plural = "agencies"
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(posting_level__gte=0, posting_level__lte=1), name="posting_level_0_to_1"
            ),
            models.CheckConstraint(
                condition=models.Q(reviewer_may_be_inspector=False) | ~models.Q(reviewer_override_reason=""),
                name="reviewer_override_has_reason",
            ),
        ]

    def __str__(self):
        return self.name


class Person(AbstractUser):
    """One who signs in."""

    licence = models.CharField("engineer's licence", max_length=60, blank=True)

    def __str__(self):
        return self.get_full_name() or self.username


class Membership(models.Model):
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="memberships")
    agency = models.ForeignKey(Agency, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=20, choices=Role.choices())

    class Meta:
        ordering = ["agency", "person", "role"]
        constraints = [models.UniqueConstraint(fields=["person", "agency", "role"], name="one_role_once")]

    def __str__(self):
        return f"{self.person}, {Role.label_of(self.role)}, {self.agency}"
