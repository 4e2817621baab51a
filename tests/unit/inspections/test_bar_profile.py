"""The profile is what the rating counts: states of bars, the worst stretch and where it lies."""

from datetime import date
from xml.etree import ElementTree

import pytest

from inspections.drawings.bar_force import BarPoint, ForceLevel, Stretch, bar_profile
from inspections.rules.bar_profile import ABSENT, BEFORE_PULL, FILLED, READ, Estimate, Known, bar_places, where_words
from inspections.rules.bar_profile import worst_stretch as worst_of
from inspections.rules.pressure import BarPlace, Reading, span_pressure

NOW, OLD, PULL, NEW = date(2026, 6, 1), date(2025, 9, 1), date(2026, 3, 1), date(2026, 5, 1)
SIZES = {"spacing_in": 48.0, "thickness_in": 12.0}
SVG = "{http://www.w3.org/2000/svg}"


def pressure(forces, *, pulled_on=None):
    """Bars at 2, 6, 10 ... ft; each force lb, (force, day), or None."""
    bars = [BarPlace(bar=n + 1, number=n + 1, level="mid", station_ft=2 + 4 * n) for n in range(len(forces))]
    readings = []
    for bar, force in zip(bars, forces, strict=True):
        if force is not None:
            lb, on = force if isinstance(force, tuple) else (force, NEW)
            readings.append(Reading(bar=bar.bar, on=on, force_lb=lb, method="lift_off"))
    return span_pressure(
        bars=bars,
        readings=readings,
        span_ft=4.0 * len(forces),
        stressed_depth_in=12.0,
        as_of=NOW,
        interval_months=24,
        pulled_on=pulled_on,
    )


def worst(found):
    length = found.bars.span_ft
    return worst_of(bar_places(found, **SIZES), length_ft=length, thickness_in=12.0, span_ft=length)


def test_each_bar_says_how_its_force_is_known():
    found = pressure([57_600, (40_000, OLD), None, 30_000, None, None, None, 50_000], pulled_on=PULL)
    places = bar_places(found, **SIZES)
    assert [place.state for place in places] == [READ, BEFORE_PULL, FILLED, READ, ABSENT, ABSENT, ABSENT, READ]
    assert places[0].pressure_psi == pytest.approx(57_600 / (48 * 12)), "N = F/(s t), statics"
    assert places[2].force_lb == 30_000, "the lower of the bars beside: 40,000 and 30,000"
    assert places[4].force_lb is None and places[4].is_low
    assert "before the bars were last pulled" in places[1].words and "absent" in places[4].words


@pytest.mark.parametrize(("needed", "low"), [(None, [False, True]), (60.0, [True, True]), (30.0, [False, True])])
def test_a_bar_is_low_below_the_least_or_the_need(needed, low):
    """30,000/(48 x 12) = 52 psi and 20,000/576 = 35 psi against 40 psi in service (memory) and the need."""
    places = bar_places(pressure([30_000, 20_000]), **SIZES, needed_psi=needed)
    assert [place.is_low for place in places] == low


def test_the_worst_stretch_is_the_one_the_rating_counts():
    """Arithmetic: bars 3 to 5 hold 20, 10 and 20 thousand over 12 ft of 12 in: 50,000/(144 x 12) = 28.9 psi."""
    found = pressure([57_600, 57_600, 20_000, 10_000, 20_000, 57_600, 57_600])
    stretch = worst(found)
    assert stretch.least_psi == pytest.approx(50_000 / (144 * 12))
    assert (stretch.from_ft, stretch.to_ft) == (8.0, 20.0)
    assert stretch.least_psi == pytest.approx(found.least_psi)
    assert stretch.mean_psi > stretch.least_psi and "midspan" in stretch.where


@pytest.mark.parametrize(
    "forces",
    [
        [57_600, (40_000, OLD), None, 30_000, None, None, None, 50_000],
        [None, 20_000, None, None, 41_000, 5_000, 60_000],
        [(10_000, OLD)] * 6,
        [0.0, 50_000, 0.0, 50_000],
    ],
)
def test_profile_and_rating_tell_one_number(forces):
    """Law: whatever was read, the stretch drawn has the pressure that is rated."""
    found = pressure(forces, pulled_on=PULL)
    assert worst(found).least_psi == pytest.approx(found.least_psi)


