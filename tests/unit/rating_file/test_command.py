"""manage.py rate: without a database, every factor and step as JSON, and exit codes that a script can rely on."""

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import call_command
from pypdf import PdfReader

from inventory.mechanics.rating import KERNEL_VERSION, rate_span
from tests.published.examples import FOLDER, NAMES, span_of

ROOT = Path(__file__).resolve().parents[3]


def run(*arguments: str) -> tuple[int, str, str]:
    """The command in this process; pytest-django refuses any query of a test without a database."""
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("rate", *arguments, stdout=out, stderr=err)
    except SystemExit as left:
        return left.code, out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def path_of(name: str) -> str:
    return str(FOLDER / f"{name}.json")


@pytest.mark.parametrize("name", NAMES)
def test_every_factor_and_step_of_an_example_is_printed(name):
    """The file's answer is the kernel's own for the same case: nothing lost on the way out."""
    code, out, err = run(path_of(name))
    answer = json.loads(out, parse_constant=lambda word: pytest.fail(word))
    rating = rate_span(span_of(name))
    assert (code, err) == (0, "")
    (span,) = answer["results"]["spans"]
    assert len(span["results"]) == len(rating.results)
    assert [row["rating_factor"] for row in span["results"]] == [row.rating_factor for row in rating.results]
    assert sum(len(part["steps"]) for part in answer["trace"]) == sum(len(part.steps) for part in rating.trace)
    assert answer["kernel_version"] == KERNEL_VERSION and answer["table_versions"] == rating.table_versions
    assert answer["results"]["cautions"] and answer["results"]["posting"]["action"] and len(answer["digest"]) == 64


def test_methods_and_vehicles_can_be_chosen():
    _code, out, _err = run(path_of(NAMES[0]), "--method", "ASR", "--vehicles", "HS20,EV3")
    (span,) = json.loads(out)["results"]["spans"]
    assert {row["vehicle"] for row in span["results"]} == {"HS20", "EV3"}
    assert {row.get("method", "ASR") for row in span["results"]} == {"ASR"}
    code, out, err = run(path_of(NAMES[0]), "--vehicles", "T99")
    assert code == 2 and out == "" and "No rating vehicle T99" in err


def test_a_bridge_that_cannot_be_rated_leaves_with_one_and_its_reasons(tmp_path):
    bridge = json.loads(Path(path_of("sawn-stringers-18-ft")).read_text())
    del bridge["spans"][0]["members"][0]["spacing_ft"]
    file = tmp_path / "bridge.json"
    file.write_text(json.dumps(bridge))
    code, out, _err = run(str(file))
    answer = json.loads(out)
    assert code == 1 and not answer["is_rated"]
    assert any("spacing" in reason for reason in answer["reasons"])
    code, out, _err = run(str(file), path_of(NAMES[0]), "--brief")
    assert code == 1 and "NOT RATED" in out and "least legal factor" in out


def test_a_hole_out_of_the_section_is_a_reason_not_a_crash(tmp_path):
    bridge = json.loads(Path(path_of("sawn-stringers-18-ft")).read_text())
    loss = {"kind": "void", "from_ft": 7, "to_ft": 9, "width_in": 2, "height_in": 6, "offset_in": 7}
    bridge["spans"][0]["members"][0]["losses"] = [loss]
    file = tmp_path / "bridge.json"
    file.write_text(json.dumps(bridge))
    code, out, _err = run(str(file))
    assert code == 1 and "reaches out of the section" in out


def test_bad_files_leave_with_two_and_nothing_else(tmp_path):
    broken = tmp_path / "broken.json"
    broken.write_text('{"name": "x", "spans": [{"span_ft": -3}]}')
    for name, told in ((str(broken), "spans[0].span_ft is -3"), (str(tmp_path / "none.json"), "cannot be read")):
        code, out, err = run(name)
        assert code == 2 and out == "" and told in err and "Traceback" not in err
    assert run()[0] == 2


def test_no_database_is_touched_and_none_is_made(tmp_path):
    """A database that answers nobody, and a state folder that stays without a database file; input by a pipe."""
    environment = os.environ | {
        "SPANLEDGER_STATE": str(tmp_path / "state"),
        "DATABASE_URL": "postgresql://nobody@127.0.0.1:1/none",
    }
    command = [sys.executable, "manage.py", "rate", "-", "--vehicles", "HS20"]
    data = Path(path_of("sawn-stringers-18-ft")).read_bytes()
    done = subprocess.run(command, cwd=ROOT, env=environment, input=data, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    answer = json.loads(done.stdout)
    bending = [r for r in answer["results"]["spans"][0]["results"] if r["limit_state"] == "bending"]
    inventory = next(r for r in bending if r["level"] == "inventory")
    # D1 [computed]: (32.078 - 2.3625) / 38.400 = 0.774
    assert inventory["rating_factor"] == pytest.approx(0.774, abs=0.001)
    assert not list((tmp_path / "state").glob("*.sqlite3*"))
    bad = subprocess.run(command, cwd=ROOT, env=environment, input=b"{", capture_output=True, check=False)
    assert bad.returncode == 2 and bad.stdout == b"" and b"Traceback" not in bad.stderr


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_of_a_file_is_a_pdf_with_its_factors(name, tmp_path):
    """Read back by an independent library: the name, the digest and the governing factor stand on it."""
    path = tmp_path / "sheet.pdf"
    code, out, err = run(path_of(name), "--sheet", str(path))
    assert (code, err) == (0, "")
    answer = json.loads(out)
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())
    assert answer["name"] in text and "never an order" in text
    least = min(answer["results"]["governing"], key=lambda row: row["operating_factor"])
    assert f"{least['operating_factor']:.2f}" in text


def test_a_sheet_is_of_one_bridge_and_where_it_can_be_written(tmp_path):
    code, _out, err = run(path_of(NAMES[0]), path_of(NAMES[1]), "--sheet", str(tmp_path / "sheet.pdf"))
    assert code == 2 and "one bridge" in err
    code, _out, err = run(path_of(NAMES[0]), "--sheet", str(tmp_path / "none" / "sheet.pdf"))
    assert code == 2 and "cannot be written" in err


def test_a_bridge_not_rated_has_a_sheet_that_says_so(tmp_path):
    bridge = json.loads(Path(path_of("sawn-stringers-18-ft")).read_text())
    del bridge["spans"][0]["members"][0]["spacing_ft"]
    (tmp_path / "bridge.json").write_text(json.dumps(bridge))
    code, _out, _err = run(str(tmp_path / "bridge.json"), "--sheet", str(tmp_path / "sheet.pdf"))
    text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "sheet.pdf").pages)
    assert code == 1 and "spacing" in text


def test_the_form_can_be_printed():
    code, out, _err = run("--schema")
    assert code == 0 and json.loads(out)["$defs"]["Bridge"]
