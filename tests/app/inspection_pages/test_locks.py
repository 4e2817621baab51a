"""Who may open what: roles, agencies, POST only with the token."""

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import Inspection, Rating, Recommendation
from inventory.models import Posting, Sign
from inventory.vocabulary.roles import ALLOWED, Permit, Role
from tests.makers.county import make_county

pytestmark = pytest.mark.django_db

# (route, which row, method, permit)
ROUTES = [
    ("inspections", None, "get", Permit.READ),
    ("inspection", "inspection", "get", Permit.READ),
    ("progress", "inspection", "get", Permit.READ),
    ("calculation", "rating", "get", Permit.READ),
    ("calculation_pdf", "rating", "get", Permit.READ),
    ("decision", "recommendation", "get", Permit.READ),
    ("start", "structure", "get", Permit.ENTER_INSPECTION),
    ("start", "structure", "post", Permit.ENTER_INSPECTION),
    ("edit", "inspection", "get", Permit.ENTER_INSPECTION),
    ("edit", "inspection", "post", Permit.ENTER_INSPECTION),
    ("review", "inspection", "get", Permit.REVIEW_INSPECTION),
    ("review_adopt", "inspection", "post", Permit.REVIEW_INSPECTION),
    ("review_send_back", "inspection", "post", Permit.REVIEW_INSPECTION),
    ("decisions", None, "get", Permit.DECIDE_POSTING),
    ("adopt", "recommendation", "post", Permit.DECIDE_POSTING),
    ("otherwise", "recommendation", "post", Permit.DECIDE_POSTING),
    ("withdraw", "recommendation", "post", Permit.DECIDE_POSTING),
    ("restrict", "structure", "get", Permit.RESTRICT_NOW),
    ("restrict", "structure", "post", Permit.RESTRICT_NOW),
    ("signs", None, "get", Permit.CONFIRM_SIGN),
    ("confirm_sign", "sign", "post", Permit.CONFIRM_SIGN),
    ("sign_missing", "sign", "post", Permit.CONFIRM_SIGN),
]
POST_ONLY = ("review_adopt", "review_send_back", "adopt", "otherwise", "withdraw", "confirm_sign", "sign_missing")


@pytest.fixture
def rows(bridge, draft, now):
    """One row of each kind that a route can name."""
    rating = Rating.objects.create(
        structure=bridge,
        cause="test",
        as_of=now.date(),
        made_at=now,
        digest="d",
        kernel_version="0",
        snapshot={},
        is_rated=False,
        results={},
        reasons=["Nothing is known."],
    )
    posting = Posting.objects.create(
        structure=bridge, restriction="posted", single_ton=9, source="adopted", decided_on=now.date()
    )
    sign = Sign.objects.create(posting=posting, approach="north", code="R12-1", legend="WEIGHT LIMIT 9 TONS")
    recommendation = Recommendation.objects.create(
        structure=bridge, rating=rating, restriction="posted", single_ton=8, made_on=now.date()
    )
    return {"structure": bridge, "inspection": draft, "rating": rating, "recommendation": recommendation, "sign": sign}


def address(name, row, rows):
    return reverse(f"inspections:{name}", args=[rows[row].pk] if row else [])


@pytest.mark.parametrize("role", [role.value for role in Role])
def test_every_role_at_every_door(county, rows, role):
    """The table of permits is what the pages obey: 403 with a sentence to those without, an answer to those with."""
    client = county.client(role)
    for name, row, method, permit in ROUTES:
        answer = getattr(client, method)(address(name, row, rows))
        if Role(role) in ALLOWED[permit]:
            assert answer.status_code in (200, 302, 409), (name, method, answer.status_code)
        else:
            assert answer.status_code == 403, (name, method, answer.status_code)
            assert "that needs the role" in answer.content.decode()


def test_another_agency_does_not_exist(county, rows):
    other = make_county("Marrow County", "003")
    for role in ("engineer", "inspector", "crew", "supervisor"):
        client = other.client(role)
        for name, row, method, permit in ROUTES:
            if row is not None and Role(role) in ALLOWED[permit]:
                assert getattr(client, method)(address(name, row, rows)).status_code == 404, (role, name, method)
    for name in ("inspections", "decisions", "signs"):
        assert "Heron Road" not in other.client("engineer").get(reverse(f"inspections:{name}")).content.decode()


def test_a_stranger_is_sent_to_sign_in(client, rows):
    for name, row, method, _ in ROUTES:
        answer = getattr(client, method)(address(name, row, rows))
        assert answer.status_code == 302 and answer.url.startswith("/sign-in/")


def test_acts_are_posted_with_the_token(county, rows):
    engineer = county.client("engineer")
    for name, row, _, _ in (route for route in ROUTES if route[0] in POST_ONLY):
        assert engineer.get(address(name, row, rows)).status_code == 405, name
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(county.people["engineer"])
    for name, row, method, _ in ROUTES:
        if method == "post":
            assert strict.post(address(name, row, rows)).status_code == 403, name


def test_decisions_refuse_with_sentences(county, rows):
    engineer = county.client("engineer")
    recommendation = rows["recommendation"]
    cases = [
        ("adopt", {"adopt-revision": "7"}, "changed this recommendation", 409),
        ("adopt", {}, "without its revision", 200),
        ("otherwise", {"otherwise-revision": "0", "otherwise-restriction": ""}, "Choose open, posted or closed", 200),
        (
            "otherwise",
            {
                "otherwise-revision": "0",
                "otherwise-restriction": "posted",
                "otherwise-single_ton": "2",
                "otherwise-reason": "my reason",
            },
            "the smallest posting",
            409,
        ),
        ("withdraw", {"withdraw-revision": "0", "withdraw-reason": ""}, "Say why", 200),
    ]
    for name, sent, words, status in cases:
        answer = engineer.post(reverse(f"inspections:{name}", args=[recommendation.pk]), sent)
        text = answer.content.decode()
        assert answer.status_code == status and words in text, (name, answer.status_code)
        if "my reason" in sent.values():
            assert "my reason" in text
    recommendation.refresh_from_db()
    assert recommendation.state == "proposed"


def test_who_entered_it_may_not_review_it(county, bridge, now):
    engineer = county.client("engineer")
    engineer.post(reverse("inspections:start", args=[bridge.pk]), {"kind": "special"})
    inspection = Inspection.objects.get(structure=bridge)
    Inspection.objects.filter(pk=inspection.pk).update(state="rated", field_completed_on=now.date())
    inspection.refresh_from_db()
    sent = {"adopt-revision": inspection.revision}
    answer = engineer.post(reverse("inspections:review_adopt", args=[inspection.pk]), sent)
    assert answer.status_code == 409 and "another engineer must review it" in answer.content.decode()
