"""Vehicles typed by hand, the federal weight limits, and the kernel's vehicles against facts kept beside the project.

Bridge formula B: W = 500 (L N/(N - 1) + 12 N + 36), to the nearest 500 lb (23 U.S.C. 127; pamphlet copy, checked-2nd).
"""

import csv
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.mechanics.vehicle import STANDARD_VEHICLES, Vehicle, formula_b_lb, weight_excesses
from inventory.rules.axle_trains import read_axles, read_spacings, train_faults, vehicle_faults

CLASS_IN_FILE = {
    "design-old": "design", "design": "design", "legal": "legal", "shv": "shv", "shv-screen": "screen",
    "ev": "emergency",
}  # fmt: skip


@pytest.fixture(scope="module")
def facts(shared_data):
    """vehicle id -> rows of the file of facts, in the order of the axles."""
    path = shared_data.parent / "standards" / "vehicles.csv"
    if not path.is_file():
        from tests.conftest import absent

        absent(f"the table of vehicle facts ({path})")
    found: dict[str, list[dict]] = {}
    for row in csv.DictReader(path.open(encoding="utf-8")):
        found.setdefault(row["vehicle_id"], []).append(row)
    return {key: sorted(rows, key=lambda row: int(row["axle_no"])) for key, rows in found.items()}


def test_the_kernel_holds_the_vehicles_of_the_facts_axle_for_axle(facts):
    """Weights, spacings (one may vary), gross, class and mark; both lists hold the same vehicles."""
    assert set(facts) == set(STANDARD_VEHICLES) - {"HL93"}, "HL93 is the truck, the tandem and the lane together"
    for key, rows in facts.items():
        vehicle = STANDARD_VEHICLES[key]
        assert list(vehicle.axles_kip) == [float(row["axle_kip"]) for row in rows], key
        gaps = [row["spacing_to_next_ft"].split("-") for row in rows[:-1]]
        assert list(vehicle.spacings_ft) == [(float(gap[0]), float(gap[-1])) for gap in gaps], key
        assert vehicle.gross_kip == pytest.approx(float(rows[0]["gross_kip"])), key
        assert vehicle.gross_tons == pytest.approx(float(rows[0]["gross_ton"])), key
        assert vehicle.vehicle_class == CLASS_IN_FILE[rows[0]["class"]], key
        assert vehicle.mark == rows[0]["status"], key


@pytest.mark.parametrize(
    ("length_ft", "axles", "allowed_lb"),
    [
        (10, 2, 40_000),  # 500 (10 x 2/1 + 24 + 36) = 40,000
        (20, 3, 51_000),  # 500 (20 x 3/2 + 36 + 36) = 51,000
        (36, 4, 66_000),  # 500 (36 x 4/3 + 48 + 36) = 66,000
        (51, 5, 80_000),  # 500 (51 x 5/4 + 60 + 36) = 79,875, to the nearest 500
    ],
)
def test_bridge_formula(length_ft, axles, allowed_lb):
    assert formula_b_lb(length_ft=length_ft, axles=axles) == allowed_lb


@pytest.mark.parametrize("key", ["TYPE3", "TYPE3S2", "TYPE3-3", "SU4", "SU5", "SU6", "SU7", "EV2", "EV3"])
def test_legal_and_hauling_vehicles_keep_the_federal_limits(key):
    """Specialised hauling vehicles are generally within formula B (FHWA memorandum of 15 November 2013, checked)."""
    assert weight_excesses(STANDARD_VEHICLES[key]) == ()


def train(axles, gaps, kind="county"):
    pairs = tuple((float(gap), float(gap)) for gap in gaps)
    return Vehicle(id="T", name="T", vehicle_class=kind, axles_kip=tuple(map(float, axles)), spacings_ft=pairs)


def rules(vehicle):
    return {excess.rule for excess in weight_excesses(vehicle)}


