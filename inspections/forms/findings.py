"""One finding as a row: every size a kind may need; the page shows just those of the kind chosen."""

from django import forms

from inspections.vocabulary.findings import Face, FindingKind, ForceMethod
from inventory.models import Bar, MemberGroup, Span, Structure

from .numbers import NumberField, WholeNumberField
from .rows import RowForm

# Sizes beyond these are slips of the pen on a county's timber span.
LONGEST_FT = 400
DEEPEST_IN = 120


class FindingForm(RowForm):
    """All measures are optional here; which of them a kind needs is asked by the rules when it is submitted."""

    word = "Finding"
    ignored_when_alone = frozenset({"span_index"})

    kind = forms.ChoiceField(label="Kind of finding", required=False)
    span_index = forms.TypedChoiceField(label="Span", required=False, coerce=int, empty_value=None)
    member = forms.ModelChoiceField(
        label="Member group", required=False, queryset=MemberGroup.objects.none(), empty_label="not of one group"
    )
    member_number = WholeNumberField(label="Which member, from the left", low=1, high=400)
    bar = forms.ModelChoiceField(label="Bar", required=False, queryset=Bar.objects.none(), empty_label="no bar")
    station_ft = NumberField(label="From the first bearing", unit="ft", low=0, high=LONGEST_FT)
    extent_ft = NumberField(label="Length along the member", unit="ft", low=0, high=LONGEST_FT)
    face = forms.ChoiceField(label="Face", required=False, choices=[("", "not given"), *Face.choices()])
    depth_in = NumberField(label="Depth lost or penetrated", unit="in", low=0, high=DEEPEST_IN)
    width_in = NumberField(label="Width", unit="in", low=0, high=DEEPEST_IN)
    height_in = NumberField(label="Height", unit="in", low=0, high=DEEPEST_IN)
    offset_in = NumberField(label="Centre above mid-depth (below: minus)", unit="in", low=-DEEPEST_IN, high=DEEPEST_IN)
    moisture_pct = NumberField(label="Moisture", unit="%", low=0, high=250)
    moisture_depth_in = NumberField(label="Depth of the pins", unit="in", low=0, high=24)
    resistance_pct = NumberField(label="Drilling resistance, of sound wood", unit="%", low=0, high=150)
    wave_time_us_per_ft = NumberField(label="Stress-wave time", unit="µs/ft", low=20, high=5000)
    force_lb = NumberField(label="Bar force", unit="lb", low=0, high=500_000)
    force_method = forms.ChoiceField(
        label="How the force was read", required=False, choices=[("", "not given"), *ForceMethod.choices()]
    )
    wood_temp_f = NumberField(label="Wood temperature", unit="°F", low=-60, high=160)
    value_in = NumberField(label="Measured size", unit="in", low=-DEEPEST_IN, high=DEEPEST_IN)
    area_pct = NumberField(label="Share of the area", unit="%", low=0, high=100)
    condition_state = forms.TypedChoiceField(
        label="Condition state",
        required=False,
        coerce=int,
        empty_value=None,
        choices=[("", "not given"), (1, "1 good"), (2, "2 fair"), (3, "3 poor"), (4, "4 severe")],
    )
    note = forms.CharField(label="Note", required=False, max_length=400)
    remove = forms.BooleanField(label="Remove this finding", required=False)

    def __init__(self, *arguments, structure: Structure, places: "Places", **named):
        super().__init__(*arguments, **named)
        self.fields["kind"].choices = places.kinds
        self.fields["span_index"].choices = places.spans
        for name, rows, choices in (("member", places.members, None), ("bar", places.bars, None)):
            self.fields[name].queryset = rows
            self.fields[name].choices = getattr(places, f"{name}_choices")
        for field in self.fields.values():
            field.error_messages["invalid_choice"] = f"{field.label}: choose one of the entries of the list."
        self.fields["note"].error_messages["max_length"] = "Note: write at most 400 characters; use the notes below."
        if len(places.spans) == 2 and "span_index" not in self.initial:
            self.initial["span_index"] = places.spans[1][0]

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("kind") and "kind" not in self.errors:
            self.add_error("kind", "Choose the kind of finding, or remove the row.")
        return cleaned

    def values(self) -> dict:
        """The row as the action takes it: the fields of a finding by name; member and bar as their rows."""
        return {name: value for name, value in self.cleaned_data.items() if name != "remove"}

    @property
    def size_fields(self) -> list:
        """Everything but kind, note and removal: what shows by kind."""
        return [self[name] for name in self.fields if name not in ("kind", "note", "remove")]


class Places:
    """The places of one structure that a finding can name, read once for all rows of a page."""

    def __init__(self, structure: Structure):
        spans = list(Span.objects.filter(structure=structure))
        self.spans = [("", "not given"), *((span.index, f"Span {span.index}, {span.length_ft:g} ft") for span in spans)]
        self.members = MemberGroup.objects.filter(span__structure=structure).select_related("span")
        self.member_choices = [
            ("", "not of one group"),
            *((m.pk, f"Span {m.span.index}: {m.label or ''} {m}".replace("  ", " ")) for m in self.members),
        ]
        self.bars = Bar.objects.filter(system__span__structure=structure).select_related("system__span")
        self.bar_choices = [
            ("", "no bar"),
            *((bar.pk, f"Span {bar.system.span.index}, {bar}") for bar in self.bars),
        ]
        kinds = [choice for choice in FindingKind.choices() if self.bars or choice[0] != FindingKind.BAR_FORCE]
        self.kinds = [("", "choose"), *kinds]
