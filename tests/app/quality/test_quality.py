"""Quality assurance from its pages: drawn, done again by another, compared, closed."""

from datetime import date

import pytest
from django.utils import timezone

from inspections.actions import receive
from inspections.actions.quality import draw_sample
from inspections.models import Inspection, QualityCheck, QualityDifference, QualitySample
from inspections.queries.quality import inspections_to_draw
from inventory.models import Event, InspectionPolicy, Membership, Person
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import DONE_ON, decay, draft, rated

pytestmark = [pytest.mark.django_db, pytest.mark.database]
YEAR = {"period_from": "2026-01-01", "period_to": "2026-06-30"}


def accepted(structure, by, now, findings=(), **fields) -> Inspection:
    inspection = rated(structure, by, now, findings, **fields)
    Inspection.objects.filter(pk=inspection.pk).update(state="accepted")
    inspection.refresh_from_db()
    return inspection


@pytest.fixture
def quality(county, now):
    """One accepted inspection by the inspector, a second inspector, and a sample that holds it."""
    county.other = Person.objects.create_user("second-inspector", password="a long pass phrase")
    Membership.objects.create(person=county.other, agency=county.agency, role="inspector")
    county.people["second"] = county.other
    county.bridge = make_stringer_bridge(county.agency)
    county.first = accepted(county.bridge, county.people["inspector"], now, [decay(county.bridge)])
    assert county.client("supervisor").post("/quality/draw/", YEAR).status_code == 302
    county.check = QualityCheck.objects.get()
    return county


def press(county, role, act, **typed):
    county.check.refresh_from_db()
    values = {"revision": county.check.revision} | typed
    return county.client(role).post(f"/quality/checks/{county.check.pk}/{act}/", values)


def done_again(county, now, findings=(), **ratings):
    """The second inspection, entered and handed in by the second inspector."""
    assert press(county, "second", "start").status_code == 302
    second = QualityCheck.objects.get().repeated
    values = {
        "field_completed_on": DONE_ON,
        "deck_rating": "7",
        "superstructure_rating": "6",
        "substructure_rating": "6",
    }
    saved = receive.save_draft(
        inspection=second, revision=second.revision, fields=values | ratings, findings=list(findings), elements=[],
        by=county.other, at=now,
    )  # fmt: skip
    return receive.submit_inspection(inspection=saved, revision=saved.revision, by=county.other, at=now)


def test_the_draw_is_shown_with_its_seed_and_only_accepted_full_ones_are_drawn(county, now):
    inspector, supervisor = county.people["inspector"], county.people["supervisor"]
    good = [accepted(make_stringer_bridge(county.agency, f"Q-{n}"), inspector, now) for n in range(3)]
    rated(make_stringer_bridge(county.agency, "Q-7"), inspector, now)  # not accepted yet
    draft(make_stringer_bridge(county.agency, "Q-8"), inspector, now)
    special = accepted(make_stringer_bridge(county.agency, "Q-9"), inspector, now)
    Inspection.objects.filter(pk=special.pk).update(kind="special")
    record = accepted(make_stringer_bridge(county.agency, "Q-6"), inspector, now)
    Inspection.objects.filter(pk=record.pk).update(from_record=True)
    first, last = date(2026, 1, 1), date(2026, 6, 30)
    assert set(inspections_to_draw(county.agency, first, last)) == set(good)
    assert not inspections_to_draw(county.agency, first, date(2026, 6, 13)).exists(), "done on 14 June"
    InspectionPolicy.objects.create(agency=county.agency, qa_sample_pct=50)
    kept = draw_sample(
        agency=county.agency, period_from=first, period_to=date(2026, 6, 14), by=supervisor, at=now, seed=5
    )
    again = draw_sample(
        agency=county.agency, period_from=first, period_to=date(2026, 6, 14), by=supervisor, at=now, seed=5
    )
    # Half of three, rounded up, is two.
    chosen = set(kept.checks.values_list("inspection", flat=True))
    assert len(chosen) == 2 and chosen == set(again.checks.values_list("inspection", flat=True))
    assert "seed 5" in county.client("crew").get("/quality/").content.decode()


def test_nothing_to_draw_and_bad_periods_are_sentences(county):
    client = county.client("supervisor")
    for typed, said in (
        (YEAR, "nothing to draw from"),
        ({"period_from": "", "period_to": ""}, "Give the first and the last day"),
        ({"period_from": "soon", "period_to": "2026-01-01"}, "year-month-day"),
        ({"period_from": "2026-06-01", "period_to": "2026-01-01"}, "ends before it begins"),
        ({"period_from": "2026-06-01", "period_to": "2099-01-01"}, "in the future"),
    ):
        answer = client.post("/quality/draw/", typed)
        assert answer.status_code in (409, 422) and said in answer.content.decode(), typed
    assert not QualitySample.objects.exists()


def test_nobody_who_entered_the_first_does_it_again(quality):
    refused = press(quality, "inspector", "start")
    assert refused.status_code == 409 and "by another" in refused.content.decode()
    page = quality.client("inspector").get(f"/quality/checks/{quality.check.pk}/").content.decode()
    assert "You entered part of the first" in page and "Start the second" not in page
    assert press(quality, "second", "start").status_code == 302
    quality.check.refresh_from_db()
    assert quality.check.repeated.inspector == quality.other and quality.check.repeated.kind == "routine"
    assert press(quality, "engineer", "start").status_code == 409, "begun once"


