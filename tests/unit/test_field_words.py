"""The words that stand in the form on the device are those of the register, in the same order."""

import json
from pathlib import Path

from inspections.rules.completeness import FULL_KINDS
from inspections.vocabulary.condition_codes import COMPONENT_CODES
from inspections.vocabulary.elements import ELEMENTS
from inspections.vocabulary.findings import Change, CriticalKind, Face, FindingKind, ForceMethod, InspectionKind
from inventory.vocabulary.people import ContactRole
from inventory.vocabulary.structures import MemberRole

FORM = Path(__file__).resolve().parents[2] / "inspections/static/inspections/field/form"
WORDS = FORM / "words.js"


def test_words_on_the_device_are_those_of_the_register():
    text = WORDS.read_text(encoding="utf-8")
    kept = json.loads(text[text.index("{") : text.rindex("}") + 1])
    lists = {
        "kinds": FindingKind,
        "faces": Face,
        "methods": ForceMethod,
        "changes": Change,
        "critical_kinds": CriticalKind,
        "inspection_kinds": InspectionKind,
        "member_roles": MemberRole,
        "contact_roles": ContactRole,
    }
    wanted = {name: [list(pair) for pair in words.choices()] for name, words in lists.items()}
    wanted["component_codes"] = [list(code) for code in COMPONENT_CODES]
    wanted["elements"] = [[number, name, unit] for number, (name, unit) in ELEMENTS.items()]
    assert kept == wanted


def test_kinds_that_look_at_the_whole_structure_are_the_same_at_both_ends():
    """Without its evidence table the form still asks about each finding of last time and names these kinds itself."""
    line = next(
        each for each in (FORM / "finish.js").read_text(encoding="utf-8").splitlines() if "FULL_KINDS =" in each
    )
    assert json.loads(line[line.index("[") : line.rindex("]") + 1]) == [str(kind) for kind in FULL_KINDS]
