"""The evidence table as plain data, for the form on the device and the script of the entry page.

Both ends apply the same rows: here rules/evidence, there static/inspections/field/evidence.js. The version is a digest
of the content, so that two tables of one version are one table. A new kind of row or operator raises FORMAT.
"""

import json
from dataclasses import asdict
from functools import cache
from hashlib import sha256

from inspections.vocabulary.condition_codes import COMPONENT_CODES
from inspections.vocabulary.elements import ELEMENTS
from inspections.vocabulary.findings import (
    RATED_PARTS,
    Change,
    Component,
    CriticalKind,
    Face,
    FindingGroup,
    FindingKind,
    ForceMethod,
    InspectionKind,
)

from .completeness import FULL_KINDS
from .evidence import LEAST_TOLERANCE, TOLERANCE
from .evidence_kinds import EVERY, EVIDENCE
from .evidence_readings import READINGS
from .evidence_terms import BEYOND_FT, Evidence
from .grave import BEFORE_RECORDING
from .measured_sizes import NEXT, SIDE_BY_SIDE, SLACK_IN

FORMAT = 1


def evidence_table() -> dict:
    """Everything the form needs to ask for the evidence, as JSON-able data with its "version" (16 hex digits)."""
    return json.loads(_as_text())


@cache
def _as_text() -> str:
    content = _content()
    version = sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()[:16]
    return json.dumps({"version": version, **content})


def _content() -> dict:
    return {
        "format": FORMAT,
        "readings": {name: asdict(reading) for name, reading in READINGS.items()},
        "kinds": {str(kind): _row(row) | {"label": FindingKind.label_of(kind)} for kind, row in EVIDENCE.items()},
        "every": _row(EVERY),
        "groups": [
            {
                "code": str(group),
                "label": group.label,
                "kinds": [str(k) for k, r in EVIDENCE.items() if r.group == group],
            }
            for group in FindingGroup
        ],
        "faces": _list(Face),
        "methods": _list(ForceMethod),
        "changes": _list(Change),
        "critical": _list(CriticalKind),
        "inspection_kinds": _list(InspectionKind),
        "full_kinds": [str(kind) for kind in FULL_KINDS],
        "components": [{"code": part, "label": label} for part, label in RATED_PARTS.items()],
        "wanted_components": [str(c) for c in (Component.DECK, Component.SUPERSTRUCTURE, Component.SUBSTRUCTURE)],
        "codes": [{"code": code, "word": word, "means": means} for code, word, means in COMPONENT_CODES],
        "states": [{"code": 1, "label": "1 good"}, {"code": 2, "label": "2 fair"}]
        + [{"code": 3, "label": "3 poor"}, {"code": 4, "label": "4 severe"}],
        "elements": [{"number": n, "name": name, "unit": unit} for n, (name, unit) in ELEMENTS.items()],
        "tolerance": {"ratio": TOLERANCE, "least": LEAST_TOLERANCE},
        "beyond_ft": BEYOND_FT,
        "member": {"slack_in": SLACK_IN, "side_by_side": sorted(str(role) for role in SIDE_BY_SIDE), "next": NEXT},
        "before_recording": BEFORE_RECORDING,
    }


def _list(words) -> list[dict]:
    return [{"code": str(member), "label": member.label} for member in words]


def _row(row: Evidence) -> dict:
    """One kind as data; words of the closed lists become their codes by themselves."""
    return asdict(row) | {"shown": _shown(row)}


def _shown(row: Evidence) -> list[str]:
    """Every field a form may show for this kind, needed ones first."""
    also = [name for needs in row.further for name in needs.fields]
    return list(dict.fromkeys((*row.needs, *row.asks, *also)))
