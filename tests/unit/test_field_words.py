"""The words that stand in the form on the device are those of the register, in the same order."""

import json
from pathlib import Path

from inspections.vocabulary.condition_codes import COMPONENT_CODES
from inspections.vocabulary.elements import ELEMENTS
from inspections.vocabulary.findings import Change, CriticalKind, Face, FindingKind, ForceMethod, InspectionKind
from inventory.vocabulary.people import ContactRole
from inventory.vocabulary.structures import MemberRole

WORDS = Path(__file__).resolve().parents[2] / "inspections/static/inspections/field/form/words.js"


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
