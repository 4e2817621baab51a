"""The checklist of a setting record as the rules read it."""

from collections.abc import Iterable

from inventory.models import SettingStep
from inventory.rules.setting import StepState


def step_states(steps: Iterable[SettingStep]) -> list[StepState]:
    """What is done, held and passed over, in the order given."""
    return [
        StepState(
            order=step.order,
            title=step.title,
            is_hold=step.is_hold,
            done_on=step.done_on,
            passed_over_reason=step.passed_over_reason,
        )
        for step in steps
    ]
