"""What the engineer types on the review page: the three verbs, and what is asked for when an inspection goes back."""

from collections.abc import Mapping

from django import forms

from inspections.rules.asked import asked_words
from inspections.vocabulary.findings import FindingKind
from inventory.rules.photo import MOST_BYTES

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

    no_danger = forms.CharField(
        label="Why what is asked to be reported is no danger (only where you do not report it)",
        required=False,
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"max_length": "Why it is no danger: write at most 300 characters."},
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
        rows.append({"finding": finding, "field": field, "words": asked_words(field, words)})
    for name in data:
        finding = name.removeprefix("words-")
        if name.startswith("words-") and finding not in told and (words := _words_of(data, finding)):
            rows.append({"finding": finding, "field": "", "words": words})
    return rows


def _words_of(data: Mapping, finding: str) -> str:
    return data.get(f"words-{finding}", "").strip()[:MOST_WORDS]


class AskedSheet:
    """The short form on top of the entry sheet: what was asked for, each with its box, and room to say why not.

    The box of a finding's field is taken from its row below, so that there is one box for one thing.
    """

    def __init__(self, inspection, rows, data: Mapping | None = None, files: Mapping | None = None):
        self.asked, self.data, self.files = inspection.asked, data, files or {}
        self.forms = {str(form["identity"].value() or ""): form for form in rows.forms}
        self.items = [self._item(index, row) for index, row in enumerate(self.asked)]

    def _item(self, index: int, row: Mapping) -> dict:
        form = self.forms.get(row["finding"]) if row["finding"] else None
        name = f"asked-{index}-why_not"
        field, wants_photo = None, bool(row["finding"]) and row["field"] == "photo"
        if form is not None and row["field"] in form.fields and not wants_photo and row["field"] not in form.moved:
            field = form[row["field"]]
            form.moved = form.moved | {row["field"]}
        return {
            "words": row["words"],
            "of": self._of(row, form),
            "field": field,
            "anchor": "" if field or form or not row["field"] else f"id_{row['field']}",
            "photo": f"asked-{index}-photo" if wants_photo else "",
            "name": name,
            "why_not": row.get("why_not", "") if self.data is None else self.data.get(name, ""),
            "is_answered": row.get("answered", False),
        }

    def _of(self, row: Mapping, form) -> str:
        if not row["finding"]:
            return "The inspection"
        if form is None:
            return "A bar reading, or a finding taken out"
        number = [id(other) for other in self.forms.values()].index(id(form)) + 1
        return f"Finding {number}, {FindingKind.label_of(form['kind'].value()).lower()}"

    def reasons(self) -> list[dict]:
        """Rows with what was typed beside them."""
        return [row | {"why_not": item["why_not"]} for row, item in zip(self.asked, self.items, strict=True)]

    def photos(self) -> list[tuple[str, bytes]]:
        """(identity of the finding, received bytes) of every photograph chosen here."""
        chosen = [(row, self.files.get(f"asked-{index}-photo")) for index, row in enumerate(self.asked)]
        # One byte more than allowed is enough for the rule to refuse it.
        return [(row["finding"], sent.read(MOST_BYTES + 1)) for row, sent in chosen if sent]
