"""One finding as a row: every size a kind may need; the page shows just those of the kind chosen."""

from django import forms

from inspections.rules.evidence import EVIDENCE, READINGS
from inspections.rules.measured_sizes import size_faults
from inspections.vocabulary.findings import Face, FindingKind, ForceMethod
from inventory.models import Bar, Document, MemberGroup, Span, Structure

from .numbers import NumberField, WholeNumberField
from .rows import RowForm

UNIT_SIGNS = {"us/ft": "µs/ft", "F": "°F"}


def _measure(name: str, label: str) -> NumberField:
    """A number whose unit and plausible range stand in the rules' table of readings."""
    reading = READINGS[name]
    return NumberField(
        label=label, unit=UNIT_SIGNS.get(reading.unit, reading.unit), low=reading.least, high=reading.most
    )


def _chosen_row(label: str) -> forms.TypedChoiceField:
    """A row of the structure by its id; the choices are read once for the page, not once for each finding."""
    return forms.TypedChoiceField(label=label, required=False, coerce=int, empty_value=None)


class FindingForm(RowForm):
    """All measures are optional here; which of them a kind needs is asked by the rules when it is submitted."""

    word = "Finding"
    ignored_when_alone = frozenset({"span_index"})

    kind = forms.ChoiceField(label="Kind of finding", required=False)
    span_index = forms.TypedChoiceField(label="Span", required=False, coerce=int, empty_value=None)
    member = _chosen_row("Member group")
    member_number = WholeNumberField(label="Which member, from the left", low=1, high=600)
    bar = _chosen_row("Bar")
    station_ft = _measure("station_ft", "From the first bearing")
    extent_ft = _measure("extent_ft", "Length along the member")
    face = forms.ChoiceField(label="Face", required=False, choices=[("", "not given"), *Face.choices()])
    depth_in = _measure("depth_in", "Depth lost or penetrated")
    width_in = _measure("width_in", "Width")
    height_in = _measure("height_in", "Height")
    offset_in = _measure("offset_in", "Centre above mid-depth (below: minus)")
    moisture_pct = _measure("moisture_pct", "Moisture")
    moisture_depth_in = _measure("moisture_depth_in", "Depth of the pins")
    resistance_pct = _measure("resistance_pct", "Drilling resistance, of sound wood")
    wave_time_us_per_ft = _measure("wave_time_us_per_ft", "Stress-wave time")
    force_lb = _measure("force_lb", "Bar force")
    force_method = forms.ChoiceField(
        label="How the force was read", required=False, choices=[("", "not given"), *ForceMethod.choices()]
    )
    wood_temp_f = _measure("wood_temp_f", "Wood temperature")
    value_in = _measure("value_in", "Measured size")
    area_pct = _measure("area_pct", "Share of the area")
    condition_state = forms.TypedChoiceField(
        label="Condition state",
        required=False,
        coerce=int,
        empty_value=None,
        choices=[("", "not given"), (1, "1 good"), (2, "2 fair"), (3, "3 poor"), (4, "4 severe")],
    )
    photo = _chosen_row("Photo")
    note = forms.CharField(label="Note", required=False, max_length=400)
    remove = forms.BooleanField(label="Remove this finding", required=False)

    def __init__(self, *arguments, places: "Places", **named):
        super().__init__(*arguments, **named)
        self.sizes = places.sizes
        self.fields["kind"].choices = places.kinds
        self.fields["span_index"].choices = places.spans
        if not places.bars:
            for name in ("bar", "force_lb", "force_method"):
                del self.fields[name]
        for name in ("member", "bar", "photo"):
            if name not in self.fields:
                continue
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
        group = self.sizes.get(cleaned.get("member"))
        if group is not None:
            faults = size_faults(cleaned, role=group.role, width_in=group.width_in, depth_in=group.depth_in)
            for name, sentence in faults.items():
                self.add_error(name, sentence)
        return cleaned

    def values(self) -> dict:
        """The row as the action takes it: the fields of a finding by name; member, bar and photo by id."""
        return {name: value for name, value in self.cleaned_data.items() if name != "remove"}

    @property
    def size_fields(self) -> list:
        """Everything but kind, note and removal: what shows by kind."""
        return [self[name] for name in self.fields if name not in ("kind", "photo", "note", "remove")]


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
        self.sizes = {group.pk: group for group in self.members}
        self.bars = Bar.objects.filter(system__span__structure=structure).select_related("system__span")
        self.bar_choices = [
            ("", "no bar"),
            *((bar.pk, f"Span {bar.system.span.index}, {bar}") for bar in self.bars),
        ]
        self.photos = Document.objects.filter(structure=structure, kind="photo")
        self.photo_choices = [("", "no photo"), *((photo.pk, photo.title) for photo in self.photos)]
        kinds = [choice for choice in FindingKind.choices() if self.bars or choice[0] != FindingKind.BAR_FORCE]
        self.kinds = [("", "choose"), *kinds]


def fields_by_kind() -> dict[str, dict]:
    """For the page's script and its words: which sizes each kind needs, which may be given, and how to measure."""
    return {
        str(kind): {
            "needs": list(evidence.needs),
            "asks": list(evidence.asks) + (["force_lb"] if kind == FindingKind.BAR_FORCE else []),
            "how": evidence.how,
        }
        for kind, evidence in EVIDENCE.items()
    }
