"""Condition classes by 23 CFR 490.409 (memory) and condition states of timber defects 1140 to 1180 (memory)."""

import pytest

from inspections.rules.condition import condition_class, proposed_state


# 23 CFR 490.409(b): Good 7, 8, 9; Fair 5, 6; Poor 4 and less, by the lowest of the three (memory).
@pytest.mark.parametrize(
    ("deck", "superstructure", "substructure", "expected", "lowest"),
    [
        ("9", "9", "9", "good", 9),
        ("9", "7", "8", "good", 7),
        ("9", "6", "8", "fair", 6),
        ("5", "9", "9", "fair", 5),
        ("9", "9", "4", "poor", 4),
        ("0", "9", "9", "poor", 0),
        ("N", "7", "7", "good", 7),
        ("N", "", "3", "poor", 3),
    ],
)
def test_class_by_the_lowest_rating(deck, superstructure, substructure, expected, lowest):
    judged = condition_class(deck=deck, superstructure=superstructure, substructure=substructure)
    assert (judged.condition, judged.lowest) == (expected, lowest)
    assert str(lowest) in judged.reasons[0]


def test_a_culvert_is_classed_by_its_own_item():
    assert condition_class(deck="N", superstructure="N", substructure="N", culvert="4").condition == "poor"


@pytest.mark.parametrize("codes", [{}, {"deck": "N", "superstructure": "N", "substructure": "N", "culvert": "N"}])
def test_nothing_rated_is_not_rated_and_never_poor(codes):
    judged = condition_class(**codes)
    assert (judged.condition, judged.lowest) == ("not_rated", None)


def test_class_never_improves_when_a_rating_drops():
    order = ["poor", "fair", "good"]
    for part in ("deck", "superstructure", "substructure"):
        ranks = [
            order.index(
                condition_class(
                    **{"deck": "8", "superstructure": "8", "substructure": "8"} | {part: str(code)}
                ).condition
            )
            for code in range(9, -1, -1)
        ]
        assert ranks == sorted(ranks, reverse=True)


# AASHTO Manual for Bridge Element Inspection 2019 (memory): thresholds 10 % of the section (1140, 1180), 5 % and 50 %
# of the thickness (1150), member depth (1170).
@pytest.mark.parametrize(
    ("given", "state"),
    [
        ({"kind": "surface_decay", "loss_ratio": 0.0}, 1),
        ({"kind": "surface_decay", "loss_ratio": 0.099}, 2),
        ({"kind": "internal_void", "loss_ratio": 0.10}, 3),
        ({"kind": "wear", "loss_ratio": 0.05}, 2),
        ({"kind": "wear", "loss_ratio": 0.10}, 3),
        ({"kind": "check", "depth_ratio": 0.049}, 1),
        ({"kind": "check", "depth_ratio": 0.05}, 2),
        ({"kind": "check", "depth_ratio": 0.50}, 2),
        ({"kind": "check", "depth_ratio": 0.51}, 3),
        ({"kind": "check", "depth_ratio": 0.06, "in_tension_zone": True}, 3),
        ({"kind": "check", "depth_ratio": 0.04, "in_tension_zone": True}, 1),
        ({"kind": "crack"}, 3),
        ({"kind": "crack", "arrested": True}, 2),
        ({"kind": "split", "length_ratio": 0.99}, 2),
        ({"kind": "split", "length_ratio": 1.0}, 3),
        ({"kind": "split", "length_ratio": 3.0, "arrested": True}, 2),
    ],
)
def test_condition_state_by_published_size(given, state):
    proposed = proposed_state(**given)
    assert proposed.state == state
    assert proposed.reason.endswith(".")


def test_state_four_is_never_proposed_and_nothing_is_guessed():
    assert proposed_state(kind="moisture") is None
    assert proposed_state(kind="check") is None
    assert proposed_state(kind="surface_decay", loss_ratio=0.95).state == 3
