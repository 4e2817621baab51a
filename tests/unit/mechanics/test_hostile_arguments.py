"""Every scalar function at the kernel's inner doors with hostile arguments: a finite answer or the kernel's refusal.

Law: no argument that is no number, infinite, absurd or of the wrong sign raises anything but ``OutsideValidity``, and
none gives back what is no number.
"""

from __future__ import annotations

import importlib
import inspect
import math
from dataclasses import fields, is_dataclass

import pytest

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.vehicle import find_vehicle

HOSTILE = (0.0, -1.0, -1e12, math.nan, math.inf, -math.inf, 1e12)
ROOMS = ("bars", "material", "section", "distribution", "beam", "plate", "vehicle")
GOOD = {
    "axles": 5,
    "bar_area_in2": 0.85,
    "bearing_psi": 400.0,
    "bending_wheel_lines": 0.6,
    "clear_in": 9.0,
    "closing_psi": 20.0,
    "curb_offset_ft": 1.0,
    "deck_kind": "plank",
    "deck_thickness_in": 3.0,
    "deck_width_ft": 16.0,
    "depth_in": 16.0,
    "design_psi": 40.0,
    "diameter_in": 14.0,
    "e_min_psi": 580_000.0,
    "e_psi": 1_600_000.0,
    "e_ratio": 0.013,
    "edge_to_barrier_in": 12.0,
    "exponent": 10.0,
    "far_curb_in": 192.0,
    "first_axle_ft": 10.0,
    "floor_psi": 40.0,
    "force_lb": 20_000.0,
    "fb_star_psi": 1500.0,
    "full_length": True,
    "g_ratio": 0.03,
    "inertia_in4": 2048.0,
    "interconnected": True,
    "k": 0.51,
    "lanes": 1,
    "length_ft": 20.0,
    "length_in": 8.0,
    "load_plf": 60.0,
    "moment_inlb_in": 600.0,
    "near_curb_in": 0.0,
    "needed_psi": 40.0,
    "net_area_in2": 0.85,
    "one_joint_in": 4,
    "one_lane_too": True,
    "overhang_in": 3.0,
    "panel_in": 48.0,
    "plate_area_in2": 140.0,
    "pressure_psi": 60.0,
    "ram_area_in2": 12.8,
    "share": 0.5,
    "shear_lb_in": 100.0,
    "span_ft": 18.0,
    "span_in": 50.0,
    "spacing_ft": 2.0,
    "spacing_in": 48.0,
    "station_ft": 6.0,
    "steel_psi": 20_000.0,
    "strip_in": 54.0,
    "surface": "surfaced",
    "thickness_in": 12.0,
    "unbraced_ft": 6.0,
    "vehicle": find_vehicle("TYPE3"),
    "web_e_psi": 2e6,
    "web_inertia_in4": 6000.0,
    "web_spacing_in": 24.0,
    "wheel_lb": 12_000.0,
    "wheel_line_shear_lb": 10_000.0,
    "wide_in": 44.0,
    "width_ft": 14.0,
    "width_in": 6.0,
}
"""A good value for every argument, in the range of the worked examples."""


def takes_numbers(annotation: str) -> bool:
    return annotation.strip("'") in ("float", "int", "float | None", "int | None")


def scalar_functions() -> list[tuple]:
    found = []
    for room in ROOMS:
        module = importlib.import_module(f"inventory.mechanics.{room}")
        for name in module.__all__:
            function = getattr(module, name)
            if not inspect.isfunction(function):
                continue
            parameters = inspect.signature(function).parameters.values()
            needed = [p for p in parameters if p.default is p.empty]
            if all(p.name in GOOD for p in needed) and all(p.kind is p.KEYWORD_ONLY for p in needed):
                numbers = [p for p in parameters if takes_numbers(str(p.annotation))]
                found += [(f"{room}.{name}", function, p.name) for p in numbers]
    return found


SPOTS = scalar_functions()


def finite(value) -> bool:
    if is_dataclass(value):
        return all(finite(getattr(value, field.name)) for field in fields(value))
    if isinstance(value, dict):
        return all(finite(each) for each in value.values())
    if isinstance(value, list | tuple):
        return all(finite(each) for each in value)
    return not isinstance(value, float) or math.isfinite(value)


def call(function, **changed):
    parameters = inspect.signature(function).parameters.values()
    names = [p.name for p in parameters if p.name in GOOD and "SurfaceLoss" not in str(p.annotation)]
    return function(**{name: GOOD[name] for name in names} | changed)


def test_the_walk_finds_the_functions():
    assert len({name for name, _function, _argument in SPOTS}) > 35
    assert len(SPOTS) > 90


@pytest.mark.parametrize(("function", "argument"), [spot[1:] for spot in SPOTS], ids=[f"{s[0]} {s[2]}" for s in SPOTS])
def test_a_hostile_argument_is_refused_or_gives_a_number(function, argument):
    assert finite(call(function)), "the good values must hold"
    for value in HOSTILE:
        try:
            answer = call(function, **{argument: value})
        except OutsideValidity as refusal:
            assert str(refusal).endswith(".")
            continue
        assert finite(answer), (argument, value, answer)
