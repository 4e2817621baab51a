"""No folder of tests is left out of ops/check."""

from tests.house.tree import ROOT

HELPING = {"makers"}


def test_every_folder_of_tests_is_run():
    steps = (ROOT / "ops" / "launch" / "steps.py").read_text(encoding="utf-8")
    folders = {path.parent.name for path in (ROOT / "tests").glob("*/__init__.py")} - HELPING
    assert folders >= {"app", "unit", "bench"}
    missed = [name for name in sorted(folders) if f'"tests/{name}"' not in steps]
    assert not missed, f"ops/check runs nothing of tests/{', tests/'.join(missed)}"
