"""Form and server ask for the same: findings made at random are judged by Python and by the browser's script."""

import json
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspections.rules.completeness import submission_faults
from inspections.rules.evidence import element_faults, faults_of, is_grave, questions_of, wanted_of
from inspections.rules.evidence_table import evidence_table
from inspections.rules.evidence_terms import in_figures
from inspections.rules.measured_sizes import size_faults
from inspections.vocabulary.findings import InspectionKind
from tests.makers.hostile_findings import elements, findings, knowns, too_large

pytestmark = pytest.mark.browser
SCRIPT = Path(__file__).resolve().parents[2] / "inspections/static/inspections/field/evidence.js"
CASES = 400
JUDGE = """async ([source, table, cases]) => {
  const script = await import(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
  const plain = (list) => list.map((one) => [one.field, one.words]);
  return cases.map(({ finding, known, element, visit, others, number }) => ({
    missing: plain(script.missingFrom(finding, table)),
    faults: plain(script.faultsOf(finding, table, { spanFt: known.span ? known.span.length_ft : null })),
    sizes: known.member
      ? plain(script.faultsOf(finding, table, { member: known.member }).slice(script.faultsOf(finding, table).length))
      : [],
    questions: plain(script.questionsOf(finding, table, known)),
    grave: script.isGrave(finding, table),
    element: script.elementFaults(element, table),
    visit: script.inspectionFaults(visit, others, table, "2026-06-15"),
    words: script.inFigures(number),
  }));
}"""


@st.composite
def visits(draw) -> dict:
    code = st.sampled_from(["", "N", "7", "3"])
    parts = ("deck", "superstructure", "substructure", "culvert")
    return {
        "kind": draw(st.sampled_from([str(kind) for kind in InspectionKind])),
        "field_completed_on": draw(st.sampled_from([None, "2026-06-14", "2026-06-15", "2026-06-16"])),
        **{f"{part}_rating": draw(code) for part in parts},
    }


def _made() -> list[dict]:
    made = []

    @settings(max_examples=CASES, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(findings(), knowns(), elements(), visits(), st.floats(-1e16, 1e16, allow_nan=False))
    def collect(finding, known, element, visit, number):
        case = {"finding": finding, "known": known, "element": element, "visit": visit, "number": number}
        made.append(json.loads(json.dumps(case | {"others": [finding]})))

    collect()
    plain = {"before": None, "bar": None, "span": None}
    made += [made[0] | {"finding": finding, "known": plain | {"member": member}} for finding, member in too_large()]
    return made


def _plain(told) -> list[list[str]]:
    return [[one.field, one.words] for one in told]


def _by_python(case: dict) -> dict:
    finding, known, visit = case["finding"], case["known"], case["visit"]
    member, span = known["member"], known["span"]
    done = visit["field_completed_on"]
    return {
        "missing": _plain(wanted_of(finding)),
        "faults": _plain(faults_of(finding, span_ft=span["length_ft"] if span else None)),
        "sizes": [list(one) for one in size_faults(finding, **member).items()] if member else [],
        "questions": _plain(questions_of(finding, known)),
        "grave": is_grave(finding),
        "element": element_faults(case["element"]),
        "visit": submission_faults(
            visit | {"field_completed_on": date.fromisoformat(done) if done else None},
            case["others"],
            date(2026, 6, 15),
        ),
        "words": in_figures(case["number"]),
    }


def test_both_ends_say_the_same_word_for_word(browser):
    cases = _made()
    page = browser.new_page()
    try:
        judged = page.evaluate(JUDGE, [SCRIPT.read_text(), evidence_table(), cases])
    finally:
        page.close()
    assert len(judged) == len(cases) >= CASES * 0.9
    for case, there in zip(cases, judged, strict=True):
        assert there == _by_python(case), case
    # The comparison means something: every rule was met by many of the findings.
    for part in ("missing", "faults", "sizes", "questions", "grave", "element", "visit"):
        assert sum(bool(one[part]) for one in judged) >= 20, part
    kinds = {case["finding"]["kind"] for case in cases}
    assert len(kinds) >= 23
