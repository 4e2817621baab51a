"""An appraisal of scour and a plan of action, as an engineer types them."""

from django import forms

from inspections.vocabulary.findings import ScourResult

from .decisions import PlainForm


def _words(label: str, most: int, *, rows: int = 2) -> forms.CharField:
    return forms.CharField(
        label=label,
        required=False,
        max_length=most,
        widget=forms.Textarea(attrs={"rows": rows}),
        error_messages={"max_length": f"{label}: write at most {most} characters."},
    )


def _day(label: str) -> forms.DateField:
    return forms.DateField(
        label=label,
        required=False,
        input_formats=["%Y-%m-%d"],
        error_messages={"invalid": f"{label}: write the date as year-month-day, for example 2026-05-14."},
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )


class _SeenForm(PlainForm):
    """Carries what the person read, so that nobody writes over a newer state unseen; 0 is that there was none."""

    seen = forms.IntegerField(
        min_value=0,
        widget=forms.HiddenInput,
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value"), "This page was sent without what it was opened at: open it again."
        ),
    )

    def values(self) -> dict:
        given = dict(self.cleaned_data)
        return given | {"seen": given["seen"] or None}


class AppraisalForm(_SeenForm):
    """The rules say what is lacking."""

    on = _day("Day of the appraisal")
    result = forms.ChoiceField(
        label="Result",
        required=False,
        choices=ScourResult.choices(),
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Choose one of the results listed."},
    )
    foundation = forms.CharField(
        label="Foundations: kind and depth as known", required=False, max_length=200,
        error_messages={"max_length": "Foundations: write at most 200 characters."},
    )  # fmt: skip
    basis = _words("What it rests on", 300)
    reasons = _words("Reasons", 4000, rows=4)


class PlanForm(_SeenForm):
    """When to watch, how, when to close, when to open again."""

    watch_when = _words("Watched when", 300)
    watch_how = _words("Watched how, by whom, with what", 300)
    close_when = _words("Closed when", 300)
    reopen_when = _words("Opened again when", 300)
    countermeasures = _words("Countermeasures, and by when", 4000, rows=3)
    review_on = _day("Looked at again on")
