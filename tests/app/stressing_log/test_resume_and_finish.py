"""The engineer releases the rest; the day is finished once, with all that follows from it."""

from datetime import timedelta
from uuid import uuid4

import pytest

from inspections.actions.stressing.finish import finish
from inspections.actions.stressing.reopen import reopen
from inspections.actions.stressing.resume import resume
from inspections.assembly import stressing_log
from inspections.assembly.stressing_log import day_log
from inspections.models import Finding, Inspection, LoggedPull, OwedRating, StressingDay
from inspections.rules.refusals import Refused, Stale
from inventory.mechanics.errors import OutsideValidity
from inventory.models import Bar, Event, StressingSystem, Work
from tests.makers.stressing_log import TrueDeck, coming, log_all, log_one, plan_of


@pytest.fixture
def done(day, crew, now):
    """Every pull logged as planned."""
    log_all(day, crew, now)
    day.refresh_from_db()
    return day


@pytest.fixture
def engineer(county):
    return county.people["engineer"]


def end(day, by, at, **more):
    day.refresh_from_db()
    return finish(day=day, revision=day.revision, by=by, at=at, **more)


def resumed(day, by, at, **more):
    day.refresh_from_db()
    return resume(**{"day": day, "revision": day.revision, "reason": "looked at", "by": by, "at": at, **more})


def test_only_the_engineer_releases_the_rest_with_a_reason(day, crew, county, engineer, now):
    log_one(day, crew, now, plate_sunk_in=0.3)
    with pytest.raises(Refused, match="engineer"):
        resumed(day, county.people["supervisor"], now)
    with pytest.raises(Refused, match="Say what was found"):
        resumed(day, engineer, now, reason=" ")
    day = resumed(day, engineer, now)
    assert day.state == "under_way" and day.held_reason == ""
    # Not left out: the stopped bar is asked for again, as a pull of its own.
    plan, entry = plan_of(day), LoggedPull.objects.get()
    later = {bar.bar_index for pull in plan.pulls if pull.number > entry.pull_number for bar in pull.bars}
    assert entry.bar_index in later


def test_a_bar_left_out_is_pulled_no_more(make_day, crew, engineer, now):
    day = make_day(method="equal_passes", pass_count=2)
    entry = log_one(day, crew, now, plate_sunk_in=0.3).entry
    day = resumed(day, engineer, now, leave_out=(entry.bar_index,))
    plan = plan_of(day)
    assert not plan.given.bars[entry.bar_index].is_planned
    coming_bars = {bar.bar_index for pull in plan.pulls if pull.number > entry.pull_number for bar in pull.bars}
    assert entry.bar_index not in coming_bars and len(coming_bars) == 5
    log_all(day, crew, now)
    day.refresh_from_db()
    assert coming(day) is None and day.state == "under_way"


def test_a_new_greatest_is_bound_by_bar_jack_and_wood(make_day, crew, engineer, now):
    """A 1 in bar of 0.85 in2, 150 ksi: 0.70 x 150,000 x 0.85 / 1.05 = 85,000 lb. Its plate bears less, with the same
    1.05 for lift-off."""
    day = make_day(method="equal_passes", pass_count=2)
    plan = plan_of(day)
    highest = plan.given.plate_limit_lb / 1.05
    assert plan.greatest_set_lb < highest < 85_000.0
    StressingDay.objects.filter(pk=day.pk).update(released_most_lb=plan.greatest_set_lb * 0.999)
    log_all(day, crew, now)
    with pytest.raises(Refused, match=f"at most {highest:,.0f} lb"):
        resumed(day, engineer, now, most_lb=1.001 * highest)
    with pytest.raises(Refused, match="still asks for"):
        resumed(day, engineer, now)
    day = resumed(day, engineer, now, most_lb=0.999 * highest)
    assert day.state == "under_way" and day.released_most_lb == 0.999 * highest
    log_all(day, crew, now)
    assert coming(day) is None


def test_the_engineer_may_go_back_to_the_plan_before(make_day, crew, engineer, now):
    day = make_day(method="equal_passes", pass_count=2)
    before = plan_of(day)
    for _ in range(6):
        log_one(day, crew, now)
    log_one(day, crew, now, plate_sunk_in=0.3)
    day = resumed(day, engineer, now, plan_before=True)
    assert [pull.number for pull in plan_of(day).pulls] == [pull.number for pull in before.pulls]
    assert [pull.bars for pull in plan_of(day).pulls] == [pull.bars for pull in before.pulls]


