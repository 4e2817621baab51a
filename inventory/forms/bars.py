"""Forms of the bar policy, and of a bar set aside or released."""

from django import forms

from inventory.models import Bar
from inventory.rules.bar_policy import GROUPS, SETTINGS, WHOLE
from inventory.rules.rating_settings import Setting

from .entry import EntryForm
from .rating import NOT_A_NUMBER


class BarPolicyForm(forms.Form):
    """Every setting of the table, the reason and the revision it was opened at."""

    use_required_attribute = False

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        for setting in SETTINGS.values():
            self.fields[setting.name] = forms.FloatField(
                label=setting.label,
                required=False,
                widget=forms.TextInput(
                    attrs={
                        "inputmode": "numeric" if setting.name in WHOLE else "decimal",
                        "size": 7,
                        "autocomplete": "off",
                    }
                ),
                error_messages={"invalid": NOT_A_NUMBER},
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


class SetAsideForm(EntryForm):
    row_model = Bar
    set_aside_reason = forms.CharField(
        label="What is wrong with it",
        required=False,
        max_length=200,
        help_text="Pitted, bent, or not identified, and where it was seen.",
    )
    groups = {"Why it is not to be jacked": ("set_aside_reason",)}


class ReleaseForm(EntryForm):
    row_model = Bar
    release_reason = forms.CharField(
        label="Why it may be jacked again",
        required=False,
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Who looked at it, what was measured or replaced. Kept with your name.",
    )
    groups = {"Release": ("release_reason",)}
