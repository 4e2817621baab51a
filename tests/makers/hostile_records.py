"""Any value in any place of a record from the field."""

import json

from hypothesis import strategies as st

SCALARS = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False), st.text(max_size=12), st.just("\ud800\x00")
)
ANYTHING = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=6), inner, max_size=3)),
    max_leaves=8,
)
PLACES = st.sampled_from(
    [
        ("format",),
        ("kind",),
        ("structure",),
        ("device_now",),
        ("clock_correction_s",),
        ("made_by",),
        ("resolves",),
        ("inspection",),
        ("inspection", "identity"),
        ("inspection", "kind"),
        ("inspection", "base_revision"),
        ("inspection", "leader"),
        ("inspection", "field_completed_on"),
        ("inspection", "air_temp_f"),
        ("inspection", "deck_rating"),
        ("inspection", "rating_reasons"),
        ("inspection", "notes"),
        ("inspection", "asked"),
        ("inspection", "submit"),
        ("findings",),
        ("findings", 0),
        ("findings", 0, "identity"),
        ("findings", 0, "kind"),
        ("findings", 0, "member"),
        ("findings", 0, "span_index"),
        ("findings", 0, "station_ft"),
        ("findings", 0, "repeats_lb"),
        ("findings", 0, "face"),
        ("findings", 0, "carries_on"),
        ("elements",),
        ("elements", 0, "number"),
        ("elements", 0, "total"),
        ("channel",),
        ("channel", 0),
        ("photos",),
        ("photos", 0),
        ("photos", 0, "identity"),
    ]
)


def changed(record: dict, place: tuple, value) -> dict:
    copy = json.loads(json.dumps(record))
    here = copy
    for step in place[:-1]:
        here = here[step]
    here[place[-1]] = value
    return copy