def test_an_old_page_does_not_resume(day, crew, engineer, now):
    log_one(day, crew, now, plate_sunk_in=0.3)
    day.refresh_from_db()
    with pytest.raises(Stale):
        resume(day=day, revision=day.revision - 1, reason="x", by=engineer, at=now)


def test_a_day_finishes_with_a_work_the_forces_and_a_rating_owed(done, crew, now):
    day = end(done, crew, now)
    work = Work.objects.get(kind="retension")
    assert day.state == "finished" and day.work == work and day.finished_at == now
    for words in ("6 of 6 bars", "Jack 1", "computed", "lb, mean"):
        assert words in work.summary
    assert work.crew == "Crew two" and work.done_on.isoformat() == "2026-06-15"
    assert [row["bar"] for row in day.final] == day.bar_ids
    assert not any(row["is_read"] for row in day.final)
    # Nothing was read at the end, so there is no bar check, and the rating is owed by the day itself.
    assert Inspection.objects.filter(kind="bar_check", notes__contains="stressing day").count() == 0
    assert OwedRating.objects.filter(structure=day.structure, state="owed", cause__contains="stressed").exists()
    assert Event.objects.filter(verb="finish_stressing", structure=day.structure).count() == 1


def test_stressing_at_erection_is_its_own_kind_of_work(make_day, crew, now):
    day = make_day(purpose="stressing")
    log_all(day, crew, now)
    end(day, crew, now)
    assert Work.objects.filter(kind="stressing").count() == 1


def test_a_stressing_the_setting_record_wrote_is_not_written_twice(make_day, crew, now):
    day = make_day(purpose="stressing")
    own = Work.objects.create(
        structure=day.structure, kind="stressing", done_on=now.date(), summary="Stressing done, from the setting record"
    )
    log_all(day, crew, now)
    assert end(day, crew, now).work == own and Work.objects.count() == 1


def test_only_what_was_read_becomes_a_reading(done, crew, county, now):
    """Three bars read at the end by lift-off: three findings through the ordinary door, rated and reviewed."""
    inspector = county.people["inspector"]
    read = {0: 56_000.0, 3: 57_000.0, 5: 55_000.0}
    day = end(done, crew, now, readings=read, inspector=inspector, wood_temp_f=61.0)
    check = Inspection.objects.latest("pk")
    assert (check.kind, check.state, check.inspector) == ("bar_check", "submitted", inspector)
    assert "finished by" in check.notes and str(crew) in check.team
    found = {row.bar_id: row for row in Finding.objects.filter(inspection=check)}
    assert {pk: row.force_lb for pk, row in found.items()} == {day.bar_ids[index]: lb for index, lb in read.items()}
    assert {(row.force_method, row.wood_temp_f) for row in found.values()} == {("lift_off", 61.0)}
    assert [row["is_read"] for row in day.final] == [True, False, False, True, False, True]
    assert OwedRating.objects.filter(inspection=check, state="owed").exists()


def test_a_force_read_before_later_pulls_is_no_reading_at_the_end(day, crew, county, now):
    """Every bar read after its own lock-off: only the last one still stands, since each pull relaxes the others."""
    while (slot := coming(day)) is not None:
        log_one(day, crew, now, slot, locked_lb=57_000.0, force_method="load_cell")
    last = LoggedPull.objects.order_by("-pk").first()
    day = end(day, county.people["engineer"], now)
    check = Inspection.objects.latest("pk")
    (finding,) = Finding.objects.filter(inspection=check)
    assert (finding.bar_id, finding.force_lb, finding.force_method) == (last.bar_id, 57_000.0, "load_cell")


def test_somebody_who_may_inspect_answers_for_readings(done, crew, county, now):
    with pytest.raises(Refused, match="must answer for them"):
        end(done, crew, now, readings={0: 56_000.0})
    with pytest.raises(Refused, match="may not inspect"):
        end(done, crew, now, readings={0: 56_000.0}, inspector=county.people["office"])
    done.refresh_from_db()
    # Nothing of it was written.
    assert done.state == "under_way" and not Work.objects.exists()


def test_every_planned_bar_must_be_accounted_for_or_the_engineer_says(day, crew, engineer, now):
    log_one(day, crew, now)
    with pytest.raises(Refused, match="not logged") as refused:
        end(day, crew, now)
    assert "engineer ends it" in refused.value.sentence
    with pytest.raises(Refused, match="Say why"):
        end(day, engineer, now)
    day = end(day, engineer, now, reason="storm, the rest on another day")
    assert day.state == "finished" and "storm" in day.note and Work.objects.count() == 1


