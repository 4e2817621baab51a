"""The form that takes a photograph."""

from django import forms

from inventory.models import Document
from inventory.rules.photo import MOST_BYTES

from .entry import EntryForm


class PhotoForm(EntryForm):
    row_model = Document
    photo = forms.FileField(
        label="Photograph",
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        help_text="JPEG, PNG or WebP. The copy shown to others carries no place or phone data.",
    )
    groups = {"Photograph": ("photo", "title", "taken_on", "place")}

    def clean_photo(self) -> bytes:
        sent = self.cleaned_data["photo"]
        # One byte more than allowed is enough for the rule to refuse it; the rest need not be held in memory.
        return sent.read(MOST_BYTES + 1)
