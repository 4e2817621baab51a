"""Coordinates: the guide's own examples, the arithmetic of degrees, and every known defect refused by name."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.rules.record.position import read_position
from inventory.vocabulary.record_1995.places import STATES


def test_guide_examples():
    """Guide pp. 8-9 [checked]: 35271855 is 35 deg 27' 18.55", 081055065 is 81 deg 5' 50.65" (North Carolina)."""
    position = read_position("35271855", "081055065", "37")
    assert position.lat_deg == pytest.approx(35 + 27 / 60 + 18.55 / 3600, abs=1e-7)
    assert position.lon_deg == pytest.approx(-(81 + 5 / 60 + 50.65 / 3600), abs=1e-7)


def test_worked_example():
    """44011896 / 095472832: 44 deg 1 min 18.96 s = 44 + 1/60 + 18.96/3600 = 44.021933; west 95.791200 (Minnesota)."""
    position = read_position("44011896", "095472832", "27")
    assert round(position.lat_deg, 6) == 44.021933
    assert round(position.lon_deg, 6) == -95.791200


def test_public_sample_pair():
    """45272460 / 092184980 is published with its decimals 45.456833, -92.313833 (public sample, checked-2nd)."""
    position = read_position("45272460", "092184980", "55")
    assert (round(position.lat_deg, 6), round(position.lon_deg, 6)) == (45.456833, -92.313833)


def test_lost_leading_zero_is_put_back():
    """A spreadsheet drops the zero of 092184980: 8 digits (common practice)."""
    assert read_position("45272460", "92184980", "55") == read_position("45272460", "092184980", "55")


@pytest.mark.parametrize("latitude", ["", "0", "00000000"])
@pytest.mark.parametrize("longitude", ["", "0", "000000000"])
def test_absent_pair_is_no_fault(latitude, longitude):
    """Guide p. 8 [checked]: all zeros are acceptable where the position is not known."""
    position = read_position(latitude, longitude, "38")
    assert position.lat_deg is None and not position.refusals


@pytest.mark.parametrize(
    ("latitude", "longitude", "state", "item", "words"),
    [
        ("643659.8", "162151670", "02", "016", "64365980"),
        ("64365980", "1621516.7", "02", "017", "162151670"),
        ("47.5", "097420512", "38", "016", "decimal"),
        ("61016000", "149070000", "02", "016", "61020000"),
        ("47616000", "097420512", "38", "016", "minutes must be below 60"),
        ("47273060", "097426112", "38", "017", "seconds must be below 60"),
        ("45272460", "921849800", "55", "017", "left-justified"),
        ("1", "1", "38", "016", "placeholder"),
        ("", "097420512", "38", "016", "missing"),
        ("47273060", "0", "38", "017", "missing"),
        ("097420512", "47273060", "38", "016", "each other's column"),
        ("31273060", "097420512", "38", "016", "outside North Dakota"),
        ("47273060", "087420512", "38", "017", "outside North Dakota"),
        ("4727E+06", "097420512", "38", "016", "digits"),
        ("472730601", "097420512", "38", "016", "digits"),
    ],
)
def test_defects_are_refused_by_name(latitude, longitude, state, item, words):
    """The defects of the public standard pages and of the public sample (lines 97, 177 and 178 of the file)."""
    position = read_position(latitude, longitude, state)
    assert position.lat_deg is None and position.lon_deg is None
    assert words in position.refusals[item]


@given(
    st.sampled_from([state for state in STATES.values() if 0 < state.south and state.west < state.east < 0]),
    st.floats(0.02, 0.98),
    st.floats(0.02, 0.98),
)
def test_packing_and_reading_agree(state, up, across):
    """Law: a point of a State, packed to hundredths of a second, reads back within that hundredth."""
    lat = state.south + up * (state.north - state.south)
    lon = state.west + across * (state.east - state.west)
    position = read_position(_pack(lat, 2), _pack(-lon, 3), state.code)
    assert position.lat_deg == pytest.approx(lat, abs=0.005 / 3600 + 1e-7)
    assert position.lon_deg == pytest.approx(lon, abs=0.005 / 3600 + 1e-7)


def _pack(degrees: float, width: int) -> str:
    hundredths = round(degrees * 360_000)
    whole, rest = divmod(hundredths, 360_000)
    minutes, seconds = divmod(rest, 6_000)
    return f"{whole:0{width}d}{minutes:02d}{seconds:04d}"


def test_pacific_territories_lie_east():
    """Guam is near 13.5 N, 144.8 E (fact of geography, memory); the record has no sign."""
    position = read_position("13280000", "144470000", "66")
    assert position.lon_deg == pytest.approx(144.7833, abs=1e-3)


def test_alaska_crosses_the_antimeridian():
    """Attu lies near 52.9 N, 172.9 E and Adak near 51.9 N, 176.6 W (fact of geography, memory)."""
    alaska = STATES["02"]
    assert alaska.contains(52.9, 172.9) and alaska.contains(51.9, -176.6)
    assert not alaska.contains(52.9, -100.0) and not alaska.contains(52.9, 100.0)


@pytest.mark.parametrize(
    ("code", "side", "degrees"),
    [
        # Borders set by law: 49 N for the northern plains and mountains, 37 and 41 N and 102.05 W for Colorado,
        # 36.5 N for the north of Texas' panhandle, 42 N between Idaho and Utah [memory].
        ("38", "north", 49.0),
        ("30", "north", 49.0),
        ("53", "north", 49.0),
        ("08", "south", 37.0),
        ("08", "north", 41.0),
        ("08", "west", -109.05),
        ("08", "east", -102.05),
        ("48", "north", 36.5),
        ("49", "north", 42.0),
        ("16", "south", 42.0),
    ],
)
def test_boxes_agree_with_borders_set_by_law(code, side, degrees):
    assert getattr(STATES[code], side) == pytest.approx(degrees, abs=0.15)


def test_neighbours_touch_at_four_corners():
    """Arizona, Colorado, New Mexico and Utah meet at 37 N, 109.045 W (public survey mark, memory)."""
    assert all(STATES[code].contains(37.0, -109.045) for code in ("04", "08", "35", "49"))


def test_accuracy_is_told():
    """Guide p. 8 [checked]: the least precision is the nearest minute, the wanted one a hundredth of a second."""
    assert read_position("35270000", "081060000", "37").accuracy_s == 60
    assert read_position("35271800", "081054800", "37").accuracy_s == 1
    assert read_position("35271855", "081055065", "37").accuracy_s == 0.01