def test_a_held_day_is_ended_by_the_engineer_only(day, crew, engineer, now):
    log_one(day, crew, now, plate_sunk_in=0.3)
    with pytest.raises(Refused, match="end the day as it stands"):
        end(day, crew, now)
    assert end(day, engineer, now, reason="plate crushed, new plate ordered").state == "finished"


def test_finishing_twice_writes_once(done, crew, now):
    revision = done.revision
    end(done, crew, now)
    with pytest.raises(Refused, match="finished already"):
        finish(day=done, revision=revision, by=crew, at=now)
    assert Work.objects.count() == 1


def test_a_log_that_moved_on_is_not_finished_from_an_old_page(day, crew, engineer, now):
    log_one(day, crew, now)
    day.refresh_from_db()
    old = day.revision
    log_one(day, crew, now)
    with pytest.raises(Stale):
        finish(day=day, revision=old, reason="x", by=engineer, at=now)


@pytest.mark.parametrize("force", [-5.0, 103_000.0])
def test_a_force_that_cannot_be_is_refused(done, engineer, now, force):
    """0.80 x 150,000 x 0.85 = 102,000 lb."""
    with pytest.raises(Refused, match="read it again"):
        end(done, engineer, now, readings={2: force}, reason="even with the engineer's word")


def test_a_pressure_typed_as_a_force_is_asked_about(done, crew, engineer, now):
    with pytest.raises(Refused, match="on the gauge it would be"):
        end(done, crew, now, readings={2: 2_950.0}, inspector=engineer)


def test_what_was_learned_stands_in_the_finished_plan(make_day, crew, county, now):
    day = make_day(method="equal_passes", pass_count=2)
    true = TrueDeck(day, wood_factor=1.4)
    while (slot := coming(day)) is not None:
        log_one(day, crew, now, slot, **true.pull(slot))
    day = end(day, crew, now, inspector=county.people["inspector"])
    assert 1.1 < day.plan["given"]["deck"]["wood_factor"] < 1.6
    assert day.released_plan["given"]["deck"]["wood_factor"] == 1.0


def test_traffic_comes_back_apart_and_only_with_pressure(done, crew, county, now):
    """All bars near 57,600 lb press the deck with about 100 psi; with 55 psi needed traffic may come back."""
    StressingSystem.objects.update(needed_pressure_psi=55.0)
    with pytest.raises(Refused, match="not finished"):
        reopen(day=done, revision=done.revision, by=crew, at=now)
    day = end(done, crew, now, readings={2: 57_000.0}, inspector=county.people["inspector"])
    assert day.reopened_at is None
    day = reopen(day=day, revision=day.revision, by=crew, at=now)
    assert day.reopened_at == now and day.reopened_by == crew
    again = reopen(day=day, revision=day.revision, by=crew, at=now.replace(hour=23))
    assert again.reopened_at == now


def test_on_the_models_word_alone_only_an_engineer_lets_traffic_back(done, crew, engineer, now):
    StressingSystem.objects.update(needed_pressure_psi=55.0)
    day = end(done, crew, now)
    with pytest.raises(Refused, match="No bar was read after the last pull"):
        reopen(day=day, revision=day.revision, by=crew, at=now, reason="the sheet says so")
    day = reopen(day=day, revision=day.revision, by=engineer, at=now, reason="load cell failed, watched by me")
    assert "computed by the model, no bar read" in Event.objects.get(verb="reopen_span").sentence


def test_a_calibration_that_ran_out_after_the_release_stops_the_sheet(day, crew, now):
    """Released without a word about the jack; a year later its calibration is out of date."""
    late = now + timedelta(days=800)
    with pytest.raises(Refused, match="released this sheet without a reason"):
        log_one(day, crew, late)
    assert not day.pulls.exists()


def test_what_traffic_came_back_on_says_how_many_bars_were_read(done, crew, county, now):
    StressingSystem.objects.update(needed_pressure_psi=55.0)
    day = end(done, crew, now, readings={2: 57_000.0}, inspector=county.people["inspector"])
    reopen(day=day, revision=day.revision, by=crew, at=now)
    assert "1 of 6 bars read after the last pull, the rest computed" in Event.objects.get(verb="reopen_span").sentence


