"""The plan of one row of a file, as plain values: the kernel's own plan, bars by name, cautions first."""

from inspections.reckoning.json_file import digest_of
from inventory.mechanics.bars.jacking import plan_stressing
from inventory.mechanics.bars.jacking.terms import StressingPlan
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import KERNEL_VERSION

from .read import RowToStress

CAUTIONS = (
    "An aid to a licensed professional engineer, never an order: an engineer releases the sheet before a bar is "
    "pulled. The State's manual and the engineer of record decide.",
    "Nobody stands in line with a bar under load. Jack and gauge are calibrated together and in date.",
    "No bar, at any moment, above its limit; lift-off counts. A pitted, bent or unidentified bar is not jacked until "
    "the engineer releases it.",
    "No traffic on the span while a jack is on a bar.",
)


def plan_row(row: RowToStress) -> dict:
    """``is_usable`` and the plan, or ``reasons`` why there is none; with the digest of what it was made from."""
    given = row.given.as_dict()
    told = {"name": row.name, "target_source": row.target_source, "kernel_version": KERNEL_VERSION,
            "digest": digest_of(given), "cautions": list(CAUTIONS)}  # fmt: skip
    try:
        plan = plan_stressing(row.given)
    except OutsideValidity as refusal:
        return told | {"is_usable": False, "reasons": [str(refusal)], "plan": None}
    return told | {"is_usable": plan.is_usable, "reasons": list(plan.refusals), "plan": _named(plan)}


def _named(plan: StressingPlan) -> dict:
    """The plan's own fields, with the name of its bar beside every index."""
    plain = plan.as_dict()
    for pull in plain["pulls"]:
        pull["bars"] = [{"bar": plan.given.bars[each["bar_index"]].name} | each for each in pull["bars"]]
    return plain
