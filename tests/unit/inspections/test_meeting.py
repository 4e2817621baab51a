"""Laws of putting two versions of one inspection together; small worlds are walked through by hypothesis."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspections.rules.meeting import differences, united

# A machine with other work to do draws slowly; that is no fault of the rule.
calm = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
VALUES = st.sampled_from(["", "a", "b", "c"])
VISITS = st.fixed_dictionaries({"team": VALUES, "notes": VALUES})
ROWS = st.dictionaries(st.sampled_from(["1", "2", "3"]), VALUES, max_size=3)
CONTENTS = st.tuples(VISITS, ROWS).map(
    lambda pair: {
        "inspection": pair[0],
        "findings": [{"identity": key, "kind": "other", "note": note} for key, note in pair[1].items()],
        "elements": [],
    }
)


def words(part, row):
    return f"{row['identity']}:{row.get('note', '')}"


def rows(content):
    return {row["identity"]: row["note"] for row in content["findings"]}


@calm
@given(CONTENTS, CONTENTS)
def test_one_with_itself_is_itself(mine, base):
    assert differences(mine, mine, base) == []
    content, told = united(mine, mine, base, words)
    assert rows(content) == rows(mine) and content["inspection"]["team"] == mine["inspection"]["team"] and told == []


@calm
@given(CONTENTS, CONTENTS)
def test_what_only_one_changed_is_taken_from_that_one(base, changed):
    for mine, theirs in ((changed, base), (base, changed)):
        content, told = united(mine, theirs, base, words)
        assert rows(content) == rows(changed) and told == []
        assert {name: content["inspection"].get(name) for name in ("team", "notes")} == changed["inspection"]


@calm
@given(CONTENTS, CONTENTS, CONTENTS)
def test_no_finding_that_either_touched_vanishes_without_a_word(mine, theirs, base):
    content, told = united(mine, theirs, base, words)
    kept, before = rows(content), rows(base)
    for key, note in rows(mine).items():
        if before.get(key) != note:
            assert kept[key] == note
    for key, note in rows(theirs).items():
        if before.get(key) != note and kept.get(key) != note:
            assert any(f"{key}:{note}" in sentence for sentence in told)


@calm
@given(CONTENTS, CONTENTS)
def test_without_a_base_everything_seen_stays(mine, theirs):
    content, _told = united(mine, theirs, None, words)
    assert set(rows(content)) == set(rows(mine)) | set(rows(theirs))


def test_both_changed_one_field_mine_counts_and_theirs_is_told():
    base = {"inspection": {"team": "a"}, "findings": [], "elements": []}
    mine = {"inspection": {"team": "b"}, "findings": [], "elements": []}
    theirs = {"inspection": {"team": "c"}, "findings": [], "elements": []}
    content, told = united(mine, theirs, base, words)
    assert content["inspection"]["team"] == "b" and told == ["team by the other: c."]
