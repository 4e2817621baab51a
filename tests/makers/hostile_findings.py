"""Findings as a person may leave them: half filled, at the edge of every range, in words where a number belongs."""

from hypothesis import strategies as st

from inspections.rules.evidence import EVIDENCE, READINGS
from inspections.vocabulary.findings import Change, Face, ForceMethod
from inventory.vocabulary.structures import MemberRole

EMPTY = (None, "")
EDGES = (0, 0.125, 0.126, 0.25, 0.26, -0.26, -0.5, 1, 1.5, 2, 3.25, 4, 5, 29.9, 30, 30.5, 74.9, 75, 388.5, 388.4, 149.5)
FIXED = {
    "face": [*Face, "upside down"],
    "force_method": [*ForceMethod, "guess"],
    "change": [*Change],
    "note": ["as before", "x"],
    "photo": ["3f1c", 7],
    "member": [3, 4],
    "bar": [9],
    "jack": [1],
}


def _values(name: str):
    if name in FIXED:
        return st.sampled_from([*EMPTY, *(value if isinstance(value, int) else str(value) for value in FIXED[name])])
    reading = READINGS[name]
    near = [reading.least, reading.most, reading.least - 0.5, reading.most + 1, "two", "1-1/2", *EDGES]
    anything = st.floats(-1e6, 1e6, allow_nan=False) | st.integers(-400, 400_000)
    within = st.floats(reading.least, reading.most)
    return st.one_of(st.sampled_from([*EMPTY, *near]), within, within, anything)


NAMES = [*READINGS, "change"]
HABIT = {
    "condition_state": (1, 4, 4, None),
    "span_index": (1, 1, 2, None),
    "station_ft": (4.0, 11.5, 18.2, 19.0, 19.01, None),
}


@st.composite
def findings(draw) -> dict:
    """Columns by name; half of the time what the kind needs is there, so that the finer rules are reached too."""
    kind = draw(st.sampled_from([*(str(kind) for kind in EVIDENCE), "nonsense", "", None]))
    finding = {"kind": kind}
    row = EVIDENCE.get(kind)
    likely = {name for name in (*row.needs, *row.asks, "condition_state", "change")} if row else set()
    for name in NAMES:
        if name in likely and draw(st.booleans()):
            plain = st.sampled_from(HABIT[name]) if name in HABIT else _values(name)
            finding[name] = draw(plain)
        elif draw(st.integers(0, 5)) == 0:
            finding[name] = draw(_values(name))
    return finding


def _maybe(size):
    return st.one_of(size, size, size, st.none())


@st.composite
def knowns(draw) -> dict:
    """What stands beside a finding: the same one last time, its member, bar and span; any may be unknown."""
    inches = st.sampled_from([1.5, 3.0, 6.0, 12.0, 16.0])
    member = st.fixed_dictionaries(
        {"role": st.sampled_from([str(role) for role in MemberRole]), "width_in": inches, "depth_in": inches}
    )
    return {
        "before": draw(_maybe(findings())),
        "member": draw(_maybe(member)),
        "bar": draw(_maybe(st.fixed_dictionaries({"last_force_lb": st.sampled_from([None, 0, 20_000, 41_000.5])}))),
        "span": draw(_maybe(st.fixed_dictionaries({"length_ft": st.sampled_from([18.0, 12.25, 40])}))),
    }


@st.composite
def elements(draw) -> dict:
    amount = st.sampled_from([0, 1, 10, 99.4, 99.6, 100, 101, -1, None, "", "many"])
    names = ("total", "cs1", "cs2", "cs3", "cs4")
    return {"number": draw(st.sampled_from([None, "", 31, 117])), "unit": draw(st.sampled_from(["ft", ""]))} | {
        name: draw(amount) for name in names
    }


def too_large() -> list[tuple[dict, dict]]:
    """(finding, member) of every kind with a size its member limits, in members that have no room for it."""
    beam = {"role": "stringer", "width_in": 6.0, "depth_in": 16.0}
    boards = {"role": "lamination", "width_in": 1.5, "depth_in": 12.0}
    sizes = ({"depth_in": 17, "width_in": 7, "height_in": 3, "offset_in": 8}, {"depth_in": 6.3, "height_in": 20})
    kinds = [str(kind) for kind, row in EVIDENCE.items() if row.fits]
    return [
        ({"kind": kind, "face": face, **size}, member)
        for kind in kinds
        for face in ("bottom", "left", None)
        for size in sizes
        for member in (beam, boards)
    ]
