"""A critical finding from the call to what was done: reported once, told, planned, made safe, closed with proof."""

import uuid
from datetime import date, timedelta

import pytest

from inspections.actions import critical as actions
from inspections.models import CriticalFinding, OwedMessage
from inspections.queries.critical import critical_facts
from inspections.rules.refusals import Refused, Stale
from inventory.models import Event, InspectionPolicy, Posting
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.critical import make_critical, make_photo

pytestmark = pytest.mark.django_db
STATE = {"whom": "Duty officer", "role": "state", "how": "call"}


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


def tell(finding, by, at, **changed):
    return actions.tell_of_critical(finding=finding, notice=STATE | {"told_at": at} | changed, by=by, at=at)


def test_sent_twice_it_is_reported_once(county, bridge, now):
    identity = uuid.uuid4()
    first = make_critical(bridge, county.people["inspector"], now, identity=identity)
    again = make_critical(bridge, county.people["inspector"], now, identity=identity, words="Other words")
    assert first == again
    assert again.words == "Pile 3 of bent 1 hangs free."
    assert Event.objects.filter(verb="report_critical").count() == 1


def test_the_identity_of_another_structure_is_refused(county, bridge, now):
    finding = make_critical(bridge, county.people["inspector"], now)
    other = make_stringer_bridge(county.agency, number="Q-9")
    with pytest.raises(Refused, match="another structure"):
        make_critical(other, county.people["inspector"], now, identity=finding.identity)


def test_every_supervisor_and_engineer_has_a_message_at_once_and_nobody_else(county, bridge, now):
    make_critical(bridge, county.people["crew"], now)
    told = OwedMessage.objects.filter(key__startswith="critical:")
    assert {row.person for row in told} == {county.people["supervisor"], county.people["engineer"]}
    assert all("Pile 3 of bent 1 hangs free." in row.sentence for row in told)


def test_who_only_reads_may_not_report(county, bridge, now):
    with pytest.raises(Refused, match="report a critical finding"):
        make_critical(bridge, county.people["reviewer"], now)


def test_people_called_before_recording_are_on_record_with_it(county, bridge, now):
    called = now - timedelta(minutes=20)
    finding = make_critical(
        bridge, county.people["inspector"], now, notices=[{"whom": "Sheriff", "role": "sheriff", "told_at": called}]
    )
    notice = finding.notices.get()
    assert (notice.whom, notice.how, notice.told_at) == ("Sheriff", "call", called)


def test_a_telephone_ahead_of_time_does_not_gain_hours(county, bridge, now):
    finding = make_critical(bridge, county.people["inspector"], now, found_at=now + timedelta(days=365))
    assert finding.found_at == now


def test_a_press_without_words_is_kept_under_its_kind(county, bridge, now):
    finding = make_critical(bridge, county.people["inspector"], now, words="  ")
    assert finding.words == "Threat to people, of any other kind"


@pytest.mark.parametrize("changed", [{"kind": "odd"}, {"words": "x" * 501}])
def test_what_cannot_be_is_refused_in_a_sentence(county, bridge, now, changed):
    with pytest.raises(Refused) as refused:
        make_critical(bridge, county.people["inspector"], now, **changed)
    assert refused.value.sentence.endswith(".")
    assert not CriticalFinding.objects.exists()


def test_telling_the_state_stops_the_clock_and_telling_others_does_not(county, bridge, now):
    finding = make_critical(bridge, county.people["inspector"], now)
    tell(finding, county.people["inspector"], now, role="sheriff", whom="Sheriff")
    assert critical_facts([bridge.pk])[bridge.pk][0].told_state_at is None
    tell(finding, county.people["supervisor"], now + timedelta(hours=2))
    assert critical_facts([bridge.pk])[bridge.pk][0].told_state_at == now + timedelta(hours=2)


def test_told_twice_in_one_press_is_one_notice(county, bridge, now):
    finding = make_critical(bridge, county.people["inspector"], now)
    assert tell(finding, county.people["supervisor"], now) == tell(finding, county.people["supervisor"], now)


def test_a_status_report_goes_to_the_state(county, bridge, now):
    finding = make_critical(bridge, county.people["inspector"], now)
    with pytest.raises(Refused, match="goes to the State"):
        tell(finding, county.people["supervisor"], now, role="sheriff", is_status_report=True)


def test_closed_only_with_words_and_another_photograph(county, bridge, now):
    by = county.people["engineer"]
    found = make_photo(bridge, county.people["inspector"], now)
    finding = make_critical(bridge, county.people["inspector"], now, photo=found)
    done = make_photo(bridge, by, now, colour=(10, 200, 10), title="New pile driven")

    def close(words, photo):
        return actions.close_critical(finding=finding, revision=0, words=words, photo=photo, by=by, at=now)

    for words, photo, said in (
        ("", done, "Say what was done"),
        ("Pile replaced.", None, "Add a photograph"),
        ("Pile replaced.", found, "shows what was found"),
    ):
        with pytest.raises(Refused, match=said):
            close(words, photo)
    closed = close("Pile replaced.", done)
    assert (closed.state, closed.closed_by, closed.closing_photo) == ("closed", by, done)
    with pytest.raises(Refused):
        actions.make_safe(finding=closed, revision=closed.revision, words="x", by=by, at=now)


def test_a_photograph_from_before_it_was_found_shows_nothing_that_was_done(county, bridge, now):
    by = county.people["engineer"]
    old = make_photo(bridge, by, now - timedelta(days=30))
    finding = make_critical(bridge, by, now)
    with pytest.raises(Refused, match="here before this was found"):
        actions.close_critical(finding=finding, revision=0, words="Done.", photo=old, by=by, at=now)


