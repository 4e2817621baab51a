"""manage.py plan_stressing: the form in step with the kernel's terms, faults by place, and the plan by a second method.

Second method: the compatibility model written out again with its plain series and numpy alone (stress-laminated decks,
elastic interaction, `model`), pull by pull.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from inspections.reckoning.stressing_file import BadFile, plan_row, read_row, schema
from inspections.reckoning.stressing_file.limits import LIMITS
from inspections.reckoning.stressing_file.read import SCHEMA
from inventory.mechanics.bars.jacking.terms import JackKit, PlanInput, PlannedBar, Squeezed
from tests.house.tree import ROOT
from tests.makers.json_places import places_of_numbers, put, words
from tests.unit.bar_files.examples import HOSTILE, row_to_stress, run

PUBLISHED = json.loads(SCHEMA.read_text(encoding="utf-8"))
OWN = {PlanInput: {"form", "name", "target_source"}, PlannedBar: {"confirmed"}}


def read(value):
    return read_row(json.dumps(value).encode())


def answer(value) -> dict:
    return plan_row(read(value))


def faults(value) -> str:
    with pytest.raises(BadFile) as bad:
        read(value)
    return "\n".join(bad.value.sentences)


def test_the_published_form_is_a_form_and_up_to_date():
    """Write it anew: manage.py plan_stressing --schema > inspections/reckoning/stressing_file/plan.schema.json"""
    Draft202012Validator.check_schema(PUBLISHED)
    assert json.loads(json.dumps(schema())) == PUBLISHED
    code, out, _err = run("plan_stressing", "--schema")
    assert code == 0 and json.loads(out) == PUBLISHED


def test_every_term_of_the_kernel_has_its_place_and_its_limit():
    for cls, name in ((PlanInput, "Row"), (Squeezed, "Squeezed"), (PlannedBar, "PlannedBar"), (JackKit, "JackKit")):
        properties = PUBLISHED["$defs"][name]["properties"]
        assert set(properties) - {"note"} - OWN.get(cls, set()) == {field.name for field in fields(cls)}
        numbers = {each.name for each in fields(cls) if "float" in str(each.type) or "int" in str(each.type)}
        assert numbers - {"given_order"} == set(LIMITS[cls])


def example_by_hand(given: dict, plan: dict):
    """After-forces and elongations of every pull from M = F + C written out with 20,000 terms of the series."""
    deck, bars = given["deck"], given["bars"]
    length, width, t = deck["deck_length_in"], deck["deck_width_in"], deck["thickness_in"]
    e, g, b = deck["e_transverse_psi"], deck["shear_modulus_psi"], deck["bearing_length_in"]
    x = np.array([bar["station_in"] for bar in bars])
    matrix = np.full((len(x), len(x)), width / (e * t * length))
    for m in range(1, 20_001):
        k = m * np.pi / length
        lam = k * np.sqrt(g / e)
        wave = np.cos(k * x) * np.sin(k * b / 2) / (k * b / 2)
        matrix += 2 / (length * t) * 2 * np.tanh(lam * width / 2) / (e * lam) * np.outer(wave, wave)
    matrix += np.diag([deck["bar_length_in"] / (bar["net_area_in2"] * 29e6) for bar in bars])
    force = np.array([float(bar["standing_lb"]) for bar in bars])
    for pull in plan["pulls"]:
        held = [each["bar_index"] for each in pull["bars"]]
        rest = [i for i in range(len(x)) if i not in held]
        rise = np.array([each["set_lb"] for each in pull["bars"]]) - force[held]
        before = force.copy()
        force[rest] -= np.linalg.solve(matrix[np.ix_(rest, rest)], matrix[np.ix_(rest, held)] @ rise)
        force[held] += rise
        # The bar's own stretch and the closing of the wood at it, from the force before the pull to the set force.
        stroke = (matrix @ (force - before))[held]
        seated = np.zeros(len(x))
        seated[held] = 0.02
        force -= np.linalg.solve(matrix, seated)
        yield force.copy(), stroke


def test_the_example_as_printed_is_planned_and_agrees_with_the_second_method():
    """Every force after every pull within 0.2 percent of the target; jack force = gauge psi x 20.6 in2 x 0.97."""
    told = answer(row_to_stress())
    assert told["is_usable"], told["reasons"]
    plan = told["plan"]
    for pull, (by_hand, stroke) in zip(plan["pulls"], example_by_hand(row_to_stress(), plan), strict=True):
        assert pull["after_lb"] == pytest.approx(list(by_hand), abs=0.002 * 57_600)
        assert [each["elongation_in"] for each in pull["bars"]] == pytest.approx(list(stroke), rel=0.01)
        for each in pull["bars"]:
            assert each["set_lb"] == pytest.approx(each["gauge_psi"] * 20.6 * 0.97)
            assert each["gauge_psi"] % 50 == 0 and each["bar"] == row_to_stress()["bars"][each["bar_index"]]["name"]
            # 0.70 x 150,000 psi on the net area, the jack's peak included (ASTM A722, memory).
            assert each["peak_lb"] <= 0.70 * 150_000 * 0.85
    planned = [i for i, bar in enumerate(row_to_stress()["bars"]) if bar.get("is_planned", True)]
    assert min(plan["final_lb"][i] for i in planned) >= 0.95 * 57_600
    assert 3 not in {each["bar_index"] for pull in plan["pulls"] for each in pull["bars"]}


def test_cautions_come_with_every_answer_even_one_without_a_plan():
    good, bad = answer(row_to_stress()), answer(put(row_to_stress(), ("bars", 0, "target_lb"), 120_000))
    for told in (good, bad):
        assert any("No traffic on the span" in each for each in told["cautions"])
    assert not bad["is_usable"] and any("0.70" in reason for reason in bad["reasons"])


def test_the_digest_is_of_the_content():
    """Law: notes and the order of names change nothing; a force does."""
    plain = row_to_stress()
    same = dict(reversed(plain.items())) | {"note": "after the flood"}
    assert answer(same)["digest"] == answer(plain)["digest"]
    assert answer(put(plain, ("bars", 1, "standing_lb"), 28_501))["digest"] != answer(plain)["digest"]


def test_the_plan_goes_to_json_and_back():
    plan = answer(row_to_stress())["plan"]
    assert json.loads(json.dumps(plan, allow_nan=False)) == plan


def test_bars_are_pulled_in_the_order_given_by_name():
    names = ["8", "1", "7", "2", "6", "3", "5"]
    told = answer(row_to_stress() | {"order": "given", "given_order": names})
    first = [each["bar"] for pull in told["plan"]["pulls"] if pull["pass_number"] == 1 for each in pull["bars"]]
    assert first == names


@pytest.mark.parametrize("hostile", HOSTILE, ids=lambda each: repr(each)[:12])
def test_a_hostile_value_is_told_by_its_place(hostile):
    whole = row_to_stress() | {"pass_count": 2, "seating_in": 0.02, "plate_limit_lb": 90_000, "flange_limit_psi": 400}
    whole["deck"]["neighbour_losses_ratio"] = [0.14, 0.06]
    paths = list(places_of_numbers(whole))
    assert len(paths) > 50
    for path in paths:
        assert f"{words(path)} is " in faults(put(whole, path, hostile)), path


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("bars", 2, "standing_lb"), -5, "bars[2].standing_lb is -5; give a number at least 0 and at most 500000 lb."),
        (("bars", 2, "standing_lb"), None, "bars[2].standing_lb is null; give a number"),
        (("bars", 2, "standing_lb"), 55, "as a pressure of 55 psi between laminations"),
        (("bars", 2, "standing_lb"), 2_900, "as a pressure of 2,900 psi on the gauge"),
        (("bars", 2, "target_lb"), 100, "bars[2].target_lb is 100; give a number at least 1000"),
        (("bars", 2, "name"), "1", "bars[2].name is '1', as bars[0]; give each its own."),
        (("bars",), [], "bars has 0 entries; give 1 to 400."),
        (("jacks",), [], "jacks has 0 entries; give 1 to 4."),
        (("jacks", 0, "efficiency"), 1.2, "jacks[0].efficiency is 1.2; give a number at least 0.9 and at most 1."),
        (("order",), "random", "order is 'random'; choose one of 'midspan_outward'"),
        (("given_order",), ["1"], 'order is not "given"'),
        (("target_source",), "", "target_source has 0 letters"),
        (("form",), 2, "form is 2; choose one of 1."),
        (("target",), 3, "has no field target; did you mean target_source?"),
    ],
)
def test_faults_say_where_what_and_what_would_do(path, value, told):
    assert told in faults(put(row_to_stress(), path, value))


def test_a_target_has_no_default():
    plain = row_to_stress()
    del plain["bars"][0]["target_lb"]
    assert "bars[0] lacks target_lb" in faults(plain) and "no default" in faults(plain)
    del plain["target_source"]
    assert "lacks target_source" in faults(plain)


def test_a_confirmed_force_is_taken_as_it_is():
    plain = put(row_to_stress(), ("bars", 2, "standing_lb"), 55)
    plain["bars"][2]["confirmed"] = True
    assert answer(plain)["plan"]["start_lb"][2] == 55


@pytest.mark.parametrize(
    "changes",
    [
        {"order": "given", "given_order": ["1", "1", "2", "3", "5", "6", "7", "8"]},
        {"order": "given", "given_order": ["1"]},
        {"order": "given"},
        {"bars": list(reversed(row_to_stress()["bars"]))},
        {"bars": [bar | {"station_in": 24} for bar in row_to_stress()["bars"]]},
        {"bars": [bar | {"is_planned": False} for bar in row_to_stress()["bars"]]},
        {"deck": row_to_stress()["deck"] | {"bearing_length_in": 240, "deck_length_in": 100}},
        {"deck": row_to_stress()["deck"] | {"bar_length_in": 10}},
        {"deck": row_to_stress()["deck"] | {"neighbour_losses_ratio": [0.4, 0.4]}},
        {"plate_limit_lb": 1e-9},
        {"jacks": [row_to_stress()["jacks"][0] | {"gauge_division_psi": 1000, "gauge_most_psi": 10}]},
        {"jacks": [row_to_stress()["jacks"][0]] * 2},
    ],
)
def test_what_cannot_be_planned_is_a_reason_and_no_crash(changes):
    told = answer(row_to_stress() | changes)
    assert not told["is_usable"] and told["reasons"] and all(len(reason) > 20 for reason in told["reasons"])
    json.dumps(told, allow_nan=False)


def numbers(limit):
    least = limit.least + (1e-6 * (limit.most - limit.least) if limit.above else 0.0)
    return st.sampled_from([least, limit.most]) | st.floats(least, limit.most)


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_any_value_within_its_limits_gives_a_plan_or_a_reason(data):
    """One to four numbers of the example anywhere within their limits: never a traceback, never NaN."""
    whole = row_to_stress()
    for _ in range(data.draw(st.integers(1, 4))):
        path = data.draw(st.sampled_from([p for p in places_of_numbers(whole) if p[-1] != "form"]))
        cls = {"deck": Squeezed, "bars": PlannedBar, "jacks": JackKit}.get(path[0], PlanInput)
        whole = put(whole, path, data.draw(numbers(LIMITS[cls][path[-1]])))
    try:
        told = answer(whole)
    except BadFile as bad:
        assert bad.sentences
        return
    assert told["is_usable"] or told["reasons"]
    json.dumps(told, allow_nan=False)


def test_codes_and_words_of_the_command(tmp_path):
    good, held, bad = (tmp_path / f"{name}.json" for name in ("good", "held", "bad"))
    good.write_text(json.dumps(row_to_stress()))
    held.write_text(json.dumps(put(row_to_stress(), ("bars", 0, "target_lb"), 120_000)))
    bad.write_text('{"name": "x"')
    code, out, err = run("plan_stressing", str(good), "--json")
    assert (code, err) == (0, "") and json.loads(out)["plan"]["pulls"]
    code, out, err = run("plan_stressing", str(good), str(held))
    assert (code, err) == (1, "") and len(json.loads(out)["rows"]) == 2
    code, out, err = run("plan_stressing", str(held), "--brief")
    assert code == 1 and "NO PLAN MAY BE USED" in out and "No traffic" in out
    code, out, _err = run("plan_stressing", str(good), "--brief")
    assert code == 0 and "gauge psi" in out and "bar 4: at the end" in out
    for file, words_told in ((bad, "not JSON"), (tmp_path / "none.json", "cannot be read")):
        code, out, err = run("plan_stressing", str(file))
        assert code == 2 and out == "" and words_told in err and "Traceback" not in err
    assert run("plan_stressing")[0] == 2


def test_no_database_is_touched_and_none_is_made(tmp_path):
    """A database that answers nobody, and a state folder that stays without a database file; input by a pipe."""
    environment = os.environ | {
        "SPANLEDGER_STATE": str(tmp_path / "state"),
        "DATABASE_URL": "postgresql://nobody@127.0.0.1:1/none",
    }
    command = [sys.executable, "manage.py", "plan_stressing", "-"]
    data = json.dumps(row_to_stress()).encode()
    done = subprocess.run(command, cwd=ROOT, env=environment, input=data, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout)["is_usable"]
    assert not list((tmp_path / "state").glob("*.sqlite3*"))