def test_a_low_reading_after_the_day_keeps_traffic_off(done, crew, now):
    """Bars 1 to 3 read at 17,280 lb the next morning: 3 x 17,280 over 3 x 576 in2 are 30 psi, whatever the log left."""
    StressingSystem.objects.update(needed_pressure_psi=55.0)
    day = end(done, crew, now)
    on = day.work.done_on + timedelta(days=1)
    check = day.structure.inspections.create(kind="bar_check", state="submitted", field_completed_on=on)
    for bar in Bar.objects.filter(system=day.system, number__lte=3):
        check.findings.create(kind="bar_force", bar=bar, force_lb=17_280.0, force_method="lift_off")
    with pytest.raises(Refused, match="30 psi, under the pressure needed"):
        reopen(day=day, revision=day.revision, by=crew, at=now + timedelta(days=1))


def test_too_little_pressure_keeps_traffic_off_unless_an_engineer_says_why(day, crew, engineer, now):
    """One bar pulled, the rest at 30,000 lb or less: three of them over 1,728 in2 are at most 52 psi, under 70."""
    StressingSystem.objects.update(needed_pressure_psi=70.0)
    log_one(day, crew, now)
    day = end(day, engineer, now, reason="storm")
    with pytest.raises(Refused, match="under the pressure needed of 70 psi"):
        reopen(day=day, revision=day.revision, by=crew, at=now)
    with pytest.raises(Refused):
        reopen(day=day, revision=day.revision, by=crew, at=now, reason="the crew thinks so")
    with pytest.raises(Refused, match="Give the reason"):
        reopen(day=day, revision=day.revision, by=engineer, at=now)
    day = reopen(day=day, revision=day.revision, by=engineer, at=now, reason="posted to 3 tons until Friday")
    assert "posted to 3 tons" in Event.objects.get(verb="reopen_span").sentence


def test_another_day_on_the_bridge_keeps_traffic_off(done, crew, engineer, now):
    StressingSystem.objects.update(needed_pressure_psi=55.0)
    day = end(done, crew, now)
    other = StressingDay.objects.get(pk=day.pk)
    other.pk, other.identity, other.state, other.work, other.span_index = None, uuid4(), "under_way", None, 2
    other.save()
    with pytest.raises(Refused, match="Another stressing day"):
        reopen(day=day, revision=day.revision, by=engineer, at=now, reason="however")


def test_the_final_forces_are_what_the_log_knew(done, crew, now):
    known = day_log(done).standing_lb
    day = end(done, crew, now)
    assert [row["force_lb"] for row in day.final] == pytest.approx(list(known), abs=0.1)


def test_a_day_on_which_no_bar_moved_puts_no_clock_back(day, crew, engineer, now):
    """The only pull was stopped and let off: nothing was re-tensioned, so no work says so."""
    log_one(day, crew, now, plate_sunk_in=0.3)
    day = end(day, engineer, now, reason="plate crushed at the first bar")
    assert day.state == "finished" and day.work is None and not Work.objects.exists()
    # What the stopped bar holds is not known, so it counts as nothing; the others stand as before.
    left = [row["force_lb"] for row in day.final]
    assert sorted(left) == pytest.approx([0.0] + [30_000.0] * 5) and sum(row["is_unknown"] for row in day.final) == 1


def test_a_bar_stopped_and_not_read_keeps_traffic_off(make_day, crew, engineer, now):
    """Six bars near 57,600 lb give 100 psi; two side by side counted as nothing leave a third of it to three."""
    StressingSystem.objects.update(needed_pressure_psi=55.0)
    day = make_day(method="equal_passes", pass_count=1)
    left_out = [log_one(day, crew, now, plate_sunk_in=0.3).entry.bar_index]
    resumed(day, engineer, now, leave_out=tuple(left_out))
    left_out.append(log_one(day, crew, now, plate_sunk_in=0.3).entry.bar_index)
    resumed(day, engineer, now, leave_out=tuple(left_out))
    log_all(day, crew, now)
    day = end(day, engineer, now, reason="two plates to be changed")
    assert "stopped and not read, counted as nothing" in day.work.summary
    with pytest.raises(Refused, match="under the pressure needed of 55 psi"):
        reopen(day=day, revision=day.revision, by=crew, at=now)


def test_a_log_the_model_cannot_follow_is_kept_and_said(done, crew, engineer, now, monkeypatch):
    def refuse(*_arguments):
        raise OutsideValidity(name="forces", value="x", valid="y", source="z")

    monkeypatch.setattr(stressing_log, "known_after", refuse)
    log = day_log(done)
    assert "could not be worked out" in log.problem and log.standing_lb == plan_of(done).pulls[-1].after_lb
    with pytest.raises(Refused, match="could not be worked out"):
        end(done, crew, now)
    assert end(done, engineer, now, reason="read by hand tomorrow").state == "finished"
