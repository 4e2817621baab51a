"""What an engineer, a supervisor or a crew types when deciding; the rules judge it, the action writes it."""

from django import forms

from inspections.rules.posting import EMERGENCY_FIELDS, PostingTerms
from inspections.vocabulary.findings import InspectionKind
from inventory.rules.photo import MOST_BYTES
from inventory.vocabulary.structures import Restriction

from .numbers import NumberField

RESTRICTIONS = [choice for choice in Restriction.choices() if choice[0] != Restriction.UNKNOWN]
AT_ONCE = [choice for choice in RESTRICTIONS if choice[0] != Restriction.OPEN]
GENERAL_TONS = ("single_ton", "single_unit_ton", "combination_ton", "double_ton")
TON_FIELDS = (*GENERAL_TONS, *EMERGENCY_FIELDS)


class PlainForm(forms.Form):
    """Sentences at the field come from here and from the rules, not from the browser."""

    use_required_attribute = False

    def problems(self) -> list[tuple[str, str]]:
        told = []
        for name, sentences in self.errors.items():
            anchor = self[name].id_for_label if name in self.fields else ""
            told += [(anchor, sentence) for sentence in sentences]
        return told


def _reason(label: str, asked: str, *, required: bool = True) -> forms.CharField:
    return forms.CharField(
        label=label,
        required=required,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": asked, "max_length": f"{label}: write at most 500 characters."},
    )


def _tons(label: str) -> NumberField:
    return NumberField(label=label, unit="tons", low=0, high=100)


def _date(label: str) -> forms.DateField:
    shown = f"{label}: write the date as year-month-day, for example 2026-05-14."
    return forms.DateField(
        label=label,
        input_formats=["%Y-%m-%d"],
        error_messages={"required": shown, "invalid": shown},
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )


class StartForm(PlainForm):
    kind = forms.ChoiceField(
        label="Kind of inspection",
        choices=InspectionKind.choices(),
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose the kind of inspection.",
            "invalid_choice": "Choose one of the kinds of inspection listed.",
        },
    )


class RevisionForm(PlainForm):
    """Carries the revision the person read, so that nobody decides over a newer state unseen."""

    revision = forms.IntegerField(
        min_value=0,
        widget=forms.HiddenInput,
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value"), "This page was sent without its revision: open it again."
        ),
    )
    order_number = forms.CharField(
        label="Order or resolution number",
        required=False,
        max_length=60,
        error_messages={"max_length": "Order number: write at most 60 characters."},
    )


class AdoptForm(RevisionForm):
    """Adopt as recommended."""

    reason = _reason("Remark (may stay empty)", "", required=False)


class OtherwiseForm(RevisionForm):
    """Adopt other terms, with the reason."""

    restriction = forms.ChoiceField(
        label="Restriction",
        choices=[("", "choose"), *RESTRICTIONS],
        error_messages=dict.fromkeys(("required", "invalid_choice"), "Choose open, posted or closed."),
    )
    single_ton = _tons("One gross limit")
    single_unit_ton = _tons("Single unit")
    combination_ton = _tons("Combination, one trailer")
    double_ton = _tons("Combination, two trailers")
    emergency_single_axle_ton = _tons("Emergency, single axle")
    emergency_tandem_ton = _tons("Emergency, tandem")
    emergency_gross_ton = _tons("Emergency, gross")
    reason = _reason("Reason", "Say why the terms differ from the recommendation; the reason is kept with the order.")

    def terms(self) -> PostingTerms:
        given = self.cleaned_data
        return PostingTerms(restriction=given["restriction"], **{name: given[name] for name in TON_FIELDS})

    @property
    def ton_fields(self) -> list:
        return [self[name] for name in GENERAL_TONS]

    @property
    def emergency_fields(self) -> list:
        return [self[name] for name in EMERGENCY_FIELDS]


class WithdrawForm(RevisionForm):
    order_number = None
    reason = _reason("Reason for withdrawing", "Say why the recommendation is withdrawn.")


class RestrictForm(PlainForm):
    restriction = forms.ChoiceField(
        label="What to do",
        choices=AT_ONCE,
        widget=forms.RadioSelect,
        error_messages=dict.fromkeys(("required", "invalid_choice"), "Choose closed or posted."),
    )
    single_ton = _tons("Gross limit, if posted")
    reason = _reason("What was seen", "Say what was seen: the engineer must judge it.")


class SignDayForm(PlainForm):
    """The day is asked for; photograph and place are wanted and may be left out."""

    on = _date("Date seen")
    photo = forms.FileField(
        label="Photograph of the sign",
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp", "capture": "environment"}),
        error_messages=dict.fromkeys(
            ("invalid", "missing", "empty"), "The photograph did not arrive whole: choose it again."
        ),
    )
    lon = forms.FloatField(required=False, widget=forms.HiddenInput)
    lat = forms.FloatField(required=False, widget=forms.HiddenInput)

    def __init__(self, *arguments, **named):
        super().__init__(*arguments, **named)
        for name in ("lon", "lat"):
            self.fields[name].error_messages["invalid"] = "The place is no number: press “Take the place” again."

    def clean_photo(self) -> bytes | None:
        sent = self.cleaned_data["photo"]
        # One byte more than allowed is enough for the rule to refuse it.
        return sent.read(MOST_BYTES + 1) if sent else None
