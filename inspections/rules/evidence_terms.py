"""The terms in which the evidence table is written: conditions, needs, limits and questions, as data.

Nothing here is code of one kind of finding: Python and the form on the device read the same rows by the same few rules,
so a kind is added by writing a row. The operators:

====== ==========================================================================================
is     the value is just this one
isnt   it is another, or none was given
in     it is one of these
below  it is a number less than this
above  it is a number greater than this
under  it is a number less than `value` times another one (`of`), less `more`
over   it is a number greater than `value` times another one (`of`), plus `more`
off    it differs from another one (`of`) by more than `value` times that one
least  it is a number not less than this
given  something was given (a number 0 is something)
====== ==========================================================================================

`of` names another field of the finding, or what is known beside it: `before.depth_in` (the same finding last time),
`member.depth_in`, `bar.last_force_lb`, `span.length_ft`. A condition on a number that is not there does not hold.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import floor, isfinite

from inspections.vocabulary.findings import Change

BEYOND_FT = 1.0
"""A place may be this far past the end of the span: bearings are wide and tapes slack [model]."""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One field of a finding: words for people, the title of its box, unit, least and most plausible value.

    `least` None: not a number. `sign` is the unit as it is printed; `whole`: a count.
    """

    label: str
    title: str = ""
    unit: str = ""
    sign: str = ""
    least: float | None = None
    most: float | None = None
    whole: bool = False


@dataclass(frozen=True)
class When:
    """A condition on one field; see the operators above."""

    field: str
    op: str
    value: object = None
    of: str = ""
    more: float = 0.0


STILL_THERE = When("change", "isnt", Change.GONE)
"""What is marked repaired or gone is not grave any more."""


@dataclass(frozen=True, kw_only=True)
class Needs:
    """Fields wanted where every condition of `when` holds: all of them, or with `any_of` one of them.

    `above_zero` wants more than nothing: 0 counts as not given. Where `any_of` lacks all, the last field is named.
    `words` stand in place of the field's own name.
    """

    fields: tuple[str, ...]
    when: tuple[When, ...] = ()
    any_of: bool = False
    above_zero: bool = False
    words: str = ""


def photo_wanted(*when: When) -> Needs:
    """What is grave is shown: a photograph, or words that say why there is none."""
    words = "a photograph, or a note that says why there is none,"
    return Needs(fields=("photo", "note"), any_of=True, when=when, words=words)


@dataclass(frozen=True, kw_only=True)
class Fits:
    """The most a field may be on its member: one of the member's sizes (in), or the larger of two.

    `unless_side_by_side`: not where the member's width is that of one of many side by side. `faces` empty: any face.
    """

    field: str
    name: str
    sizes: tuple[str, ...]
    word: str
    faces: tuple[str, ...] = ()
    unless_side_by_side: bool = False


@dataclass(frozen=True, kw_only=True)
class Asks:
    """A question about something unlikely. It never blocks: the inspector answers "as read" and goes on.

    In `words`, {value} is what was typed and {other} what it is compared with (`of` of the first condition).
    """

    field: str
    when: tuple[When, ...]
    words: str


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """What a kind of finding needs, what else may be given, and the words that tell the inspector how."""

    group: str
    needs: tuple[str, ...]
    asks: tuple[str, ...] = ()
    faces: tuple[str, ...] = ()
    above_zero: tuple[str, ...] = ()
    further: tuple[Needs, ...] = ()
    fits: tuple[Fits, ...] = ()
    within_member: bool = False
    questions: tuple[Asks, ...] = ()
    grave: tuple[tuple[When, ...], ...] = ()
    how: str = ""


def is_given(finding: Mapping, field: str) -> bool:
    """Whether anything stands in a field; a number 0 and False are something."""
    value = finding.get(field)
    return value is not None and value != ""


def number(value: object) -> float | None:
    """The value where it is a finite number; True and False are none."""
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return value if is_number and isfinite(value) else None


def other_of(when: When, finding: Mapping, known: Mapping) -> float | None:
    """The number a condition compares with: of the finding itself, or of what is known beside it."""
    owner, _, name = when.of.rpartition(".")
    holder = known.get(owner) if owner else finding
    return number(holder.get(name)) if holder else None


def holds(when: When, finding: Mapping, known: Mapping | None = None) -> bool:
    """Whether one condition holds for a finding; `known` maps "before", "member", "bar" and "span" to their values."""
    value = finding.get(when.field)
    if when.op in ("is", "isnt"):
        return (value == when.value) == (when.op == "is")
    if when.op == "in":
        return value in when.value
    if when.op == "given":
        return is_given(finding, when.field)
    amount = number(value)
    if amount is None:
        return False
    if when.op in ("below", "above", "least"):
        return {"below": amount < when.value, "above": amount > when.value, "least": amount >= when.value}[when.op]
    other = other_of(when, finding, known or {})
    if other is None:
        return False
    if when.op == "under":
        return amount < when.value * other - when.more
    if when.op == "over":
        return amount > when.value * other + when.more
    return abs(amount - other) > when.value * abs(other)


def in_figures(value: float) -> str:
    """A number in words: 0.75, 12, 250000; at most four digits after the point, none of them idle.

    Rounded by a floor and not by format(), whose ties differ from those of a browser.
    """
    size = abs(value)
    if size >= 1e15:
        return "a number far too large"
    text = repr(floor(size * 1e4 + 0.5) / 1e4).removesuffix(".0")
    return text if text == "0" or value >= 0 else f"-{text}"
