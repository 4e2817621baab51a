"""manage.py try_change: the one call from outside, with its refusals."""

import json

import pytest
from django.core.management import CommandError, call_command

from inspections.models import Rating
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import rated


@pytest.fixture
def bridge(county, now):
    structure = make_stringer_bridge(county.agency)
    rated(structure, county.people["inspector"], now)
    return structure


def asked(tmp_path, text, number="Q-1", **options):
    file = tmp_path / "changes.json"
    file.write_text(text)
    return call_command("try_change", number, str(file), **options)


def test_an_overlay_as_json(bridge, tmp_path, capsys):
    """35 lb/ft2 = 3/12 x 140."""
    asked(tmp_path, json.dumps({"overlay_in": 3, "overlay_pcf": 140}), json=True)
    plain = json.loads(capsys.readouterr().out)
    assert plain["changed"] == ["Span 1: 3 in at 140 lb/ft3 laid, 35 lb/ft2."]
    assert plain["before"]["least_factor"] == pytest.approx(Rating.objects.get(structure=bridge).least_factor)
    assert plain["after"]["least_factor"] < plain["before"]["least_factor"]


def test_in_words(bridge, tmp_path, capsys):
    asked(tmp_path, '{"lanes_loaded": 1}')
    told = capsys.readouterr().out
    assert "1 lanes loaded instead of 2" in told and " -> " in told and "licensed engineer" in told


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "not JSON"),
        ("[]", "mapping"),
        ('{"overlay": 3}', "no field overlay"),
        ('{"overlay_in": "3"}', "not a float"),
        ('{"overlay_in": 300}', "outside 0 to 36"),
        ("{}", "change at least one thing"),
        ('{"overlay_in": NaN}', "outside"),
    ],
)
def test_refusals_in_words(bridge, tmp_path, text, said):
    with pytest.raises(CommandError, match=said) as refusal:
        asked(tmp_path, text)
    assert refusal.value.returncode == 2


def test_an_unknown_structure(bridge, tmp_path):
    with pytest.raises(CommandError, match="no structure Z-9"):
        asked(tmp_path, "{}", number="Z-9")
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("try_change", "Q-1", str(tmp_path / "nowhere.json"))
