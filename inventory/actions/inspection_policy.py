"""When a county inspects is changed: with its reason, told as an event; the nightly sweep of dates follows."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from inventory.models import Agency, InspectionPolicy, Person
from inventory.queries.people import permits_of
from inventory.rules.inspection_policy import DEFAULTS, SETTINGS, inspection_policy_faults, longer_than_rule
from inventory.rules.rating_settings import reason_fault
from inventory.rules.refusals import Refused, Stale
from inventory.vocabulary.roles import ALLOWED, Permit

from .tell import tell_event

VERB = "change_inspection_policy"


@transaction.atomic
def change_inspection_policy(
    *,
    agency: Agency,
    values: Mapping,
    reason: str,
    revision: int,
    by: Person,
    at: datetime,
    longer_is_meant: bool = False,
) -> InspectionPolicy:
    """Adopt another policy; `values` holds every setting of the table.

    Refused with a sentence for each entry out of range, without a reason, where somebody changed it meanwhile, and
    where an entry newly asks for less than the federal rule and `longer_is_meant` does not say that the State approved.
    """
    if Permit.SET_INSPECTION_POLICY not in permits_of(by, agency):
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[Permit.SET_INSPECTION_POLICY]))
        raise Refused(f"You may not {Permit.SET_INSPECTION_POLICY.label} here: that needs the role {roles}.")
    Agency.objects.select_for_update().get(pk=agency.pk)
    held, _made = InspectionPolicy.objects.get_or_create(agency=agency)
    if held.revision != revision:
        raise Stale(
            f"Somebody changed when {agency} inspects after you opened this page ({held.last_change}), so nothing of "
            "yours was saved. Your entries are still below: compare them with a fresh copy, then save again."
        )
    if faults := inspection_policy_faults(values) | reason_fault(reason):
        raise Refused(faults)
    new = {name: int(values[name]) for name in SETTINGS}
    before = {name: getattr(held, name) for name in SETTINGS}
    changed = [name for name in SETTINGS if new[name] != before[name]]
    if not changed:
        raise Refused("Nothing was changed: every setting is as it was.")
    beyond = {name: sentence for name, sentence in longer_than_rule(new).items() if name in changed}
    if beyond and not longer_is_meant:
        ask = "Tick that the State approved this in writing, and name the approval in the reason; or enter less."
        raise Refused(beyond | {"longer_is_meant": ask})
    return _adopt(held, new, before, changed, reason.strip(), by, at)


@transaction.atomic
def start_inspection_policy(*, agency: Agency, values: Mapping, at: datetime) -> InspectionPolicy:
    """The first policy of a new agency: the defaults, and what `values` says otherwise; refused out of range."""
    new = DEFAULTS | dict(values)
    if faults := inspection_policy_faults(new):
        raise Refused(faults)
    if InspectionPolicy.objects.filter(agency=agency).exists():
        raise Refused(f"{agency} has a policy already: change it on its page, with a reason.")
    held = InspectionPolicy(agency=agency)
    changed = [name for name in SETTINGS if new[name] != DEFAULTS[name]]
    return _adopt(held, new, DEFAULTS, changed, "set when the agency was made", None, at)


def _adopt(held: InspectionPolicy, new: dict, before: Mapping, changed: list[str], reason: str, by, at: datetime):
    for name in SETTINGS:
        setattr(held, name, new[name])
    labels = ", ".join(SETTINGS[name].label for name in changed) or "the defaults"
    held.revision += 1
    held.last_change = f"Inspection policy changed: {labels}"[:200]
    held.save()
    tell_event(
        verb=VERB,
        sentence=f"When the county inspects was changed ({labels}): {reason}"[:500],
        at=at,
        by=by,
        agency=held.agency,
        detail={
            "before": {name: before[name] for name in changed},
            "after": {name: new[name] for name in changed},
            "reason": reason,
            "beyond_the_rule": sorted(name for name in longer_than_rule(new) if name in changed),
        },
    )
    return held
