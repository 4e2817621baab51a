"""Forms of a setting record: its start, its delivery list in rows, its checklist, a step."""

from django import forms
from django.forms import formset_factory

from inventory.models import SettingRecord, SettingStep
from inventory.rules.refusals import Refused
from inventory.rules.setting import LAYERS, MOST_PASSES, SURFACING, asks_of

from .entry import NOT_A_NUMBER, EntryForm, not_vast, plain_digits

SPARE_ROWS = 4
MOST_ROWS = 120
VALUE_LABELS = {
    "force_lb": ("Force per bar reached", "lb"),
    "thickness_in": ("Thickness laid", "in"),
    "count": ("How many", ""),
}


class StartForm(EntryForm):
    row_model = SettingRecord
    groups = {"Setting of a span": ("span", "started_on", "foreman", "note")}

    def __init__(self, *args, spans=(), **more):
        super().__init__(*args, **more)
        self.fields["span"] = forms.ModelChoiceField(label="Span", queryset=spans, empty_label=None)
        self.fields["span"].unit = ""
        self.fields["started_on"].label = "Begun on"
        self.fields = {name: self.fields[name] for name in ("span", "started_on", "foreman", "note")}


class RecordForm(EntryForm):
    row_model = SettingRecord
    groups = {
        "Force per bar at stressing": ("target_force_lb", "target_source"),
        "Who and what": ("foreman", "note"),
    }


def _number(label: str, kind=forms.FloatField) -> forms.Field:
    return plain_digits(
        kind(
            label=label,
            required=False,
            widget=forms.TextInput(attrs={"inputmode": "decimal", "size": 7, "autocomplete": "off"}),
            error_messages={"invalid": NOT_A_NUMBER},
            validators=[not_vast],
        )
    )


class BeamForm(forms.Form):
    """One line of the delivery list."""

    use_required_attribute = False
    mark = forms.CharField(label="Mark", max_length=30, required=False)
    place = _number("Place", forms.IntegerField)
    kind = forms.CharField(label="Kind", max_length=40, required=False)
    length_ft = _number("Length, ft")
    depth_in = _number("Depth, in")
    weight_lb = _number("Weight, lb")
    lift_first_ft = _number("Lift 1, ft")
    lift_second_ft = _number("Lift 2, ft")
    checked_on = forms.DateField(
        label="Seen and accepted", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    note = forms.CharField(label="Note", max_length=200, required=False)


class _Beams(forms.BaseFormSet):
    """Lines left empty, lines only proposed and lines ticked for removal are not part of the list."""

    def add_fields(self, form, index):
        super().add_fields(form, index)
        form.fields["DELETE"].label = "Remove"

    @property
    def lines(self) -> list[forms.Form]:
        return [
            form
            for form in self.forms
            if not form.cleaned_data.get("DELETE")
            and (form.cleaned_data.get("mark") or (form.has_changed() and any(_given(form))))
        ]

    def refuse(self, refusal: Refused, lines: list[forms.Form]) -> list[str]:
        """Put each sentence beside its entry; what belongs to none is returned."""
        rest = []
        for name, sentence in refusal.faults.items():
            number, _, field = name.partition(".")
            if field and number.isdecimal() and int(number) < len(lines) and field in lines[int(number)].fields:
                lines[int(number)].add_error(field, sentence)
            else:
                rest.append(sentence)
        return rest


def _given(form: forms.Form) -> list:
    return [value for name, value in form.cleaned_data.items() if name != "DELETE" and value not in (None, "")]


BeamLines = formset_factory(
    BeamForm, formset=_Beams, extra=SPARE_ROWS, can_delete=True, max_num=MOST_ROWS, absolute_max=MOST_ROWS + 80
)


class ChecklistForm(forms.Form):
    use_required_attribute = False
    passes = forms.IntegerField(
        label="Stressing passes planned",
        error_messages={"required": "Enter how many passes are planned.", "invalid": NOT_A_NUMBER},
        widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 4}),
        help_text=f"1 to {MOST_PASSES}. The whole sequence is repeated because bars lose force as others are pulled.",
    )
    each_beam = forms.BooleanField(label="One step for each beam", required=False)
    surfacing = forms.ChoiceField(
        label="Surfacing", choices=[(key, words) for key, (words, _) in SURFACING.items()], initial="better"
    )
    revision = forms.IntegerField(widget=forms.HiddenInput)

    def refuse(self, refusal: Refused) -> None:
        for name, sentence in refusal.faults.items():
            self.add_error(name if name in self.fields else None, sentence)


class StepForm(EntryForm):
    """A step done; what it asks depends on its key."""

    row_model = SettingStep
    unit_weight_pcf = forms.FloatField(
        label="Unit weight of the layer",
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        help_text="Dead load; about 140 is usual for asphalt (LRFD Table 3.5.1-1, memory).",
        error_messages={"invalid": NOT_A_NUMBER},
    )
    groups = {
        "Done": ("done_on", "seen_by", "value", "unit_weight_pcf", "note"),
        "Only where earlier steps were not done that day": ("passed_over_by", "passed_over_reason"),
    }

    def __init__(self, *args, step: SettingStep, **more):
        super().__init__(*args, **more)
        asks = asks_of(step.key)
        if asks:
            self.fields["value"].label, self.fields["value"].unit = VALUE_LABELS[asks]
            self.fields["value"].help_text = ""
        else:
            del self.fields["value"]
        if step.key not in LAYERS or step.key == "tack":
            del self.fields["unit_weight_pcf"]
        else:
            self.fields["unit_weight_pcf"].unit = "lb/ft³"
        self.fields["done_on"].label = "Done on"
        self.fields["seen_by"].label = "Seen by (a hold needs a name)" if step.is_hold else "Seen by"
        self.fields["passed_over_by"].label = "Decided by"
        self.fields["passed_over_reason"].label = "Why earlier steps are passed over"