def test_a_report_to_somebody_else_does_not_put_off_the_next_one(county, bridge, now):
    """Words of a notice may come with the report itself, unasked: only what went to the State counts."""
    notice = {"whom": "Sheriff", "role": "sheriff", "told_at": now, "is_status_report": True}
    make_critical(bridge, county.people["inspector"], now, notices=[notice])
    (fact,) = critical_facts([bridge.pk])[bridge.pk]
    assert fact.status_at is None


def test_a_photograph_of_another_structure_closes_nothing(county, bridge, now):
    by = county.people["engineer"]
    finding = make_critical(bridge, by, now)
    other = make_photo(make_stringer_bridge(county.agency, number="Q-9"), by, now)
    with pytest.raises(Refused, match="does not belong"):
        actions.close_critical(finding=finding, revision=0, words="Done.", photo=other, by=by, at=now)


def test_an_inspector_may_tell_but_not_close_or_plan(county, bridge, now):
    by = county.people["inspector"]
    finding = make_critical(bridge, by, now)
    for act in (
        lambda: actions.make_safe(finding=finding, revision=0, words="Barricades.", by=by, at=now),
        lambda: actions.plan_critical(
            finding=finding, revision=0, words="Shore it.", until=date(2026, 7, 1), by=by, at=now
        ),
    ):
        with pytest.raises(Refused, match="engineer or supervisor"):
            act()
    assert tell(finding, by, now).pk


def test_safe_no_longer_tells_everyone_again(county, bridge, now):
    by = county.people["supervisor"]
    finding = make_critical(bridge, by, now)
    finding = actions.make_safe(finding=finding, revision=0, words="Barricades both ends.", by=by, at=now)
    before = OwedMessage.objects.count()
    finding = actions.say_no_longer_safe(finding=finding, revision=1, words="Barricades stolen.", by=by, at=now)
    assert (finding.state, finding.made_safe_at) == ("reported", None)
    assert OwedMessage.objects.count() == before + 2


def test_an_older_page_does_not_win(county, bridge, now):
    by = county.people["supervisor"]
    finding = make_critical(bridge, by, now)
    actions.make_safe(finding=finding, revision=0, words="Barricades.", by=by, at=now)
    with pytest.raises(Stale):
        actions.plan_critical(finding=finding, revision=0, words="Shore.", until=date(2026, 7, 1), by=by, at=now)


def test_the_first_plan_stops_the_clock_and_a_later_one_keeps_its_moment(county, bridge, now):
    by = county.people["engineer"]
    finding = make_critical(bridge, by, now)
    later = now + timedelta(days=9)
    actions.plan_critical(finding=finding, revision=0, words="Shore.", until=date(2026, 7, 1), by=by, at=now)
    again = actions.plan_critical(
        finding=finding, revision=1, words="Replace.", until=date(2026, 8, 1), by=by, at=later
    )
    assert (again.planned_at, again.plan_words) == (now, "Replace.")
    assert Event.objects.filter(verb="plan_critical", sentence__contains="Shore.").exists()


def test_restricting_now_waits_for_no_rating_and_makes_nothing_safe(county, bridge, now):
    finding = make_critical(bridge, county.people["inspector"], now)
    kept = actions.link_restriction(
        finding=finding, restriction="closed", single_ton=None, reason="Pile gone.",
        by=county.people["supervisor"], at=now,
    )  # fmt: skip
    assert kept.posting == Posting.objects.get(structure=bridge, superseded_on=None)
    assert kept.posting.restriction == "closed"
    assert kept.state == "reported"


def test_an_inspector_cannot_restrict_by_this_way_either(county, bridge, now):
    finding = make_critical(bridge, county.people["inspector"], now)
    with pytest.raises(Refused):
        actions.link_restriction(
            finding=finding, restriction="closed", single_ton=None, reason="x",
            by=county.people["inspector"], at=now,
        )  # fmt: skip
    assert not Posting.objects.exists()


def test_warned_once_before_and_once_after_the_end(county, bridge, now):
    """Settings of 8 hours: three quarters of them are 6 hours."""
    InspectionPolicy.objects.create(agency=county.agency, critical_tell_hours=8)
    make_critical(bridge, county.people["inspector"], now)
    assert actions.warn_of_clocks(at=now + timedelta(hours=5)) == 0
    assert actions.warn_of_clocks(at=now + timedelta(hours=6)) == 2
    assert actions.warn_of_clocks(at=now + timedelta(hours=7)) == 0
    assert actions.warn_of_clocks(at=now + timedelta(hours=9)) == 2
    assert OwedMessage.objects.filter(sentence__contains="LATE 1 h: tell the State now").count() == 2
    assert actions.warn_of_clocks(at=now + timedelta(hours=12)) == 0


def test_facts_come_in_a_fixed_number_of_queries(county, now, django_assert_num_queries):
    other = make_county("Marrow County", "003")
    bridges = [make_stringer_bridge(county.agency, number=f"N-{n}") for n in range(3)]
    bridges.append(make_stringer_bridge(other.agency, number="M-1"))
    for each in bridges[:3]:
        make_critical(each, county.people["inspector"], now)
    make_critical(bridges[3], other.people["inspector"], now)
    with django_assert_num_queries(2):
        facts = critical_facts([each.pk for each in bridges])
    assert len(facts) == 4
