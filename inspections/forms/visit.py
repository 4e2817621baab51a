"""Who looked, when and in what weather; the component ratings; the notes."""

from django import forms

from inspections.vocabulary.findings import Component

from .meanings import component_choices
from .numbers import NumberField

DATE_REFUSED = "Field portion completed: write the date as year-month-day, for example 2026-05-14."


class VisitForm(forms.Form):
    """The head and the foot of the entry sheet. Nothing is required for a draft; submitting asks for the rest."""

    use_required_attribute = False
    field_completed_on = forms.DateField(
        label="Field portion completed",
        required=False,
        error_messages={"invalid": DATE_REFUSED},
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        input_formats=["%Y-%m-%d"],
    )
    team = forms.CharField(label="Team", required=False, max_length=160)
    weather = forms.CharField(label="Weather", required=False, max_length=120)
    air_temp_f = NumberField(label="Air temperature", unit="°F", low=-60, high=130)
    deck_rating = forms.ChoiceField(label="Deck", required=False, choices=component_choices)
    superstructure_rating = forms.ChoiceField(label="Superstructure", required=False, choices=component_choices)
    substructure_rating = forms.ChoiceField(label="Substructure", required=False, choices=component_choices)
    channel_rating = forms.ChoiceField(label="Channel", required=False, choices=component_choices)
    culvert_rating = forms.ChoiceField(label="Culvert", required=False, choices=component_choices)
    notes = forms.CharField(label="Notes", required=False, max_length=8000, widget=forms.Textarea(attrs={"rows": 5}))

    def __init__(self, *arguments, **named):
        super().__init__(*arguments, **named)
        for name, field in self.fields.items():
            if name.endswith("_rating"):
                field.error_messages["invalid_choice"] = f"{field.label}: choose one of the codes 9 to 0 or N."
            if isinstance(field, forms.CharField) and field.max_length:
                field.error_messages["max_length"] = (
                    f"{field.label}: write at most {field.max_length} characters; move the rest to the notes."
                )

    def values(self) -> dict:
        return dict(self.cleaned_data)

    def problems(self) -> list[tuple[str, str]]:
        return [(self[name].id_for_label, sentence) for name, told in self.errors.items() for sentence in told]

    def component_fields(self) -> list[tuple[str, object]]:
        """(component code, bound field) in the order of the record's items."""
        return [(part.value, self[f"{part.value}_rating"]) for part in Component]
