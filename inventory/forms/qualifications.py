"""Forms of the registry of inspectors."""

from django import forms

from inventory.models import Qualification

from .entry import EntryForm


class QualificationForm(EntryForm):
    row_model = Qualification
    groups = {
        "Who and what": ("person", "kind", "basis", "evidence"),
        "From when to when": ("held_since", "expires_on"),
        "Refresher training": ("refresher_hours", "refreshed_on"),
    }
    told = {
        "kind": "A team leader is on site at each initial, routine, in-depth and underwater inspection.",
        "expires_on": "Left open where the State sets no last day; the refresher's months count all the same.",
        "refresher_hours": "In the months up to the last refresher. Too few hours do not start the months anew.",
    }

    def __init__(self, *args, people=None, **more):
        super().__init__(*args, **more)
        if people is None:
            del self.fields["person"]
        else:
            self.fields["person"] = forms.ModelChoiceField(
                queryset=people, label="Person", empty_label="Choose a person",
                error_messages={"invalid_choice": "Choose one of the people listed."},
            )  # fmt: skip
        for name, words in self.told.items():
            self.fields[name].help_text = words
        for field in self.fields.values():
            field.required = False  # the rule asks for what is needed in words of the trade
            if isinstance(field, forms.DateField):
                field.error_messages["invalid"] = "Write the date as year-month-day."
        self.fields["held_since"].label = "Gained on"
        self.fields["expires_on"].label = "Last day, if one is set"
        self.fields["refresher_hours"].unit = "hours"


class WithdrawForm(forms.Form):
    use_required_attribute = False
    revision = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    reason = forms.CharField(label="Why it is withdrawn", required=False, max_length=200)
