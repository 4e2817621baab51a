"""Learning from the log: simulated days with a known truth, and what few, wild or missing readings do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.bars.jacking import (
    BarRead,
    PullDone,
    compatibility_matrix,
    interaction_ratios,
    plan_stressing,
    relearn,
    standing_after,
)
from inventory.mechanics.errors import OutsideValidity
from tests.unit.mechanics.jacking.rows import bars_of, crew, deck_of, jacks_of, plan_input

PLANNED = dict(order="midspan_outward", seating_in=0.02)


def standing_plan(**others):
    return plan_stressing(plan_input(**(PLANNED | {"bars": bars_of(standing_lb=40000.0)} | others)))


@pytest.mark.parametrize(
    "wood, reach, seating", [(1.0, 1.0, 0.02), (1.5, 1.0, 0.03), (0.7, 1.2, 0.01), (1.3, 0.8, 0.04)]
)
@pytest.mark.parametrize("standing", [0.0, 40000.0])
def test_a_known_truth_is_found_without_noise(wood, reach, seating, standing):
    """Every pull of the first pass read to the pound: the prior holds back a little, the interaction within 6 %."""
    plan = standing_plan(bars=bars_of(standing_lb=standing))
    truth = replace(plan.given.deck, wood_factor=wood, reach_factor=reach)
    done, forces = crew(plan, truth=truth, seating_in=seating, pulls=8)
    learned = relearn(plan, done)
    assert learned.misfit_after_pct <= learned.misfit_before_pct + 1e-9
    everyone = tuple(range(8))
    found, real = (
        interaction_ratios(matrix=compatibility_matrix(deck=deck, bars=plan.given.bars), pulled=(3,), engaged=everyone)
        for deck in (learned.deck, truth)
    )
    assert found[2, 0] == pytest.approx(real[2, 0], rel=0.06)
    # Seating takes 2 to 5 % of a pull, little more than one reading's own error: at least half of the way is found.
    assert abs(learned.seating_in - seating) <= 0.5 * abs(0.02 - seating) + 0.003
    assert standing_after(plan, done) == pytest.approx(tuple(forces), rel=0.03)


def test_readings_with_noise_find_the_truth_in_the_mean():
    """40 simulated days with 1.5 % noise on every reading: mean wood factor within 8 % of 1.4, each within 35 %."""
    plan = standing_plan()
    truth, found = replace(plan.given.deck, wood_factor=1.4), []
    for seed in range(40):
        done, _ = crew(plan, truth=truth, seating_in=0.03, pulls=8, noise=0.015, seed=seed)
        found.append(relearn(plan, done).deck.wood_factor)
    assert np.mean(found) == pytest.approx(1.4, rel=0.08)
    assert max(abs(each / 1.4 - 1.0) for each in found) < 0.35


def test_few_readings_move_it_little_and_many_more():
    """One neighbour read at one pull, the wood truly twice as soft: the factor goes part of the way; a pass, most."""
    plan = standing_plan()
    truth = replace(plan.given.deck, wood_factor=2.0)
    done, _ = crew(plan, truth=truth, seating_in=0.02, pulls=8)
    one = replace(done[0], locked_lb=None, elongation_in=None, neighbours=done[0].neighbours[:1])
    few, many = relearn(plan, (one,)), relearn(plan, done)
    assert 1.0 < few.deck.wood_factor < 1.4
    assert few.readings_used == 1
    assert 1.7 < many.deck.wood_factor < 2.1


def test_lock_offs_alone_ask_for_all_bars_to_be_read():
    plan = standing_plan()
    done, _ = crew(plan, truth=plan.given.deck, seating_in=0.02, pulls=4)
    alone = tuple(replace(each, neighbours=()) for each in done)
    assert any("No neighbour was read" in sentence for sentence in relearn(plan, alone).sentences)
    assert not any("No neighbour" in sentence for sentence in relearn(plan, done).sentences)


def test_a_wild_reading_counts_less_and_is_named():
    plan = standing_plan()
    done, _ = crew(plan, truth=plan.given.deck, seating_in=0.02, pulls=8)
    read = done[3].neighbours[0]
    wild = replace(done[3], neighbours=(replace(read, after_lb=0.6 * read.after_lb), *done[3].neighbours[1:]))
    learned = relearn(plan, (*done[:3], wild, *done[4:]))
    assert learned.deck.wood_factor == pytest.approx(1.0, abs=0.12)
    name = plan.given.bars[read.bar_index].name
    assert any(f"force of bar {name} beside pull 4 is far off" in sentence for sentence in learned.sentences)


def test_nothing_read_changes_nothing():
    plan = standing_plan()
    pulled = PullDone(pull_number=1, bar_index=plan.pulls[0].bars[0].bar_index, before_lb=40000.0,
                      gauge_psi=plan.pulls[0].bars[0].gauge_psi)  # fmt: skip
    for done in ((), (pulled,)):
        learned = relearn(plan, done)
        assert learned.deck == plan.given.deck and learned.seating_in == 0.02 and learned.readings_used == 0
    assert standing_after(plan, ()) == plan.start_lb
    assert standing_after(plan, (pulled,)) == pytest.approx(plan.pulls[0].after_lb, rel=1e-6)


def test_first_elongation_of_a_loose_bar_is_not_learned_from():
    """Gaps close in the first pull: twice the elongation of the model says nothing about the wood."""
    plan = standing_plan(bars=bars_of())
    done, _ = crew(plan, truth=plan.given.deck, seating_in=0.02, pulls=4)
    long = tuple(replace(each, elongation_in=2.0 * each.elongation_in) for each in done)
    assert relearn(plan, long).deck == relearn(plan, done).deck


def test_measured_losses_are_learned_and_stay_a_matrix():
    """A deck planned with measured losses (0.15, 0.06): true losses half as large again. Still positive definite."""
    plan = standing_plan(deck=deck_of(neighbour_losses_ratio=(0.15, 0.06)))
    truth = replace(plan.given.deck, wood_factor=1.5)
    done, _ = crew(plan, truth=truth, seating_in=0.02, pulls=8)
    learned = relearn(plan, done)
    assert learned.deck.wood_factor == pytest.approx(1.5, rel=0.1)
    np.linalg.cholesky(compatibility_matrix(deck=learned.deck, bars=plan.given.bars))


@settings(max_examples=15, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 60000), st.floats(0, 60000)), min_size=8, max_size=8), st.booleans())
def test_the_matrix_stays_positive_definite_whatever_was_read(pairs, measured):
    """Nonsense typed on the phone may not break the balance: any two forces for every neighbour."""
    deck = deck_of(neighbour_losses_ratio=(0.2, 0.1, 0.05)) if measured else deck_of()
    plan = standing_plan(deck=deck)
    done = tuple(
        PullDone(
            pull_number=pull.number,
            bar_index=pull.bars[0].bar_index,
            before_lb=40000.0,
            gauge_psi=pull.bars[0].gauge_psi,
            locked_lb=pair[0],
            neighbours=(BarRead(bar_index=(pull.bars[0].bar_index + 1) % 8, before_lb=pair[0], after_lb=pair[1]),),
        )
        for pull, pair in zip(plan.pulls, pairs, strict=False)
    )
    learned = relearn(plan, done)
    np.linalg.cholesky(compatibility_matrix(deck=learned.deck, bars=plan.given.bars))
    assert learned.misfit_after_pct < float("inf") and learned.seating_in >= 0.0
    assert min(standing_after(plan, done)) >= 0.0


def test_what_was_read_stands():
    """A neighbour read after a pull and a bar read after lock-off have those forces, whatever the model says."""
    plan = standing_plan()
    first = plan.pulls[0].bars[0]
    done = (
        PullDone(
            pull_number=1, bar_index=first.bar_index, before_lb=40000.0, gauge_psi=first.gauge_psi, locked_lb=61000.0,
            neighbours=(BarRead(bar_index=first.bar_index + 1, before_lb=40500.0, after_lb=37000.0),),
        ),
    )  # fmt: skip
    standing = standing_after(plan, done)
    assert standing[first.bar_index] == pytest.approx(61000.0)
    assert standing[first.bar_index + 1] == pytest.approx(37000.0)


def test_a_jack_that_did_not_lift_its_bar_moved_nothing():
    plan = standing_plan()
    done = (PullDone(pull_number=1, bar_index=3, before_lb=40000.0, gauge_psi=2000.0),)
    assert standing_after(plan, done) == pytest.approx(plan.start_lb)
    lifted = standing_after(plan, (replace(done[0], before_lb=42000.0),))
    assert lifted[3] == pytest.approx(42000.0) and lifted[0] == pytest.approx(40000.0)


@pytest.mark.parametrize(
    "wrong, words",
    [
        ({"bar_index": 8}, "bar 9 at pull 1 is not in the row"),
        ({"bar_index": -1}, "bar 0 at pull 1 is not in the row"),
        ({"pull_number": 0}, "pull number is 0"),
        ({"gauge_psi": -1.0}, "gauge on bar B4 at pull 1 is -1 psi"),
        ({"gauge_psi": float("nan")}, "gauge on bar B4"),
        ({"locked_lb": -5.0}, "force of bar B4 after lock-off at pull 1 is -5 lb"),
        ({"elongation_in": float("inf")}, "elongation of bar B4"),
        ({"neighbours": (BarRead(bar_index=9, before_lb=1.0, after_lb=1.0),)}, "bar 10 at pull 1 is not in the row"),
        ({"neighbours": (BarRead(bar_index=2, before_lb=-1.0, after_lb=1.0),)}, "force of bar B3 before pull 1"),
    ],
)
def test_a_log_no_crew_can_have_written_is_refused(wrong, words):
    line = PullDone(pull_number=1, bar_index=3, before_lb=40000.0, gauge_psi=5000.0)
    with pytest.raises(OutsideValidity, match=words):
        relearn(standing_plan(), (replace(line, **wrong),))


def test_one_line_for_each_pull_and_bar():
    line = PullDone(pull_number=1, bar_index=3, before_lb=40000.0, gauge_psi=5000.0)
    with pytest.raises(OutsideValidity, match="pull 1 of bar B4 is logged twice"):
        standing_after(standing_plan(), (line, line))


@pytest.mark.parametrize("jacks", [1, 2, 3, 4])
@pytest.mark.parametrize("standing", [0.0, 40000.0])
def test_a_day_that_goes_as_the_model_says_has_no_misfit(jacks, standing):
    """Lock-offs, elongations and neighbours of one to four jacks at once, all as planned: nothing is learned."""
    plan = standing_plan(jacks=jacks_of(jacks), bars=bars_of(standing_lb=standing, area_in2=1.25), seating_in=0.04)
    done, _ = crew(plan, truth=plan.given.deck, seating_in=0.04, pulls=len(plan.pulls))
    learned = relearn(plan, done)
    assert learned.misfit_before_pct == pytest.approx(0.0, abs=1e-6)
    assert learned.deck.wood_factor == pytest.approx(1.0) and learned.seating_in == pytest.approx(0.04)


def test_two_jacks_at_once_are_learned_from_together():
    plan = standing_plan(jacks=jacks_of(2))
    truth = replace(plan.given.deck, wood_factor=1.5)
    done, forces = crew(plan, truth=truth, seating_in=0.02, pulls=4)
    assert relearn(plan, done).deck.wood_factor == pytest.approx(1.5, rel=0.12)
    assert standing_after(plan, done) == pytest.approx(tuple(forces), rel=0.03)
