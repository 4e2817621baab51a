"""The form of when a county inspects."""

from django import forms

from inventory.rules.inspection_policy import GROUPS, SETTINGS
from inventory.rules.rating_settings import Setting

NOT_A_NUMBER = "Enter a whole number in digits, such as 24."


class InspectionPolicyForm(forms.Form):
    """Every setting of the table, the reason, the word that the State approved, and the revision it was opened at."""

    use_required_attribute = False

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        for setting in SETTINGS.values():
            self.fields[setting.name] = forms.FloatField(
                label=setting.label,
                required=False,
                widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 6, "autocomplete": "off"}),
                error_messages={"invalid": NOT_A_NUMBER},
            )
        self.fields["longer_is_meant"] = forms.BooleanField(
            label="The State approved in writing what asks for less than the federal rule", required=False
        )
        self.fields["reason"] = forms.CharField(label="Reason for the change", required=False, max_length=300)
        self.fields["revision"] = forms.IntegerField(widget=forms.HiddenInput, min_value=0)

    def rows(self) -> list[tuple[str, list[tuple[Setting, forms.BoundField]]]]:
        """Headings with (setting, field)."""
        return [(heading, [(setting, self[setting.name]) for setting in group]) for heading, group in GROUPS]

    def values(self) -> dict:
        """What the action takes."""
        return {name: self.cleaned_data[name] for name in SETTINGS}

    def refuse(self, refusal) -> None:
        for name, sentence in refusal.faults.items():
            self.add_error(name if name in self.fields else None, sentence)
