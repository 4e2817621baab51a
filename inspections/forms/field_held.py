"""What the office answers to a held record, and the file it brings."""

from django import forms

from .decisions import PlainForm

AS_IT_CAME, MINE, THEIRS, BOTH, ASIDE = "mine", "mine", "theirs", "both", "set_aside"
MEETING_CHOICES = [
    (MINE, "What the device sent counts"),
    (THEIRS, "What stands on the site counts"),
    (BOTH, "Both put together; where both changed the same, the device's counts and the other's is told in the notes"),
    (ASIDE, "Set the record aside"),
]
OTHER_CHOICES = [(AS_IT_CAME, "File it as a draft"), (ASIDE, "Set the record aside")]


class SettleForm(PlainForm):
    """One held record: what shall become of it, why, and of which structure it is where the register had none."""

    choice = forms.ChoiceField(
        label="What shall become of it",
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose what shall become of the record.",
            "invalid_choice": "Choose one of the ways offered.",
        },
    )
    number = forms.CharField(label="Structure number it belongs to", required=False, max_length=20)
    reason = forms.CharField(
        label="Reason",
        required=False,
        max_length=250,
        error_messages={"max_length": "Reason: write at most 250 characters."},
    )

    def __init__(self, *arguments, is_meeting: bool, asks_structure: bool, **named):
        super().__init__(*arguments, **named)
        self.fields["choice"].choices = MEETING_CHOICES if is_meeting else OTHER_CHOICES
        if not asks_structure:
            del self.fields["number"]


class BringForm(PlainForm):
    """The file that a device exported."""

    file = forms.FileField(
        label="File of unsent work",
        error_messages={
            "required": "Choose the file that the device saved.",
            "empty": "The file is empty: save it on the device again.",
            "missing": "Choose the file that the device saved.",
        },
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
    )