def test_each_limit_alone():
    assert rules(train([20.0], [])) == set() and rules(train([20.5], [])) == {"the single-axle limit"}
    assert rules(train([10, 17, 17], [12, 4])) == set()
    assert rules(train([10, 18, 18], [12, 4])) == {"the tandem limit"}
    # Axles of 18 kip 8.5 ft apart are no tandem; formula B for N = 2, L = 8.5 allows 500 (17 + 60) = 38,500.
    assert rules(train([10, 18, 18], [30, 8.5])) == set()
    # Three axles in 8 ft: formula B allows 500 (12 + 72) = 42,000.
    assert rules(train([10, 15, 15, 15], [30, 4, 4])) == {"bridge formula B"}
    # Two tandems of 34,000 lb with 36 ft over all may weigh 68,000 lb; with 35 ft they may not.
    assert rules(train([17, 17, 17, 17], [4, 28, 4])) == set()
    assert "bridge formula B" in rules(train([17, 17, 17, 17], [4, 27, 4]))


def test_emergency_vehicles_are_held_to_their_own_limits():
    """86,000 lb gross, 24,000 steering, 33,500 single drive, 62,000 tandem (23 U.S.C. 127(r), checked-2nd)."""
    assert rules(train([24, 33.5], [15], "emergency")) == set()
    assert rules(train([25, 33.5], [15], "emergency")) == {"the steering-axle limit"}
    assert rules(train([24, 32, 32], [15, 4], "emergency")) == {"the tandem limit", "the gross limit"}


@given(st.lists(st.floats(1.0, 60.0), min_size=1, max_size=8), st.data())
def test_a_heavier_axle_never_mends_an_excess(axles, data):
    """A law: adding weight to one axle leaves every excess standing, or makes it greater."""
    gaps = data.draw(st.lists(st.floats(1.0, 30.0), min_size=len(axles) - 1, max_size=len(axles) - 1))
    place = data.draw(st.integers(0, len(axles) - 1))
    heavier = [axle + (5.0 if index == place else 0.0) for index, axle in enumerate(axles)]
    before, after = weight_excesses(train(axles, gaps)), weight_excesses(train(heavier, gaps))
    over = {excess.rule: excess.weight_lb - excess.limit_lb for excess in after}
    # The two-tandem exception ends where a tandem grows too heavy, so a rule may appear, never vanish.
    assert all(over[e.rule] >= e.weight_lb - e.limit_lb - 1e-6 for e in before)


@pytest.mark.parametrize("text", ["16, 17, 17", "16 17 17", "16;17;17", " 16 , 17 ,17 "])
def test_axles_are_read_as_people_write_them(text):
    assert read_axles(text) == ([16.0, 17.0, 17.0], "")


@pytest.mark.parametrize("text", ["15, 14-30", "15, 14 - 30", "15; 14 to 30", "15, 14–30", "15 14-30"])
def test_a_varying_spacing_is_read(text):
    assert read_spacings(text, 3) == ([[15.0, 15.0], [14.0, 30.0]], "")


@given(st.text(max_size=60))
def test_whatever_is_typed_gives_numbers_or_a_sentence(text):
    axles, fault = read_axles(text)
    assert fault or (axles and all(math.isfinite(axle) and axle > 0 for axle in axles))
    gaps, fault = read_spacings(text, 3)
    assert fault or (len(gaps) == 2 and all(0 < low <= high for low, high in gaps))


@given(
    st.lists(st.one_of(st.floats(), st.integers(-5, 500)), max_size=45),
    st.lists(st.lists(st.floats(), min_size=2, max_size=2), max_size=45),
)
def test_faults_are_found_where_the_kernel_would_refuse(axles, gaps):
    """A second method: the kernel's own axle train refuses what the rule lets pass, never."""
    if train_faults({"axles_kip": axles, "spacings_ft": gaps}):
        return
    Vehicle(
        id="T", name="T", axles_kip=tuple(map(float, axles)), spacings_ft=tuple((float(a), float(b)) for a, b in gaps)
    )


def test_a_standard_key_is_not_given_twice():
    from tests.makers.vehicles import vehicle_values

    assert "key" in vehicle_faults(vehicle_values(key="EV2"), taken=frozenset())
    assert "key" in vehicle_faults(vehicle_values(), taken=frozenset({"ST-4"}))
    assert vehicle_faults(vehicle_values(), taken=frozenset()) == {}
