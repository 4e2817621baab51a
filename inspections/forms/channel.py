"""A section laid down, and its soundings typed or pasted as two columns."""

import re

from django import forms

from inspections.models import ChannelSection, ChannelSurvey

from .decisions import PlainForm
from .numbers import NumberField, number_from

MOST_ROWS = 200
COLUMNS = re.compile(r"[;\t]|\s+|,(?!\d{3}\b)")


def _feet(label: str) -> NumberField:
    return NumberField(label=label, unit="ft", low=-30, high=150)


class SectionForm(PlainForm):
    """Where the line runs and what depths are measured from."""

    name = forms.CharField(
        label="Section",
        max_length=60,
        error_messages={"required": "Name the section: upstream face, 50 ft downstream.",
                        "max_length": "Section: write at most 60 characters."},
    )  # fmt: skip
    datum = forms.CharField(
        label="Depths measured down from",
        max_length=120,
        error_messages={"required": "Say what the depths are measured down from: a mark that stays.",
                        "max_length": "Datum: write at most 120 characters."},
    )  # fmt: skip
    foundation_ft = _feet("Underside of footing or pile tips, below the datum (empty: not known)")

    @classmethod
    def of(cls, section: ChannelSection) -> "SectionForm":
        names = ("name", "datum", "foundation_ft")
        return cls(prefix=f"s{section.pk}", initial={name: getattr(section, name) for name in names})


class SoundingsForm(PlainForm):
    """One section at one inspection. A row is station and depth; both columns may be pasted from a sheet."""

    section = forms.TypedChoiceField(
        label="Section", coerce=int,
        error_messages={"required": "Choose the section.", "invalid_choice": "Choose one of the sections."},
    )  # fmt: skip
    points = forms.CharField(
        label="Soundings: station and depth in feet, one pair in a row",
        required=False,
        max_length=12_000,
        widget=forms.Textarea(attrs={"rows": 12, "class": "soundings", "autocomplete": "off", "spellcheck": "false"}),
        error_messages={"max_length": f"Soundings: at most {MOST_ROWS} rows."},
    )
    water_ft = _feet("Water surface below the datum")
    method = forms.CharField(
        label="How it was sounded (rod, line, echo sounder)", required=False, max_length=40,
        error_messages={"max_length": "How it was sounded: write at most 40 characters."},
    )  # fmt: skip
    note = forms.CharField(
        label="Note", required=False, max_length=200, error_messages={"max_length": "Note: at most 200 characters."}
    )

    def __init__(self, *arguments, sections: list[ChannelSection], **named):
        super().__init__(*arguments, **named)
        self.fields["section"].choices = [(row.pk, f"{row.name} (down from {row.datum})") for row in sections]
        self.names = {row.pk: row.name for row in sections}

    def clean_points(self) -> list[list[float]]:
        """Pairs of numbers; a first line without a number is a heading."""
        lines = [line for line in self.cleaned_data["points"].splitlines() if line.strip()]
        if lines and not any(character.isdigit() for character in lines[0]):
            lines = lines[1:]
        pairs, wrong = [], []
        for place, line in enumerate(lines, start=1):
            words = [word for word in COLUMNS.split(line.strip()) if word]
            numbers = [number_from(word) for word in words]
            if len(numbers) != 2 or None in numbers:
                wrong.append(f"Soundings, row {place}: '{line.strip()[:40]}' is not a station and a depth in feet.")
            else:
                pairs.append(numbers)
        if wrong:
            raise forms.ValidationError(wrong[:5])
        return pairs

    def values(self) -> dict:
        given = self.cleaned_data
        return {**given, "name": self.names[given["section"]]}


def typed_points(survey: ChannelSurvey) -> str:
    """Stored soundings as they are typed."""
    return "\n".join(f"{station:g}\t{depth:g}" for station, depth in survey.points)
