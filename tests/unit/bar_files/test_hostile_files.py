"""Files that nobody should send to the doors: sentences and exit code 2, in bounded time and memory.

Bounds: a file that is refused costs no more than a few seconds (the limit below is ten times what was measured); the
sentences are at most 41. Signs a terminal obeys (ECMA-48 control sequences begin with ESC) are never printed.
"""

import json
import time

import pytest
from django.core.management import call_command

from inspections.reckoning.forecast_file import read_rows
from inspections.reckoning.json_file import BadFile
from inspections.reckoning.stressing_file import read_row
from tests.unit.bar_files.examples import row_to_stress, rows_to_forecast

DOORS = {"plan_stressing": read_row, "forecast_force": read_rows}
MANY = 300_000


def wide(values: list[str], name: str = "bars") -> bytes:
    return f'{{"{name}":[{",".join(values)}]}}'.encode()


HOSTILE = {
    "empty": b"",
    "not UTF-8": b'\xff\xfe{"a":1}',
    "nested deep": b"[" * 1_000_000,
    "nested deep with names": b'{"a":' * 100_000,
    "a name twice": b'{"name":"a","name":"b"}',
    "names by the thousand": json.dumps({f"k{i}": 1 for i in range(60_000)}).encode(),
    "bars by the thousand": wide(["1"] * MANY),
    "rows by the thousand": wide(["{}"] * 50_000, "rows"),
    "no numbers by the thousand": wide(["NaN"] * MANY),
    "a long number": b'{"bars":' + b"9" * 6000 + b"}",
    "half a character": b'{"name":"\\ud800"}',
    "half a character as a name": b'{"\\uDFFF":1}',
    "NUL": b"\x00" * 10,
}


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("door", DOORS)
def test_a_hostile_file_is_a_few_sentences_in_a_few_seconds(door, name):
    begun = time.process_time()
    with pytest.raises(BadFile) as bad:
        DOORS[door](HOSTILE[name])
    assert time.process_time() - begun < 30
    assert 1 <= len(bad.value.sentences) <= 41
    assert all(0 < len(sentence) < 400 for sentence in bad.value.sentences)


def test_half_a_character_in_a_good_file_is_refused_not_printed():
    for read, value in ((read_row, row_to_stress()), (read_rows, rows_to_forecast())):
        whole, half = (json.dumps(value | {"note": note}).encode() for note in ("\U0001f600", "\ud800"))
        assert read(whole) is not None
        with pytest.raises(BadFile, match="half of a character"):
            read(half)


@pytest.mark.parametrize("door", DOORS)
def test_no_sign_that_a_terminal_obeys_is_printed(door, tmp_path, capsys):
    bad = tmp_path / "bad.json"
    bad.write_text('{"\\u001b[2J\\u001b[31mred\\u0007":1}', encoding="utf-8")
    with pytest.raises(SystemExit) as left:
        call_command(door, str(bad))
    told = capsys.readouterr().err
    assert left.value.code == 2 and "[31mred" in told
    assert "\x1b" not in told and "\x07" not in told
