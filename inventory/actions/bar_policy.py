"""How a county judges bar force is changed: with its reason, told as an event; the revision is what sweeps watch."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from inventory.models import Agency, BarPolicy, Person
from inventory.queries.people import permits_of
from inventory.rules.bar_policy import SETTINGS, WHOLE, bar_policy_faults
from inventory.rules.rating_settings import reason_fault
from inventory.rules.refusals import Refused, Stale
from inventory.vocabulary.roles import ALLOWED, Permit

from .tell import tell_event

VERB = "change_bar_policy"


@transaction.atomic
def change_bar_policy(
    *, agency: Agency, values: Mapping, reason: str, revision: int, by: Person, at: datetime
) -> BarPolicy:
    """Adopt another policy; `values` holds every setting of the table.

    Refused with a sentence for each entry out of range, without a reason, or where somebody changed it meanwhile.
    """
    if Permit.SET_BARS not in permits_of(by, agency):
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[Permit.SET_BARS]))
        raise Refused(f"You may not {Permit.SET_BARS.label} here: that needs the role {roles}.")
    Agency.objects.select_for_update().get(pk=agency.pk)
    held, _made = BarPolicy.objects.get_or_create(agency=agency)
    if held.revision != revision:
        raise Stale(
            f"Somebody changed how {agency} judges bar force after you opened this page ({held.last_change}), so "
            "nothing of yours was saved. Your entries are still below: compare them with a fresh copy, then save again."
        )
    if faults := bar_policy_faults(values) | reason_fault(reason):
        raise Refused(faults)
    new = {name: int(values[name]) if name in WHOLE else float(values[name]) for name in SETTINGS}
    before = {name: getattr(held, name) for name in SETTINGS}
    changed = [name for name in SETTINGS if new[name] != before[name]]
    if not changed:
        raise Refused("Nothing was changed: every setting is as it was.")
    for name in changed:
        setattr(held, name, new[name])
    labels = ", ".join(SETTINGS[name].label.lower() for name in changed)
    held.revision += 1
    held.last_change = f"Bar policy changed: {labels}"[:200]
    held.save()
    tell_event(
        verb=VERB,
        sentence=f"How the county judges bar force was changed ({labels}): {reason.strip()}",
        at=at,
        by=by,
        agency=agency,
        detail={
            "before": {name: before[name] for name in changed},
            "after": {name: new[name] for name in changed},
            "reason": reason.strip(),
        },
    )
    return held
