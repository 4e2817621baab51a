"""How bar force is judged: shown beside the default with who changed it, changed for a reason, watched by revision."""

from html import escape

import pytest

from inventory.models import BarPolicy, Event
from inventory.queries.bars import bar_policy_of
from inventory.rules.bar_policy import SETTINGS
from tests.makers.county import make_county

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def typed(**changed):
    values = {name: f"{setting.default:g}" for name, setting in SETTINGS.items()}
    return values | {"revision": "0", "reason": "readings of 2025"} | changed


def test_the_page_shows_every_setting_its_default_and_mark(county):
    page = county.client("reviewer").get("/bars/policy/").content.decode()
    for setting in SETTINGS.values():
        assert escape(setting.label) in page and escape(setting.meaning) in page
    assert "every value is the default" in page


def test_a_change_raises_the_revision_and_says_who_and_why(county):
    answer = county.client("engineer").post("/bars/policy/change/", typed(log_slope_ratio="0.11", sample_every="2"))
    policy = BarPolicy.objects.get()
    assert answer.status_code == 302
    assert (policy.log_slope_ratio, policy.sample_every, policy.revision) == (0.11, 2, 1)
    assert "loss for each tenfold time" in policy.last_change
    event = Event.objects.get(verb="change_bar_policy")
    assert event.detail["before"] == {"log_slope_ratio": 0.13, "sample_every": 3}
    page = county.client("crew").get("/bars/policy/").content.decode()
    assert "0.11" in page and "engineer-001" in page and "readings of 2025" in page
    assert bar_policy_of(county.agency).revision == 1


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"reason": " "}, "Say why"),
        ({"log_slope_ratio": "13"}, "must be from 0.02 to 0.3"),
        ({"log_slope_ratio": ""}, "enter a number from"),
        ({"floor_ratio": "half"}, "Enter a number in digits"),
        ({"lead_days": "60.5"}, "whole number"),
        ({"band_ratio": "nan"}, "Enter a number in digits"),
    ],
)
def test_bad_input_is_refused_and_kept(county, changed, said):
    answer = county.client("engineer").post("/bars/policy/change/", typed(settle_days="200", **changed))
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page and 'value="200"' in page
    assert not BarPolicy.objects.filter(revision__gt=0).exists()


def test_nothing_changed_is_no_change(county):
    answer = county.client("engineer").post("/bars/policy/change/", typed())
    assert answer.status_code == 422 and "Nothing was changed" in answer.content.decode()


def test_a_stale_page_is_refused(county):
    client = county.client("engineer")
    client.post("/bars/policy/change/", typed(lead_days="90"))
    answer = client.post("/bars/policy/change/", typed(lead_days="30"))
    assert answer.status_code == 422 and "after you opened this page" in answer.content.decode()
    assert BarPolicy.objects.get().lead_days == 90


def test_who_may_change_it(county):
    for role in ("office", "inspector", "crew", "supervisor", "reviewer"):
        assert county.client(role).post("/bars/policy/change/", typed(lead_days="90")).status_code == 403
    other = make_county("Reed County", "003")
    assert other.client("engineer").post("/bars/policy/change/", typed(lead_days="90")).status_code == 302
    assert bar_policy_of(county.agency).lead_days == 60, "each agency has its own"