def test_compared_when_handed_in_and_closed_one_by_one(quality, now):
    assert press(quality, "supervisor", "compare").status_code == 409
    done_again(quality, now, superstructure_rating="4", deck_rating="6")
    assert press(quality, "supervisor", "compare").status_code == 302
    quality.check.refresh_from_db()
    found = {row.what: row for row in QualityDifference.objects.all()}
    # 6 and 4 are two apart, more than one; 7 and 6 are one apart; the decay is in the first only.
    assert {what: row.counts for what, row in found.items()} == {
        "Deck rating": False,
        "Superstructure rating": True,
        next(what for what in found if what.startswith("Decay")): True,
    }
    assert quality.check.state == "compared"
    assert press(quality, "supervisor", "close", words="All well").status_code == 409, "open ones first"
    client = quality.client("supervisor")
    rows = list(found.values())
    empty = client.post(f"/quality/differences/{rows[0].pk}/close/", {"words": " "})
    assert empty.status_code == 409 and "Say what came of it" in empty.content.decode()
    for number, row in enumerate(rows):
        answer = client.post(f"/quality/differences/{row.pk}/close/", {"words": f"Looked at together {number}"})
        assert answer.status_code == 302
        quality.check.refresh_from_db()
        assert (quality.check.state == "closed") is (number == len(rows) - 1)
    page = client.get(f"/quality/checks/{quality.check.pk}/").content.decode()
    assert "Looked at together 0" in page and "Every difference is closed" in page
    again = client.post(f"/quality/differences/{rows[0].pk}/close/", {"words": "Once more"})
    assert again.status_code == 409 and "closed already" in again.content.decode()
    assert Event.objects.filter(verb="close_quality_difference").count() == 3


def test_two_that_agree_differ_in_nothing(quality, now):
    done_again(quality, now, [decay(quality.bridge)])
    assert press(quality, "engineer", "compare").status_code == 302
    assert not QualityDifference.objects.exists()
    page = quality.client("engineer").get(f"/quality/checks/{quality.check.pk}/").content.decode()
    assert "The two agree" in page
    assert press(quality, "engineer", "close", words="They agree").status_code == 302
    assert press(quality, "engineer", "compare").status_code == 409


def test_one_who_entered_the_first_closes_nothing_of_it(quality, now):
    Membership.objects.create(person=quality.people["inspector"], agency=quality.agency, role="engineer")
    done_again(quality, now)
    press(quality, "supervisor", "compare")
    row = QualityDifference.objects.get()
    author = quality.client("inspector")
    refused = author.post(f"/quality/differences/{row.pk}/close/", {"words": "Mine was right"})
    assert refused.status_code == 409 and "another closes" in refused.content.decode()
    quality.agency.reviewer_may_be_inspector = True
    quality.agency.reviewer_override_reason = "One engineer in the county"
    quality.agency.save()
    assert author.post(f"/quality/differences/{row.pk}/close/", {"words": "Looked again"}).status_code == 302


def test_one_made_since_by_another_may_be_named(quality, now):
    second = rated(quality.bridge, quality.other, now)
    own = rated(quality.bridge, quality.people["inspector"], now)
    wrong = press(quality, "supervisor", "link", inspection=str(own.pk))
    assert wrong.status_code == 422 and "Choose one of the inspections listed" in wrong.content.decode()
    assert press(quality, "supervisor", "link", inspection=str(second.pk)).status_code == 302
    assert press(quality, "supervisor", "compare").status_code == 302


def test_the_repeat_is_an_inspection_of_its_own_and_is_not_drawn_itself(quality, now):
    second = done_again(quality, now)
    Inspection.objects.filter(pk=second.pk).update(state="accepted")
    drawn_from = inspections_to_draw(quality.agency, date(2026, 1, 1), date(2026, 6, 30))
    assert set(drawn_from) == {quality.first}
    assert "its own day counts for the clocks" in (
        quality.client("crew").get(f"/quality/checks/{quality.check.pk}/").content.decode()
    )


def test_stale_wrong_role_and_other_agency(quality):
    old = {"revision": 99}
    client = quality.client("second")
    assert client.post(f"/quality/checks/{quality.check.pk}/start/", old).status_code == 409
    assert client.post(f"/quality/checks/{quality.check.pk}/start/", {}).status_code == 422
    for role in ("inspector", "office", "crew", "reviewer", "administrator"):
        assert quality.client(role).post("/quality/draw/", YEAR).status_code == 403
        assert press(quality, role, "compare").status_code == 403
    other = make_county("Reed County", "003").client("engineer")
    assert other.get(f"/quality/checks/{quality.check.pk}/").status_code == 404
    assert quality.bridge.title not in other.get("/quality/").content.decode()


def test_one_that_cannot_be_done_again_is_closed_with_its_reason(quality):
    assert press(quality, "supervisor", "close", words="").status_code == 409
    assert press(quality, "supervisor", "close", words="Replaced by a culvert").status_code == 302
    quality.check.refresh_from_db()
    assert quality.check.state == "closed" and quality.check.closed_by == quality.people["supervisor"]
    assert quality.check.closed_at <= timezone.now()
