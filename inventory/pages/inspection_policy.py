"""The page of when a county inspects: values beside defaults, what asks for less than the rule, who changed it."""

from inventory.actions.inspection_policy import VERB
from inventory.models import Agency, Event
from inventory.queries.inspection_policy import policy_of
from inventory.rules.inspection_policy import GROUPS, SETTINGS, longer_than_rule

SHOWN_CHANGES = 12


def inspection_policy_initial(agency: Agency) -> dict:
    """The form as it opens: every setting as it stands."""
    policy = policy_of(agency)
    return {name: f"{getattr(policy, name):g}" for name in SETTINGS} | {"revision": policy.revision}


def inspection_policy_context(agency: Agency) -> dict:
    """The page "When this county inspects"."""
    policy = policy_of(agency)
    values = {name: getattr(policy, name) for name in SETTINGS}
    changes = list(Event.objects.filter(agency=agency, structure=None, verb=VERB).select_related("by"))
    last: dict[str, Event] = {}
    for event in changes:
        for name in event.detail.get("after", {}):
            last.setdefault(name, event)
    beyond = longer_than_rule(values)
    groups = [
        (heading, [_line(setting, values[setting.name], last.get(setting.name), beyond) for setting in group])
        for heading, group in GROUPS
    ]
    return {
        "agency": agency,
        "policy": policy,
        "groups": groups,
        "beyond": list(beyond.values()),
        "changes": changes[:SHOWN_CHANGES],
    }


def _line(setting, value, event: Event | None, beyond: dict) -> dict:
    return {
        "setting": setting,
        "shown": setting.words(value),
        "default": setting.words(setting.default),
        "range": f"{setting.least:g} to {setting.most:g}",
        "is_changed": value != setting.default,
        "is_beyond": setting.name in beyond,
        "event": event,
    }
