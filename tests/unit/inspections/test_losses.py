"""Findings to section losses: the lower counts, nothing is forgotten before a fit look replaces it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.grave import grave_sentences
from inspections.rules.loss_policy import LossPolicy
from inspections.rules.losses import (
    Found,
    end_decay_in,
    laminations_lost,
    section_loss,
    which_stand,
    worst_of,
)
from inventory.mechanics.rating import SectionLoss

SIZES = {"width_in": 6.0, "depth_in": 16.0, "span_ft": 18.0}


def stands(*rows):
    return {row: set(kinds) for row, kinds in which_stand([(name, kind, state) for name, kind, state in rows])}


def test_a_routine_look_replaces_what_the_eye_found_but_not_what_the_drill_found():
    """A hidden void does not show on the surface: resistance drilling finds it (FHWA, checked)."""
    found = stands(("new", "routine", "accepted"), ("old", "in_depth", "accepted"), ("older", "routine", "accepted"))
    assert "surface_decay" in found["new"]
    assert found["old"] == {"internal_void", "drilling", "stress_wave"}
    assert "older" not in found


def test_special_damage_and_bar_checks_add_and_replace_nothing():
    for kind in ("special", "damage", "bar_check", "underwater"):
        found = stands(("new", kind, "accepted"), ("old", "routine", "accepted"))
        assert "surface_decay" in found["new"] and "surface_decay" in found["old"]


def test_what_was_sent_back_still_counts_and_replaces_nothing():
    found = stands(("new", "routine", "sent_back"), ("old", "routine", "accepted"))
    assert "surface_decay" in found["new"] and "surface_decay" in found["old"]


# Zones of drilling resistance: under 50 % counts as void, 50 to 75 % as half effective (owner policy, model).
@pytest.mark.parametrize(
    ("resistance", "kind"), [(0, "void"), (49.9, "void"), (50, "low_resistance"), (74.9, "low_resistance"), (75, None)]
)
def test_drilling_resistance_bands(resistance, kind):
    found = Found(kind="drilling", resistance_pct=resistance, width_in=2, height_in=4, station_ft=3, extent_ft=1)
    loss = section_loss(found, **SIZES)
    assert (loss.kind if loss else None) == kind


# 259 microseconds per foot across sound grain; moderate decay from 1.3, severe from 1.5, void from 2 times
# (FPL-GTR-119, memory): 259 x 1.3 = 336.7, x 1.5 = 388.5, x 2 = 518. What each takes from the section is model.
@pytest.mark.parametrize(
    ("time_us", "kind"),
    [
        (300, None), (336, None), (337, "early_decay"), (388, "early_decay"), (389, "low_resistance"),
        (517, "low_resistance"), (518, "void"), (3000, "void"),
    ],
)  # fmt: skip
def test_stress_wave_times_become_loss_by_the_countys_table(time_us, kind):
    loss = section_loss(Found(kind="stress_wave", wave_time_us_per_ft=time_us, station_ft=2), **SIZES)
    assert (loss.kind if loss else None) == kind
    if kind in ("low_resistance", "void"):
        assert (loss.width_in, loss.height_in) == (6.0, 16.0), "a size not recorded is the whole section"


def test_another_policy_reads_the_same_times_otherwise():
    """Sound wood at 305 microseconds per foot (upper value of FPL-GTR-119, memory): 305 x 1.3 = 396.5, x 2 = 610."""
    policy = LossPolicy(wave_sound_us_per_ft=305.0, wave_half_ratio=None)

    def kind(time_us):
        loss = section_loss(Found(kind="stress_wave", wave_time_us_per_ft=time_us), policy=policy, **SIZES)
        return loss and loss.kind

    assert [kind(t) for t in (396, 397, 609, 611)] == [None, "early_decay", "early_decay", "void"]


def test_drilling_bands_follow_the_policy():
    policy = LossPolicy(drilled_void_below=0.6, drilled_sound_from=0.8)

    def kind(percent):
        found = Found(kind="drilling", resistance_pct=percent, width_in=2, height_in=4, station_ft=3, extent_ft=1)
        loss = section_loss(found, policy=policy, **SIZES)
        return loss and loss.kind

    assert [kind(p) for p in (59, 60, 79, 80)] == ["void", "low_resistance", "low_resistance", None]


@given(st.floats(40, 3000), st.floats(40, 3000))
def test_a_slower_wave_never_takes_less(one, other):
    """A law: monotony. None < one grade < half < void."""
    order = ["", "grade", "half", "void"]
    low, high = sorted((one, other))
    assert order.index(LossPolicy().wave_step(low)) <= order.index(LossPolicy().wave_step(high))


def test_zone_is_kept_on_the_span():
    loss = section_loss(Found(kind="wear", face="top", depth_in=0.5, station_ft=17, extent_ft=9), **SIZES)
    assert (loss.from_ft, loss.to_ft, loss.kind) == (17.0, 18.0, "surface")


def test_split_without_depth_goes_through_and_checks_on_top_take_nothing():
    assert section_loss(Found(kind="split", station_ft=0, extent_ft=4), **SIZES).depth_in == 6.0
    assert section_loss(Found(kind="check", face="top", depth_in=3), **SIZES) is None
    assert section_loss(Found(kind="check", face="left", depth_in=9), **SIZES).depth_in == 6.0


def test_end_grain_decay_shortens_the_bearing():
    found = [Found(kind="surface_decay", face="end", depth_in=d) for d in (1.0, 2.5)]
    assert end_decay_in(found) == 2.5
    assert section_loss(found[0], **SIZES).kind == "early_decay"


def test_the_same_decay_told_twice_counts_once_at_its_worse():
    early = SectionLoss(kind="surface", from_ft=2, to_ft=5, face="bottom", depth_in=0.5)
    late = SectionLoss(kind="surface", from_ft=4, to_ft=7, face="bottom", depth_in=0.9)
    assert worst_of([early, late]) == (SectionLoss(kind="surface", from_ft=2, to_ft=7, face="bottom", depth_in=0.9),)
    other_face = SectionLoss(kind="surface", from_ft=2, to_ft=5, face="top", depth_in=0.5)
    assert len(worst_of([early, other_face])) == 2


def test_a_hole_drilled_twice_becomes_the_box_round_both():
    """Heights 4 and 4 centred 1 in apart: from -2 to +3 is 5 in high, centred at +0.5."""
    one = SectionLoss(kind="void", from_ft=1, to_ft=2, width_in=2, height_in=4, offset_in=0)
    two = SectionLoss(
        kind="low_resistance", from_ft=2, to_ft=3, width_in=3, height_in=4, offset_in=1, resistance_ratio=0.6
    )
    (joined,) = worst_of([one, two])
    assert (joined.kind, joined.width_in, joined.height_in, joined.offset_in) == ("void", 3, 5, 0.5)
    assert joined.resistance_ratio is None


faces = st.sampled_from(["top", "bottom", "left", "right"])
surface = st.builds(
    lambda start, length, face, depth: SectionLoss(
        kind="surface", from_ft=start, to_ft=start + length, face=face, depth_in=depth
    ),
    st.floats(0, 15),
    st.floats(0, 3),
    faces,
    st.floats(0.01, 2),
)


@given(st.lists(surface, max_size=8))
def test_joining_never_loses_damage(losses):
    """Law: every loss told is covered, in place and depth, by one that is kept."""
    kept = worst_of(losses)
    for loss in losses:
        assert any(
            keep.face == loss.face
            and keep.from_ft <= loss.from_ft
            and keep.to_ft >= loss.to_ft
            and keep.depth_in >= loss.depth_in
            for keep in kept
        )


def test_broken_laminations_within_a_wheel_strip():
    """1.5 in laminations: a 48 in strip holds 32 of them, so numbers 1 and 32 share a strip and 1 and 33 do not."""
    assert laminations_lost([1, 32], lamination_in=1.5) == 2
    assert laminations_lost([1, 33], lamination_in=1.5) == 1
    assert laminations_lost([], lamination_in=1.5) == 0


# Triggers: crushing over 1/8 in, permanent step over 1/4 in, any break (inspection practice, model).
@pytest.mark.parametrize(
    ("finding", "grave"),
    [
        ({"kind": "broken"}, True),
        ({"kind": "crack", "depth_in": 0.1}, True),
        ({"kind": "settlement", "value_in": 0.5}, True),
        ({"kind": "slip", "value_in": 0.25}, False),
        ({"kind": "slip", "value_in": 0.26}, True),
        ({"kind": "camber", "value_in": 0.5}, False),
        ({"kind": "camber", "value_in": -0.5}, True),
        ({"kind": "crushing", "bar": 4, "depth_in": 0.125}, False),
        ({"kind": "crushing", "bar": 4, "depth_in": 0.13}, True),
        ({"kind": "bar_force", "force_method": "hand_loose"}, True),
        ({"kind": "bar_force", "force_method": "lift_off", "force_lb": 100}, False),
        ({"kind": "other", "condition_state": 4}, True),
        ({"kind": "moisture", "moisture_pct": 40}, False),
    ],
)
def test_grave_findings_reach_the_engineer(finding, grave):
    assert bool(grave_sentences(finding)) == grave
