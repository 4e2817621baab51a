"""What is typed about quality assurance: a period, words that close something."""

from django import forms

from .field_days import DATE_ASKED, PlanForm


def _day(label: str) -> forms.DateField:
    return forms.DateField(
        label=label,
        required=False,
        input_formats=["%Y-%m-%d"],
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": f"{label}: {DATE_ASKED.lower()}"},
    )


class DrawForm(PlanForm):
    period_from = _day("Inspections from")
    period_to = _day("to")


class RevisionForm(PlanForm):
    revision = forms.IntegerField(widget=forms.HiddenInput, min_value=0)


class LinkForm(RevisionForm):
    """`rows` are the inspections that may be named."""

    inspection = forms.ChoiceField(
        label="The inspection that repeats it",
        error_messages={
            "required": "Choose the inspection that repeats it.",
            "invalid_choice": "Choose one of the inspections listed.",
        },
    )

    def __init__(self, *args, rows, **more):
        super().__init__(*args, **more)
        named = [(str(row.pk), f"{row.field_completed_on:%d %b %Y}, {row.inspector or 'nobody named'}") for row in rows]
        self.fields["inspection"].choices = [("", "Choose"), *named]


class WordsForm(PlanForm):
    """Asked for by the action; kept where it is refused."""

    words = forms.CharField(
        label="What came of it",
        required=False,
        max_length=300,
        error_messages={"max_length": "What came of it: write at most 300 characters."},
    )


class CloseForm(WordsForm, RevisionForm):
    field_order = ("revision", "words")
