"""What import-linter cannot see: foreign keys given as strings, get_model, templates and their links."""

import ast
import re

import pytest
from django.urls import get_resolver

from tests.house.tree import files, name

ABOVE = {"inventory": ("inspections", "maps"), "inspections": ("maps",), "maps": ()}
RELATIONS = {"ForeignKey", "OneToOneField", "ManyToManyField", "get_model"}


def strings_that_look_up(source: str, upper: tuple[str, ...]) -> list[str]:
    found = []
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        if called in RELATIONS:
            for each in (*node.args, *(word.value for word in node.keywords)):
                if isinstance(each, ast.Constant) and isinstance(each.value, str):
                    if each.value.split(".")[0].lower() in upper:
                        found.append(each.value)
    return found


@pytest.mark.parametrize("app", [app for app, upper in ABOVE.items() if upper])
def test_no_string_climbs_the_storeys(app):
    found = []
    for path in files(".py", under=app):
        if "/migrations/" not in name(path):
            found += [
                f"{name(path)}: {each}" for each in strings_that_look_up(path.read_text(encoding="utf-8"), ABOVE[app])
            ]
    assert not found, "\n".join(found)


def test_the_check_sees_a_climb():
    assert strings_that_look_up('x = models.ForeignKey("maps.Layer", on_delete=1)', ("maps",)) == ["maps.Layer"]


@pytest.mark.parametrize("app", [app for app, upper in ABOVE.items() if upper])
def test_no_template_climbs_the_storeys(app):
    """Neither by including or extending an upper room's template, nor by naming its routes."""
    upper = "|".join(ABOVE[app])
    climbs = re.compile(
        rf"{{%\s*(?:include|extends)\s+[\"'](?:{upper})/|{{%\s*url\s+[\"'](?:{upper}):|{{%\s*static\s+[\"'](?:{upper})/"
    )
    found = []
    for path in files(".html", ".svg", ".txt", under=app):
        found += [f"{name(path)}: {each}" for each in climbs.findall(path.read_text(encoding="utf-8"))]
    for path in files(".py", under=app):
        text = path.read_text(encoding="utf-8")
        if "/migrations/" not in name(path):
            found += [f"{name(path)}: {each}" for each in re.findall(rf"reverse\([\"'](?:{upper}):\w+", text)]
    assert not found, "\n".join(found)


def test_every_template_lies_in_its_rooms_own_folder():
    for app in ABOVE:
        for path in files(".html", under=f"{app}/templates"):
            inside = name(path).split("/templates/")[1]
            assert inside.split("/")[0] == app or inside in ("403.html", "404.html", "500.html", "400.html"), name(path)


def test_every_room_names_its_routes():
    spaces = set(get_resolver().namespace_dict)
    assert set(ABOVE) <= spaces