def test_after_a_pull_without_a_reading_the_bars_stay_in_sight():
    """All read before the pull: each is drawn as such and counted, none is a cross."""
    found = pressure([(40_000, OLD)] * 5, pulled_on=PULL)
    assert {place.state for place in bar_places(found, **SIZES)} == {BEFORE_PULL}
    assert worst(found).least_psi == pytest.approx(40_000 / (48 * 12))


def test_nothing_read_has_no_stretch():
    assert worst(pressure([None] * 5)) is None


def test_lock_off_stands_apart_and_an_older_one_is_gone():
    found = pressure([30_000, 30_000, 30_000])
    later, earlier = Known(force_lb=50_000, on=NOW), Known(force_lb=50_000, on=OLD)
    places = bar_places(found, **SIZES, lock_offs={1: later, 2: earlier})
    assert places[0].lock_off == later and places[1].lock_off is None
    assert [place.force_lb for place in places] == [30_000] * 3, "it counts nowhere"


def test_estimates_are_for_bars_that_were_not_read():
    """An 80 percent band is 1.2816 standard deviations either way (normal distribution, mathematics)."""
    estimate = Estimate(middle_lb=40_000, sd_lb=5_000)
    places = bar_places(pressure([30_000, None, 30_000]), **SIZES, estimates={1: estimate, 2: estimate})
    assert places[0].estimate is None and places[1].estimate == estimate
    assert estimate.low_lb == pytest.approx(40_000 - 1.2816 * 5_000, rel=1e-3)
    assert Estimate(middle_lb=1_000, sd_lb=5_000).low_lb == 0.0


@pytest.mark.parametrize(
    ("ends", "said"),
    [((0, 60), "whole span"), ((25, 40), "midspan"), ((0, 12), "first bearing, where"), ((48, 60), "far bearing"),
     ((10, 22), "8.0 ft from midspan"), ((36, 50), "6.0 ft from midspan")],
)  # fmt: skip
def test_where_the_stretch_lies(ends, said):
    assert said in where_words(*ends, 60.0)


def drawn(text, kind):
    return [shape for shape in ElementTree.fromstring(text).iter() if shape.get("class") == kind]


def test_every_state_has_its_own_shape_and_word():
    points = [
        BarPoint(number=1, station_ft=2, force_lb=40_000),
        BarPoint(number=2, station_ft=6, force_lb=40_000, state="before_pull"),
        BarPoint(number=3, station_ft=10, force_lb=30_000, state="filled", estimate_lb=(20_000, 30_000, 40_000)),
        BarPoint(number=4, station_ft=14, force_lb=None, is_low=True, lock_off_lb=50_000),
    ]
    svg = bar_profile(
        points,
        [ForceLevel(force_lb=23_040, words="least 40 psi", is_need=True)],
        span_ft=16,
        title="t",
        key="k",
        stretch=Stretch(from_ft=8, to_ft=16, force_lb=15_000, words="worst stretch 8 to 16 ft: 26 psi", is_low=True),
    )
    words = " ".join(text.text for text in ElementTree.fromstring(svg).iter(f"{SVG}text"))
    wanted = {
        "bar-read": "read since",
        "bar-before": "before the last pull",
        "bar-filled": "beside",
        "bar-absent": "absent",
        "lock-off": "no standing force",
        "estimate": "forecast",
    }
    for kind, said in wanted.items():
        assert drawn(svg, kind) and said in words
    band = drawn(svg, "worst-stretch")[0]
    assert float(band.get("x")) == pytest.approx(48 + 460 * 8 / 16) and float(band.get("width")) == pytest.approx(230)
    assert "worst stretch 8 to 16 ft: 26 psi" in words
    whisker = drawn(svg, "estimate")[0]
    top, bottom, stem = float(whisker.get("y2")), float(whisker.get("y1")), drawn(svg, "bar-stem")[2]
    base, middle = float(stem.get("y1")), float(stem.get("y2"))
    assert (base - top) / (base - bottom) == pytest.approx(2.0, rel=1e-3), "40,000 is twice 20,000"
    assert bottom > middle > top


def test_a_low_bar_is_hollow_and_not_only_of_another_colour():
    """Common practice, no source: a meaning never hangs on colour alone."""
    points = [
        BarPoint(number=1, station_ft=2, force_lb=40_000),
        BarPoint(number=2, station_ft=6, force_lb=10_000, is_low=True),
    ]
    svg = bar_profile(points, [], span_ft=8, title="t", key="k")
    sound, low = drawn(svg, "bar-read")[:2]
    assert sound.get("fill") == sound.get("stroke") and low.get("fill") != low.get("stroke")
    assert "below the least or the needed" in svg
