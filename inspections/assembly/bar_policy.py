"""A county's policy row of bar force to what the kernel's forecast takes."""

from dataclasses import fields

from inventory.mechanics.bars.loss.terms import LossPolicy
from inventory.models import BarPolicy


def loss_policy_of(policy: BarPolicy) -> LossPolicy:
    """The part of the policy that a forecast uses; the names are the same on purpose."""
    return LossPolicy(**{field.name: float(getattr(policy, field.name)) for field in fields(LossPolicy)})
