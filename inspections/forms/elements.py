"""Element quantities by condition state: one row for each element."""

from django import forms

from inspections.vocabulary.elements import ELEMENTS, element_words

from .numbers import NumberField
from .rows import RowForm

LARGEST_QUANTITY = 1_000_000
QUANTITIES = ("total", "cs1", "cs2", "cs3", "cs4")


def _quantity(label: str) -> NumberField:
    return NumberField(label=label, low=0, high=LARGEST_QUANTITY)


class ElementForm(RowForm):
    """An empty condition state is none of it; the total must be given, and the rules ask that the states add up."""

    word = "Element row"
    number = forms.TypedChoiceField(label="Element", required=False, coerce=int, empty_value=None)
    total = _quantity("Total")
    cs1 = _quantity("State 1 good")
    cs2 = _quantity("State 2 fair")
    cs3 = _quantity("State 3 poor")
    cs4 = _quantity("State 4 severe")
    note = forms.CharField(label="Note", required=False, max_length=200)
    remove = forms.BooleanField(label="Remove", required=False)

    def __init__(self, *arguments, own: dict[int, str] | None = None, **named):
        """`own` are an agency's own elements with their units, brought in by another door: they survive a save here."""
        super().__init__(*arguments, **named)
        self.units = {n: unit for n, (_, unit) in ELEMENTS.items()} | (own or {})
        number = self.fields["number"]
        number.choices = [("", "choose"), *((n, f"{element_words(n)}, {unit}") for n, unit in self.units.items())]
        number.error_messages["invalid_choice"] = "Element: choose one of the list."
        self.fields["note"].error_messages["max_length"] = "Note: write at most 200 characters."

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("number") and "number" not in self.errors:
            self.add_error("number", "Choose the element, or clear the row.")
        if cleaned.get("total") is None and "total" not in self.errors:
            self.add_error("total", "Total: give the whole quantity of the element.")
        return cleaned

    def values(self) -> dict:
        cleaned = self.cleaned_data
        number = cleaned["number"]
        quantities = {name: cleaned.get(name) or 0.0 for name in QUANTITIES}
        return {"number": number, "unit": self.units.get(number, ""), "note": cleaned["note"], **quantities}

    @property
    def quantity_fields(self) -> list:
        return [self[name] for name in QUANTITIES]
