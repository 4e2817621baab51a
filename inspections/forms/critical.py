"""What is typed about a critical finding: by somebody on the road first, by the office afterwards."""

import uuid

from django import forms
from django.utils import timezone

from inspections.models import CriticalNotice
from inspections.vocabulary.findings import CriticalKind
from inventory.rules.photo import MOST_BYTES
from inventory.vocabulary.people import ContactRole

from .decisions import PlainForm, RestrictForm

MOMENT = "%Y-%m-%dT%H:%M"
PHOTO_TYPES = {"accept": "image/jpeg,image/png,image/webp"}


def _words(label: str, asked: str = "", *, rows: int = 3) -> forms.CharField:
    messages = {"max_length": f"{label}: write at most 500 characters."}
    return forms.CharField(
        label=label,
        required=bool(asked),
        max_length=500,
        widget=forms.Textarea(attrs={"rows": rows}),
        error_messages=messages | ({"required": asked} if asked else {}),
    )


def _moment(label: str) -> forms.DateTimeField:
    shown = f"{label}: write the day and the time, for example 2026-05-14 16:30."
    return forms.DateTimeField(
        label=label,
        input_formats=[MOMENT, "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"],
        error_messages={"required": shown, "invalid": shown},
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MOMENT),
    )


class PhotoFormPart(PlainForm):
    """A photograph sent with the form, or one of the structure's."""

    photo = forms.FileField(
        label="Photograph",
        required=False,
        widget=forms.FileInput(attrs=PHOTO_TYPES),
        error_messages={
            "empty": "The photograph is empty. Choose it again.",
            "invalid": "Choose the photograph again.",
        },
    )

    def clean_photo(self) -> bytes | None:
        sent = self.cleaned_data["photo"]
        # One byte more than allowed is enough for the rule to refuse it; the rest need not be held in memory.
        return sent.read(MOST_BYTES + 1) if sent else None


class ReportForm(PhotoFormPart):
    """The report from the road: the kind is the button that was pressed."""

    identity = forms.UUIDField(
        widget=forms.HiddenInput,
        error_messages=dict.fromkeys(
            ("required", "invalid"), "This page was sent without its identity: open it again and report once more."
        ),
    )
    kind = forms.ChoiceField(
        label="What it is",
        choices=CriticalKind.choices(),
        error_messages=dict.fromkeys(("required", "invalid_choice"), "Press the button that says what it is."),
    )
    words = _words("What you see, and where", rows=2)
    told = forms.TypedMultipleChoiceField(
        label="Already called",
        required=False,
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "One of those called is not on the list any more: choose again."},
    )

    def __init__(self, *args, contacts=(), **more):
        super().__init__(*args, **more)
        self.fields["told"].choices = [(row.pk, f"{row.get_role_display()}: {row.name}") for row in contacts]
        self.initial.setdefault("identity", uuid.uuid4())


class TellForm(PlainForm):
    """Whom was told; times are the county's."""

    whom = forms.CharField(
        label="Who was told",
        max_length=120,
        error_messages={
            "required": "Say who was told: a name or an office.",
            "max_length": "Who was told: write at most 120 characters.",
        },
    )
    role = forms.ChoiceField(
        label="What they are",
        required=False,
        choices=[("", "not on the list"), *ContactRole.choices()],
        error_messages={"invalid_choice": "Choose what they are from the list."},
    )
    how = forms.ChoiceField(
        label="How",
        choices=CriticalNotice._meta.get_field("how").choices,
        error_messages=dict.fromkeys(("required", "invalid_choice"), "Choose how they were told."),
    )
    told_at = _moment("When")
    note = forms.CharField(
        label="What they said (may stay empty)",
        required=False,
        max_length=300,
        error_messages={"max_length": "What they said: write at most 300 characters."},
    )
    is_status_report = forms.BooleanField(label="This was the status report to the State", required=False)

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        self.initial.setdefault("told_at", timezone.localtime())


class RevisionPart(PlainForm):
    revision = forms.IntegerField(
        min_value=0,
        widget=forms.HiddenInput,
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value"), "This page was sent without its revision: open it again."
        ),
    )


class PlanForm(RevisionPart):
    words = _words("What will be done", "Say what will be done: shoring, repair, replacement, and who does it.")
    until = forms.DateField(
        label="To be done by",
        input_formats=["%Y-%m-%d"],
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages=dict.fromkeys(
            ("required", "invalid"), "To be done by: write the date as year-month-day, for example 2026-05-14."
        ),
    )


class SafeForm(RevisionPart):
    words = _words(
        "What stands at the road now", "Say what stands at the road now: barricades, shoring, a closed lane."
    )


class UnsafeForm(RevisionPart):
    words = _words("What changed", "Say what changed: why is it safe no longer?")


class PhotoChosenForm(RevisionPart, PhotoFormPart):
    """Words with a photograph: sent now, or one that the structure has already."""

    kept = forms.TypedChoiceField(
        label="or one of the structure's photographs",
        required=False,
        coerce=int,
        empty_value=None,
        error_messages={"invalid_choice": "That photograph is not one of this structure's: choose again."},
    )

    field_order = ("revision", "words", "photo", "kept")

    def __init__(self, *args, photos=(), **more):
        super().__init__(*args, **more)
        named = [(row.pk, f"{row.title}, {timezone.localtime(row.at):%d %b %Y}") for row in photos]
        self.fields["kept"].choices = [("", "none chosen"), *named]


class CloseForm(PhotoChosenForm):
    words = _words("What was done", "Say what was done: a critical finding is not closed without it.")


class DescribeForm(PhotoChosenForm):
    words = _words("What you see, and where", "Say what you see, and where.")


class RestrictForCriticalForm(RestrictForm):
    """Restrict at once because of a critical finding."""


class SentForm(PlainForm):
    """The status report went out, for every open finding at once."""

    whom = forms.CharField(
        label="Sent to",
        max_length=120,
        error_messages={
            "required": "Say to whom it was sent: a name or an office.",
            "max_length": "Sent to: write at most 120 characters.",
        },
    )
    how = forms.ChoiceField(
        label="How",
        choices=CriticalNotice._meta.get_field("how").choices,
        initial="mail",
        error_messages=dict.fromkeys(("required", "invalid_choice"), "Choose how it was sent."),
    )
