"""The sheet of example D1 and of others, recomputed line by line from their own printed digits.

Sources: arithmetic of the printed lines; D1 (worked example, computed: SU6 bending 0.756 and 1.026); statics by
equilibrium instead of the influence lines that the sheet prints.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from inspections.letters.calculation import sheet_content
from inventory.mechanics.rating import RatingPolicy
from tests.unit.mechanics.caps import CAP
from tests.unit.mechanics.caps import SPANS as CAP_SPANS
from tests.unit.mechanics.spans import panel_span, stressed_span, stringer_span, surface
from tests.unit.mechanics.test_stressed_beams import beam_span
from tests.unit.mechanics.test_transverse_decks import PLANK

from .pocket_calculator import evaluate, half_place, spread, text_of
from .sheets import damaged_span, sheet_of, worked_example

SHEETS = {
    "D1": lambda: sheet_of(worked_example()),
    "hollow, outside, with surfacing": lambda: sheet_of(damaged_span()),
    "stress-laminated deck": lambda: sheet_of(stressed_span()),
    "slack deck": lambda: sheet_of(stressed_span(pressure_psi=30.0)),
    "glulam panels": lambda: sheet_of(panel_span()),
    "decayed, posted by load factors": lambda: sheet_of(
        stringer_span(losses=(surface(2.0),), adtt=400, condition_rating=5), policy=RatingPolicy(posting_method="LRFR")
    ),
    "run through": lambda: sheet_of(
        stringer_span(label="1", continuous_unit="A"), stringer_span(label="2", span_ft=24.0, continuous_unit="A")
    ),
    "long span under lane load": lambda: sheet_of(
        stringer_span(span_ft=60.0, depth_in=24.0, width_in=12.0), vehicles=("HS20",)
    ),
}


# Where no member of a span governs: a plank deck, a shallow cap, a web that slips in its flange.
PARTS = {
    "deck": lambda: sheet_of(stringer_span(deck=PLANK, depth_in=24.0, width_in=12.0, span_ft=12.0)),
    "cap": lambda: sheet_of(*CAP_SPANS, caps=(replace(CAP, depth_in=9.0),)),
    "web": lambda: sheet_of(beam_span(100.0)),
}


@pytest.fixture(scope="module", params=SHEETS, ids=lambda name: name.replace(" ", "-"))
def content(request):
    return sheet_content(SHEETS[request.param]())


def steps_of(part: dict) -> list[dict]:
    return [step for group in part["groups"] for step in group["steps"]]


def worked(step: dict) -> str:
    return text_of(step["worked"]).removeprefix("= ")


def words(step: dict) -> str:
    """The symbol as it reads without its subscripts."""
    return "".join(part for part, _kind in step["symbol"])


def number(text: str) -> float:
    return float(text.replace(",", ""))


def assert_lines_are_true(content: dict) -> int:
    """Every worked line against the value beside it; how many there were."""
    count = 0
    for part in content["governing"]:
        carried: dict[str, float] = {}
        for axle in (part["axles"] or {"rows": []})["rows"]:
            carried[text_of(axle[3]).removeprefix("area ").lstrip("-")] = 5e-5
        for step in steps_of(part):
            symbol = text_of(step["symbol"])
            # A rule may name a width that it has worked out: D_w = b_t + 2 t = 38.58 in.
            carried |= {width: 5e-3 for width in re.findall(r"= ([0-9.]+) in\b", text_of(step["formula"]))}
            if step["worked"]:
                line, shown = worked(step), number(step["value"])
                room = half_place(step["value"], step["unit"], symbol) + spread(line, carried)
                assert abs(evaluate(line) - shown) <= room * 1.001 + 1e-9, f"{symbol} = {step['value']}: {line}"
                count += 1
            if step["value"] and step["value"][0] in "-0123456789":
                carried[step["value"].lstrip("-")] = half_place(step["value"], step["unit"], symbol)
    return count


def test_every_printed_line_gives_what_stands_beside_it(content):
    """Law: a printed product or quotient agrees with its printed numbers within their last printed places."""
    assert assert_lines_are_true(content) > 20


@pytest.mark.parametrize("name", PARTS)
def test_lines_of_decks_caps_and_webs_are_true_too(name):
    """The same law; the governing case names the part, and its factor line is made of the printed numbers."""
    sheet = PARTS[name]()
    content = sheet_content(sheet)
    assert assert_lines_are_true(content) > 12
    case = sheet.results["governing_cases"][0]
    assert case["member"] == {"cap": "pile cap"}.get(name, name)
    step = next(step for step in steps_of(content["governing"][0]) if words(step) == "RF inventory")
    assert step["worked"] and content["governing"][0]["figures"]


def test_the_way_from_input_to_factor_has_no_gap(content):
    """Law: strength, capacity, dead load, lane effect, share and factor are each a printed line with numbers."""
    for part in content["governing"]:
        is_asr = part["heading"].startswith("Governing case, allowable")
        wanted = ["M lane", "L", "RF inventory", "C inventory", "C operating", "RF operating", "D", "Fb'", "w"]
        if not is_asr:
            level = next(words(step).removeprefix("RF ") for step in steps_of(part) if words(step).startswith("RF "))
            wanted = ["M lane", "L", "C", "w DC", "DC", "DW", "φ Fb", f"RF {level}"]
        steps = {words(step): step for step in steps_of(part)}
        assert set(wanted) <= set(steps)
        assert not [symbol for symbol in wanted if not steps[symbol]["worked"]]


def test_the_factor_takes_the_numbers_printed_above_it(content):
    """Law: the last line is made of the capacity, dead and live effects printed before it, not of others."""
    for part in content["governing"]:
        values = {text_of(step["symbol"]): step["value"] for step in steps_of(part)}
        rows = [step for step in steps_of(part) if text_of(step["symbol"]).startswith("RF ")]
        for step in rows:
            level = text_of(step["symbol"]).removeprefix("RF ")
            if level == "posting":
                continue
            used = [values.get(f"C {level}") or values["C"], values["L"]]
            used += [values["D"]] if "D" in values else [values["DC"], values["DW"]]
            assert all(value in worked(step) for value in used), worked(step)


def test_axles_sum_to_the_lane_effect(content):
    """Law: weight times ordinate in every row, and their sum below, to the printed whole numbers."""
    for part in content["governing"]:
        rows = [[text_of(cell) for cell in row] for row in part["axles"]["rows"]]
        *loads, total = rows
        for name, weight, _place, y, product in loads:
            if weight:
                assert number(weight) * number(y) == pytest.approx(number(product), abs=0.51 + number(weight) * 5.1e-5)
            else:
                assert name.endswith(" ft") and y.startswith("area ")
        assert sum(number(row[-1]) for row in loads) == pytest.approx(number(total[-1]), abs=0.5 * (len(loads) + 1))
        lane = next(step for step in steps_of(part) if text_of(step["symbol"]).endswith(" lane"))
        assert lane["value"] == total[-1]


@pytest.mark.parametrize("name", ["D1", "hollow, outside, with surfacing", "glulam panels"])
def test_lane_moment_by_equilibrium(name):
    """Second method: M at z = R z - sum P (z - a) left of z, R from moments about the far bearing (statics)."""
    sheet = SHEETS[name]()
    for case in sheet.results["governing_cases"]:
        span, z = case["span_ft"], case["station_ft"]
        spots = [(one["place_ft"], one["load_lb"]) for one in case["load"]["axles"]]
        assert all(0 <= place <= span for place, _load in spots)
        near = sum(load * (span - place) for place, load in spots) / span
        moment = near * z - sum(load * (z - place) for place, load in spots if place < z)
        assert moment == pytest.approx(case["lane_effect"], rel=1e-9)


def test_worked_example_reads_as_printed():
    """D1 (computed): SU6 at 0.756 inventory and 1.026 operating by the combination of maxima, which the search at one
    section passes by at most 0.5 %; 1350 (12/16)^(1/9) 1.15 = 1503.7 psi."""
    part, other = sheet_content(sheet_of(worked_example()))["governing"]
    values = {words(step): step["value"] for step in steps_of(part)}
    assert 0.755 <= number(values["RF inventory"]) <= 0.756 * 1.005 + 0.001
    assert 1.025 <= number(values["RF operating"]) <= 1.026 * 1.005 + 0.001
    assert values["Fb'"] == "1,503.7" and values["S, 0 to 18 ft"] == "256" and values["CF"] == "0.9685"
    # phi F_b = 1350 x 2.5 x 0.8 (12/16)^(1/9): the resistance factor cancels in the format factor (LRFD 8.4.4.2).
    second = {words(step): step["value"] for step in steps_of(other)}
    assert number(second["φ Fb"]) == pytest.approx(1350 * 2.5 * 0.8 * (12 / 16) ** (1 / 9), abs=0.06)


def test_a_wrong_digit_would_be_seen():
    """The calculator is not blind: a factor changed in its third digit no longer gives the printed product."""
    part = sheet_content(sheet_of(worked_example()))["governing"][0]
    step = next(step for step in steps_of(part) if words(step) == "Fb'")
    line = worked(step).replace("0.9685", "0.9785")
    assert line != worked(step)
    assert abs(evaluate(line) - number(step["value"])) > 10 * (0.05 + spread(line, {"0.9785": 5e-5}))


def test_rows_of_every_result_give_their_factors():
    """Law: RF = (C - D)/L and (C - g_DC DC - g_DW DW)/(g_LL L) row by row, from the printed whole numbers."""
    sheet = sheet_of(damaged_span())
    found = 0
    first = next(row for row in sheet.results["spans"][0]["results"] if row["method"] == "LRFR")
    for pair in sheet_content(sheet)["others"]:
        for row in pair["left"]["rows"]:
            _name, _z, low, high, dead, live, inventory, operating = (text_of(cell) for cell in row)
            for capacity, factor in ((low, inventory), (high, operating)):
                if factor:
                    room = 5e-4 + 1.5 / number(live) + number(factor) * 0.5 / number(live)
                    assert abs((number(capacity) - number(dead)) / number(live) - number(factor)) <= room + 5e-4
                    found += 1
        for row in pair["right"]["rows"]:
            _name, _z, capacity, dc, dw, live, gamma, factor = (text_of(cell) for cell in row)
            room = number(capacity) - first["dc_factor"] * number(dc) - first["dw_factor"] * number(dw)
            assert room / (number(gamma) * number(live)) == pytest.approx(number(factor), abs=1.2e-3)
            found += 1
    assert found == len(sheet.results["spans"][0]["results"])


def test_posting_by_load_factors_shows_its_safe_load():
    """MBE 6A.8.3 (memory): (W/0.7)(RF - 0.3); the printed line is that arithmetic."""
    sheet = SHEETS["decayed, posted by load factors"]()
    part = sheet_content(sheet)["governing"][1]
    case = sheet.results["governing_cases"][1]
    step = next(step for step in steps_of(part) if text_of(step["symbol"]) == "safe load")
    by_hand = case["gross_tons"] / 0.7 * (case["rating_factor"] - 0.3)
    assert number(step["value"]) == pytest.approx(by_hand, abs=0.06)


def test_operating_level_is_left_to_its_own_section_where_it_governs_elsewhere():
    """Law: the printed operating factor at the inventory section is never below the least of that level."""
    sheet = sheet_of(replace(worked_example(), span_ft=19.0))
    part = sheet_content(sheet)["governing"][0]
    case = sheet.results["governing_cases"][0]
    least = min(
        row["rating_factor"]
        for row in sheet.results["spans"][0]["results"]
        if (row["vehicle"], row["level"], row["method"]) == (case["vehicle"], "operating", "ASR")
    )
    step = next(step for step in steps_of(part) if text_of(step["symbol"]) == "RF operating")
    assert number(step["value"]) >= least - 5e-4
