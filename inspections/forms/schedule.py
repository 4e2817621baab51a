"""What is typed on a structure's schedule: its own intervals, and that something happened."""

from django import forms

from inspections.rules.inspection_needs import EVENT_KINDS, NEED_KINDS
from inspections.vocabulary.findings import VisitCause

from .decisions import PlainForm

DATE_ASKED = "write the date as year-month-day, for example 2026-05-14."
TOO_LONG = "write at most 300 characters."


def _day(label: str, *, required: bool) -> forms.DateField:
    return forms.DateField(
        label=label,
        required=required,
        input_formats=["%Y-%m-%d"],
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": f"{label}: {DATE_ASKED}", "invalid": f"{label}: {DATE_ASKED}"},
    )


class NeedForm(PlainForm):
    """An interval of the structure's own."""

    kind = forms.ChoiceField(
        label="Kind",
        choices=[(kind.value, kind.label) for kind in NEED_KINDS],
        error_messages={"required": "Choose the kind.", "invalid_choice": "Choose one of the kinds listed."},
    )
    interval_months = forms.IntegerField(
        label="Every",
        widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 4, "autocomplete": "off"}),
        error_messages={
            "required": "Interval: enter whole months.",
            "invalid": "Interval: enter whole months in digits.",
        },
    )
    first_due_on = _day("The first by", required=False)
    reason = forms.CharField(
        label="Reason",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"max_length": f"Reason: {TOO_LONG}"},
    )
    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=400)

    def rows_seen(self) -> list[int]:
        """The rows in force that the page showed."""
        parts = self.cleaned_data.get("seen", "").split(",")
        return [int(part) for part in parts if part.isascii() and part.isdigit() and len(part) < 19]


class ReasonForm(PlainForm):
    """Why something is ended or set aside; `revision` where the row has one."""

    reason = forms.CharField(
        label="Reason",
        max_length=300,
        required=False,
        error_messages={"max_length": f"Reason: {TOO_LONG}"},
    )
    revision = forms.IntegerField(widget=forms.HiddenInput, min_value=0, required=False)


class EventForm(PlainForm):
    """Something happened."""

    cause = forms.ChoiceField(
        label="What happened",
        choices=VisitCause.choices(),
        error_messages={
            "required": "What happened: choose one from the list.",
            "invalid_choice": "What happened: choose one from the list.",
        },
    )
    kind = forms.ChoiceField(
        label="What is owed",
        required=False,
        choices=[("", "As the event asks"), *((kind.value, kind.label) for kind in EVENT_KINDS)],
        error_messages={"invalid_choice": "What is owed: choose one from the list."},
    )
    happened_on = _day("On which day", required=True)
    words = forms.CharField(
        label="In words",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"max_length": f"In words: {TOO_LONG}"},
    )
