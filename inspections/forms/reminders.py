"""What a supervisor types about a reminder; the rules judge it, the action writes it."""

from django import forms

from inventory.models import Person

DATE_ASKED = "Write the date as year-month-day, for example 2026-05-14."


class ReminderForm(forms.Form):
    """`revision` says which copy the person read; problems are told as sentences with the place they belong to."""

    use_required_attribute = False
    revision = forms.IntegerField(widget=forms.HiddenInput, min_value=0)

    def problems(self) -> list[tuple[str, str]]:
        told = []
        for name, sentences in self.errors.items():
            anchor = self[name].id_for_label if name in self.fields else ""
            told += [(anchor, sentence) for sentence in sentences]
        return told


class PersonField(forms.ModelChoiceField):
    """A person of the agency, or nobody."""

    def __init__(self, **more):
        super().__init__(
            queryset=Person.objects.none(),
            required=False,
            empty_label="Nobody",
            error_messages={"invalid_choice": "Choose one of the people listed."},
            **more,
        )


class AssignForm(ReminderForm):
    to = PersonField(label="Assign to")

    def __init__(self, *args, people, **more):
        super().__init__(*args, **more)
        self.fields["to"].queryset = people


def _day(label: str) -> forms.DateField:
    return forms.DateField(
        label=label,
        input_formats=["%Y-%m-%d"],
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": f"{label}: {DATE_ASKED.lower()}", "invalid": f"{label}: {DATE_ASKED.lower()}"},
    )


class DeferForm(ReminderForm):
    to = _day("Put off to")
    reason = forms.CharField(
        label="Reason",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={
            "required": "Give the reason for putting this off; it is kept with the reminder.",
            "max_length": "Reason: write at most 300 characters.",
        },
    )


class DoneForm(ReminderForm):
    on = _day("Done on")
    note = forms.CharField(
        label="What was done",
        required=False,
        max_length=200,
        error_messages={"max_length": "What was done: write at most 200 characters."},
    )
