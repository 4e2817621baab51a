"""Who looked, when and in what weather; the component ratings; the notes."""

from django import forms

from inspections.models import Inspection
from inspections.vocabulary.findings import RATED_PARTS
from inventory.models import Person

from .meanings import component_choices
from .numbers import NumberField

DATE_REFUSED = "Field portion completed: write the date as year-month-day, for example 2026-05-14."
LONGEST_REASON = 300


def _rating(label: str) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, required=False, choices=component_choices)


def _why(label: str) -> forms.CharField:
    return forms.CharField(label=f"Why the {label.lower()} is rated so", required=False, max_length=LONGEST_REASON)


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
    leader = forms.ModelChoiceField(
        label="Team leader on site",
        queryset=Person.objects.none(),
        required=False,
        empty_label="Not named",
        error_messages={"invalid_choice": "Team leader on site: choose one of the people listed."},
    )
    team = forms.CharField(label="Team", required=False, max_length=160)
    weather = forms.CharField(label="Weather", required=False, max_length=120)
    air_temp_f = NumberField(label="Air temperature", unit="°F", low=-60, high=130)
    deck_rating = _rating(RATED_PARTS["deck"])
    superstructure_rating = _rating(RATED_PARTS["superstructure"])
    substructure_rating = _rating(RATED_PARTS["substructure"])
    channel_rating = _rating(RATED_PARTS["channel"])
    culvert_rating = _rating(RATED_PARTS["culvert"])
    protection_rating = _rating(RATED_PARTS["protection"])
    scour_rating = _rating(RATED_PARTS["scour"])
    underwater_rating = _rating(RATED_PARTS["underwater"])
    deck_reason = _why(RATED_PARTS["deck"])
    superstructure_reason = _why(RATED_PARTS["superstructure"])
    substructure_reason = _why(RATED_PARTS["substructure"])
    channel_reason = _why(RATED_PARTS["channel"])
    culvert_reason = _why(RATED_PARTS["culvert"])
    protection_reason = _why(RATED_PARTS["protection"])
    scour_reason = _why(RATED_PARTS["scour"])
    underwater_reason = _why(RATED_PARTS["underwater"])
    notes = forms.CharField(label="Notes", required=False, max_length=8000, widget=forms.Textarea(attrs={"rows": 5}))

    def __init__(self, *arguments, leaders=None, **named):
        super().__init__(*arguments, **named)
        if leaders is not None:
            self.fields["leader"].queryset = leaders
        for name, field in self.fields.items():
            if name.endswith("_rating"):
                field.error_messages["invalid_choice"] = f"{field.label}: choose one of the codes 9 to 0 or N."
            if isinstance(field, forms.CharField) and field.max_length:
                field.error_messages["max_length"] = (
                    f"{field.label}: write at most {field.max_length} characters; move the rest to the notes."
                )

    @classmethod
    def initial_of(cls, inspection: Inspection) -> dict:
        """What is stored, by field; the reasons stand in one column."""
        reasons = {f"{part}_reason": inspection.rating_reasons.get(part, "") for part in RATED_PARTS}
        columns = [name for name in cls.base_fields if not name.endswith("_reason")]
        return {name: getattr(inspection, name) for name in columns} | reasons

    def values(self) -> dict:
        given = dict(self.cleaned_data)
        reasons = {part: given.pop(f"{part}_reason").strip() for part in RATED_PARTS}
        return given | {"rating_reasons": {part: why for part, why in reasons.items() if why}}

    def problems(self) -> list[tuple[str, str]]:
        return [(self[name].id_for_label, sentence) for name, told in self.errors.items() for sentence in told]

    def component_fields(self) -> list[tuple[str, object, object]]:
        """(component code, rating, reason) as bound fields, in the order of the record's items."""
        return [(part, self[f"{part}_rating"], self[f"{part}_reason"]) for part in RATED_PARTS]
