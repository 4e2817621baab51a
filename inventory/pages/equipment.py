"""What the pages of jacks and of the bar policy show: calibration in words, values beside defaults, who did what."""

from datetime import date

from inventory.actions.bar_policy import VERB
from inventory.models import Agency, Event, Jack
from inventory.queries.bars import bar_policy_of
from inventory.queries.equipment import calibration_today
from inventory.rules.bar_policy import GROUPS, SETTINGS
from inventory.rules.equipment import efficiency_words

SHOWN_CHANGES = 12


def jack_line(jack: Jack, as_of: date) -> dict:
    """A jack as the list shows it."""
    calibration = calibration_today(jack, as_of)
    return {"jack": jack, "calibration": calibration, "efficiency_words": efficiency_words(jack.efficiency)}


def jacks_context(agency: Agency, as_of: date) -> dict:
    """The page "Jacks and gauges" of one agency."""
    lines = [jack_line(jack, as_of) for jack in Jack.objects.filter(agency=agency).order_by("name", "pk")]
    in_use = [line for line in lines if line["jack"].retired_on is None]
    return {
        "agency": agency,
        "in_use": in_use,
        "retired": [line for line in lines if line["jack"].retired_on is not None],
        "warned": [line for line in in_use if line["calibration"].warns],
    }


def jack_events(jack: Jack):
    """What was said of one jack, newest first."""
    events = Event.objects.filter(agency=jack.agency, structure=None, detail__jack=jack.pk)
    return events.select_related("by")[:SHOWN_CHANGES]


def policy_initial(agency: Agency) -> dict:
    """The form as it opens: every setting as it stands, numbers short."""
    policy = bar_policy_of(agency)
    return {name: f"{getattr(policy, name):g}" for name in SETTINGS} | {"revision": policy.revision}


def policy_context(agency: Agency) -> dict:
    """The page "How bar force is judged"."""
    policy = bar_policy_of(agency)
    changes = list(Event.objects.filter(agency=agency, structure=None, verb=VERB).select_related("by"))
    last: dict[str, Event] = {}
    for event in changes:
        for name in event.detail.get("after", {}):
            last.setdefault(name, event)
    groups = [
        (heading, [_line(setting, getattr(policy, setting.name), last.get(setting.name)) for setting in group])
        for heading, group in GROUPS
    ]
    return {"agency": agency, "policy": policy, "groups": groups, "changes": changes[:SHOWN_CHANGES]}


def _line(setting, value, event: Event | None) -> dict:
    return {
        "setting": setting,
        "shown": setting.words(value),
        "default": setting.words(setting.default),
        "range": f"{setting.least:g} to {setting.most:g}",
        "is_changed": value != setting.default,
        "event": event,
    }
