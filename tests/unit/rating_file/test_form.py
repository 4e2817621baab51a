"""The form of a rating file: in step with the kernel's cases, strict, and its faults told by place."""

import copy
import json
import math
import re
from dataclasses import fields

import pytest
from jsonschema import Draft202012Validator

from inspections.reckoning.rating_file import BadFile, rate_bridge, rating_file, read_bridges, schema
from inspections.reckoning.rating_file.form import IN_FULL, OF_THEIR_OWN
from inspections.reckoning.rating_file.read import SCHEMA
from inventory.mechanics.rating import DESIGN_VALUES, DesignValue, find_vehicle
from inventory.mechanics.rating.limits import LIMITS
from tests.house.tree import ROOT
from tests.makers.json_places import places_of_numbers, put, words
from tests.published.examples import FOLDER, NAMES, example

PUBLISHED = json.loads(SCHEMA.read_text(encoding="utf-8"))


def plain(name: str) -> dict:
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))


def read(value) -> tuple:
    return read_bridges(json.dumps(value).encode())


def faults(value) -> str:
    with pytest.raises(BadFile) as bad:
        read(value)
    return "\n".join(bad.value.sentences)


def test_the_published_form_is_a_form_and_up_to_date():
    """Write it anew with: manage.py rate --schema > inspections/reckoning/rating_file/bridge.schema.json"""
    Draft202012Validator.check_schema(PUBLISHED)
    assert without_words(schema()) == without_words(PUBLISHED)


def without_words(form):
    """The form without its descriptions, which say again in words what stands elsewhere."""
    if isinstance(form, dict):
        return {
            key: without_words(item) for key, item in form.items() if not isinstance(item, str) or key != "description"
        }
    return [without_words(item) for item in form] if isinstance(form, list) else form


def test_every_field_of_a_case_has_its_place_and_its_limit_in_the_form():
    for cls in (*OF_THEIR_OWN, DesignValue):
        properties = PUBLISHED["$defs"][cls.__name__]["properties"]
        assert set(properties) == {"note"} | {field.name for field in fields(cls)}
        for name, limit in LIMITS.get(cls, {}).items():
            assert properties[name]["maximum"] == limit.most
            low = "exclusiveMinimum" if limit.above else "minimum"
            assert properties[name][low] == limit.least


@pytest.mark.parametrize("name", NAMES)
def test_examples_hold_to_the_whole_form(name):
    """The published form itself, by an independent validator from its root, takes every example."""
    Draft202012Validator(PUBLISHED).validate(plain(name))
    assert read(plain(name))[0].snapshot == example(name).snapshot


@pytest.mark.parametrize("name", NAMES)
def test_a_snapshot_written_and_read_again_is_the_same(name):
    """Law: to file and back changes nothing, and so not the digest."""
    before = example(name).snapshot
    (after,) = read(rating_file(name=name, snapshot=before.as_dict()))
    assert after.snapshot == before
    assert after.snapshot.digest == before.digest


def test_every_row_of_the_table_is_found_by_its_three_names():
    for row in DESIGN_VALUES:
        case = plain("sawn-stringers-18-ft")
        names = {name: getattr(row, name) for name in ("species", "grade", "size_class")}
        case["spans"][0]["members"][0]["material"] = names
        assert read(case)[0].cases[0].members[0].material == row


def test_a_vehicle_by_its_axles_is_the_standard_one():
    """HS20 as printed: 8, 32, 32 kip, 14 ft and 14 to 30 ft (AASHTO Standard Specifications 3.7.6 [memory])."""
    axles = {"id": "own", "axles_kip": [8, 32, 32], "spacings_ft": [14, [14, 30]], "source": "Standard Specifications"}
    (bridge,) = read(plain("sawn-stringers-18-ft") | {"vehicles": ["HS20", axles]})
    standard, own = bridge.snapshot.vehicles
    assert standard == "HS20"
    assert (own.axles_kip, own.spacings_ft) == (find_vehicle("HS20").axles_kip, find_vehicle("HS20").spacings_ft)


