"""What the engineer types on the review page: the three verbs, and what is asked for when an inspection goes back."""

from collections.abc import Mapping

from django import forms

from inspections.rules.evidence_readings import READINGS

from .decisions import PlainForm

NO_REVISION = "This page was sent without its revision: open it again."
MOST_WORDS = 240


def _hidden(*, required: bool) -> forms.IntegerField:
    return forms.IntegerField(
        required=required,
        min_value=0,
        widget=forms.HiddenInput,
        error_messages=dict.fromkeys(("required", "invalid", "min_value"), NO_REVISION),
    )


class ReviewAdoptForm(PlainForm):
    """Accept the inspection, and adopt the recommendation read beside it."""

    revision = _hidden(required=True)
    proposal = _hidden(required=False)
    proposal_revision = _hidden(required=False)
    order_number = forms.CharField(
        label="Order or resolution number",
        required=False,
        max_length=60,
        error_messages={"max_length": "Order number: write at most 60 characters."},
    )
    reason = forms.CharField(
        label="Remark (may stay empty)",
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"max_length": "Remark: write at most 500 characters."},
    )

    def read(self) -> tuple[int, int] | None:
        """(id, revision) of the recommendation that stood on the page."""
        given = self.cleaned_data
        return None if given["proposal"] is None else (given["proposal"], given["proposal_revision"] or 0)


class ReviewSendBackForm(PlainForm):
    """The reason; what is asked for stands beside each finding and is read by `asked_from`."""

    revision = _hidden(required=True)
    reason = forms.CharField(
        label="What must be looked at again (may stay empty where something is asked for above)",
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"max_length": "What must be looked at again: write at most 400 characters."},
    )


def asked_from(data: Mapping) -> list[dict]:
    """Rows of what is asked, from ticks "ask" = "<finding>:<field>" and words "words-<finding>"; "" is the visit."""
    ticked = [value.partition(":")[::2] for value in data.getlist("ask")]
    rows, told = [], set()
    for finding, field in ticked:
        words = _words_of(data, finding)
        told.add(finding)
        rows.append({"finding": finding, "field": field, "words": _asking(field, words)})
    for name in data:
        finding = name.removeprefix("words-")
        if name.startswith("words-") and finding not in told and (words := _words_of(data, finding)):
            rows.append({"finding": finding, "field": "", "words": words})
    return rows


def _words_of(data: Mapping, finding: str) -> str:
    return data.get(f"words-{finding}", "").strip()[:MOST_WORDS]


def _asking(field: str, words: str) -> str:
    label = READINGS[field].label if field in READINGS else field.replace("_", " ")
    return f"Give {label}: {words}" if words else f"Give {label}."