def test_notes_are_allowed_everywhere_and_change_nothing():
    case = plain("stressed-deck-24-ft")
    for place in (case, case["spans"][0], case["spans"][0]["members"][0], case["spans"][0]["bars"]):
        place["note"] = "read from the drawing of 1991"
    assert read(case)[0].snapshot.digest == example("stressed-deck-24-ft").snapshot.digest


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("hostile", [math.nan, math.inf, -math.inf, 1e12, -1e12, "12", True, [], {}, 10**400])
def test_a_hostile_value_is_told_by_its_place(name, hostile):
    whole = plain(name)
    for path in places_of_numbers(whole):
        assert f"{words(path)} is " in faults(put(whole, path, hostile)), path


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("spans", 0, "members", 0, "depth_in"), 0, "depth_in is 0; give a number above 0 and at most 120 in."),
        (("spans", 0, "members", 0, "dept_in"), 3, "has no field dept_in; did you mean depth_in?"),
        (("spans", 0, "span_ft"), 2000, "spans[0].span_ft is 2000; give a number above 0 and at most 200 ft."),
        (("spans", 0, "lanes_loaded"), 1.5, "spans[0].lanes_loaded is 1.5; give a whole number"),
        (("spans", 0, "system"), "arch", "choose one of 'stringer'"),
        (("spans", 0, "members"), None, "spans[0].members is null; give a list in square brackets."),
        (("as_of",), "2026-02-30", "no day of the calendar"),
        (("as_of",), "May 4", "year-month-day"),
        (("vehicles",), ["H99"], "vehicles[0]: No rating vehicle H99"),
        (("vehicles",), [], "vehicles has 0 entries"),
        (
            ("vehicles",),
            [{"id": "x", "axles_kip": [10] * 40, "spacings_ft": [4] * 39, "source": "s"}],
            "vehicles[0].axles_kip has 40 entries; give 1 to 20.",
        ),
        (
            ("vehicles",),
            [{"id": "x", "axles_kip": [9, 9], "spacings_ft": [], "source": "s"}],
            "number of axle spacings",
        ),
        (("form",), 2, "form is 2; choose one of 1."),
    ],
)
def test_faults_say_where_what_and_what_would_do(path, value, told):
    assert told in faults(put(plain("sawn-stringers-18-ft") | {"form": 1}, path, value))


def test_design_values_are_given_whole_or_looked_up():
    whole = plain("sawn-stringers-18-ft")
    material = ("spans", 0, "members", 0, "material")
    some = whole["spans"][0]["members"][0]["material"] | {"fb_psi": 1350}
    told = faults(put(whole, material, some))
    assert "spans[0].members[0].material" in told and all(name in told for name in set(IN_FULL) - {"fb_psi"})
    unknown = faults(put(whole, (*material, "grade"), "No.9"))
    assert unknown.startswith("spans[0].members[0].material: No design value") and "Grades on the table" in unknown
    lost = copy.deepcopy(whole)
    del lost["spans"][0]["members"][0]["material"]
    assert "spans[0].members[0] lacks material" in faults(lost)


def test_several_bridges_are_told_apart():
    good, bad = plain("sawn-stringers-18-ft"), plain("stressed-deck-24-ft")
    assert [bridge.name for bridge in read({"bridges": [good, bad]})] == [good["name"], bad["name"]]
    told = faults({"bridges": [good, put(bad, ("spans", 0, "span_ft"), -1)]})
    assert told == "bridges[1].spans[0].span_ft is -1; give a number above 0 and at most 200 ft."


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "not JSON: at line 1, column 1"),
        (b'{"name": ', "not JSON"),
        (b"\xff\xfe\x00", "UTF-8"),
        (b'{"name": "a", "name": "b"}', "given twice"),
        (b"[" * 200_000, "nested too deeply"),
        (b"9" * 10_000, "too many digits"),
        (b"[]", "object in braces"),
        (b"null", "object in braces"),
    ],
)
def test_what_is_no_file_at_all_is_one_sentence(data, told):
    with pytest.raises(BadFile) as bad:
        read_bridges(data)
    assert len(bad.value.sentences) == 1 and told in bad.value.sentences[0]


def test_the_example_people_copy_is_a_bridge_that_is_rated():
    """The whole example of ops/rating-file.md holds to the form and is rated; its own vehicle is among the answers."""
    text = (ROOT / "ops" / "rating-file.md").read_text(encoding="utf-8")
    (written,) = re.findall(r"^```json\n(.*?)^```", text, re.S | re.M)
    Draft202012Validator(PUBLISHED).validate(json.loads(written))
    answer = rate_bridge(read_bridges(written.encode())[0])
    assert answer["is_rated"], answer["reasons"]
    assert "grader" in {row["vehicle"] for row in answer["results"]["governing"]}
    worst = min(answer["results"]["governing"], key=lambda row: row["operating_factor"])
    assert worst["member"] == "stringer 4", "the decayed member governs: less wood, less strength"
