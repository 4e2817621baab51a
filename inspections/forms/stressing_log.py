"""What a crew with gloves types beside a jack: few boxes, numbers only, nothing lost when one is refused."""

from django import forms

from inspections.rules.stressing.stops import PullSeen
from inspections.vocabulary.findings import ForceMethod
from inventory.models import Person

from .decisions import PlainForm, RevisionForm
from .numbers import NumberField

READ_BY = [
    (ForceMethod.LIFT_OFF.value, "Lift-off"),
    (ForceMethod.LOAD_CELL.value, "Load cell"),
]
OLD_PAGE = "This page was sent without the pull it belongs to: open the log again. Nothing was saved."
TOO_MUCH = 10_000_000.0


def _hidden(field: type[forms.Field], **more) -> forms.Field:
    return field(widget=forms.HiddenInput, error_messages=dict.fromkeys(("required", "invalid"), OLD_PAGE), **more)


def _keypad(label: str, unit: str, keypad: str = "decimal") -> NumberField:
    field = NumberField(label=label, unit=unit, low=-TOO_MUCH, high=TOO_MUCH)
    field.widget.attrs["inputmode"] = keypad
    return field


def _words(label: str, most: int) -> forms.CharField:
    return forms.CharField(
        label=label,
        required=False,
        max_length=most,
        error_messages={"max_length": f"{label}: write at most {most} characters."},
    )


class LogPullForm(PlainForm):
    """One bar of one pull. `neighbours`: (bar index, name) of the bars beside it that may be read again."""

    identity = _hidden(forms.UUIDField)
    pull_number = _hidden(forms.IntegerField)
    bar_index = _hidden(forms.IntegerField)
    gauge_psi = _keypad("Gauge reached", "psi", "numeric")
    elongation_in = _keypad("Bar moved, by tape", "in")
    locked_lb = _keypad("Force read after lock-off", "lb", "numeric")
    force_method = forms.ChoiceField(
        label="Read by",
        required=False,
        choices=READ_BY,
        error_messages={"invalid_choice": "Read by: choose lift-off or load cell."},
    )
    plate_sunk_in = _keypad("Plate sank into the wood", "in")
    did_not_reach = forms.BooleanField(label="The bar did not reach its pull", required=False)
    gauge_is_so = forms.BooleanField(
        label="I read the gauge again: it really stood there. Save it and hold the day.", required=False
    )
    order_reason = _words("Why this pull is made before its turn", 150)
    note = _words("Note", 200)

    def __init__(self, *arguments, neighbours=(), is_out_of_order: bool = False, asks_gauge: bool = False, **named):
        super().__init__(*arguments, **named)
        self.beside = list(neighbours)
        self.is_out_of_order, self.asks_gauge = is_out_of_order, asks_gauge
        for index, name in self.beside:
            for moment in ("before", "after"):
                self.fields[f"n{index}_{moment}"] = _keypad(f"Bar {name} {moment}", "lb", "numeric")

    def clean(self):
        cleaned = super().clean()
        for index, name in self.beside:
            before, after = cleaned.get(f"n{index}_before"), cleaned.get(f"n{index}_after")
            if (before is None) != (after is None) and not {f"n{index}_before", f"n{index}_after"} & set(self.errors):
                missing = "before" if before is None else "after"
                self.add_error(
                    f"n{index}_{missing}",
                    f"Bar {name}: give its force before and after the pull, or neither.",
                )
        return cleaned

    def seen(self) -> PullSeen:
        """What the rules judge; call it when the form is valid."""
        given = self.cleaned_data
        neighbours = tuple(
            (index, given[f"n{index}_before"], given[f"n{index}_after"])
            for index, _ in self.beside
            if given.get(f"n{index}_before") is not None
        )
        names = ("gauge_psi", "elongation_in", "locked_lb", "plate_sunk_in", "did_not_reach", "gauge_is_so")
        read = given["locked_lb"] is not None or bool(neighbours)
        return PullSeen(
            **{name: given[name] for name in names},
            force_method=(given["force_method"] or ForceMethod.LIFT_OFF.value) if read else "",
            neighbours=neighbours,
            note=given["note"],
            order_reason=given["order_reason"],
        )

    @property
    def typed(self) -> list[tuple[str, str]]:
        """(label, text) of every box that was filled, for a page that cannot show the boxes again."""
        shown = [(name, field) for name, field in self.fields.items() if not self[name].is_hidden]
        pairs = [(field.label, str(self.data.get(self.add_prefix(name), "")).strip()) for name, field in shown]
        return [(label, text) for label, text in pairs if text]

    def beside_rows(self) -> list[dict]:
        return [
            {"name": name, "before": self[f"n{index}_before"], "after": self[f"n{index}_after"]}
            for index, name in self.beside
        ]


class TakeBackForm(PlainForm):
    reason = forms.CharField(
        label="Why it is taken back",
        max_length=200,
        error_messages={
            "required": "Say why the entry is taken back; it stays in the log with the reason.",
            "max_length": "Why it is taken back: write at most 200 characters.",
        },
    )


class ResumeForm(RevisionForm):
    """The engineer's word on a held day."""

    order_number = None
    reason = forms.CharField(
        label="What was found, and why the crew may go on",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={
            "required": "Say what was found and why the crew may go on; it is kept with the day.",
            "max_length": "The reason: write at most 300 characters.",
        },
    )
    most_lb = _keypad("Greatest pull from now on, empty for as released", "lb", "numeric")
    plan_before = forms.BooleanField(label="Go on with the plan as it was before the last revision", required=False)
    leave_out = forms.TypedMultipleChoiceField(
        label="Bars left as they stand for the rest of the day",
        required=False,
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "Choose the bars to leave out from the list."},
    )

    def __init__(self, *arguments, stopped=(), **named):
        super().__init__(*arguments, **named)
        self.fields["leave_out"].choices = [(index, f"Bar {name}") for index, name in stopped]


class FinishForm(RevisionForm):
    """The end of the day. `bars`: (index, name) of the row, each with the force read once the last jack was off."""

    order_number = None
    method = forms.ChoiceField(
        label="How these forces were read",
        choices=READ_BY,
        widget=forms.RadioSelect,
        error_messages=dict.fromkeys(
            ("required", "invalid_choice"), "Say how the forces were read: by lift-off or by load cell."
        ),
    )
    inspector = forms.ModelChoiceField(
        label="Who answers for the readings as inspector",
        queryset=Person.objects.none(),
        required=False,
        empty_label="nobody: no force was read",
        error_messages={"invalid_choice": "Choose one of the inspectors and engineers listed."},
    )
    wood_temp_f = NumberField(label="Wood temperature", unit="°F", low=-60, high=150)
    moisture_pct = NumberField(label="Wood moisture", unit="%", low=5, high=60)
    reason = _words("The engineer's reason to end it as it stands", 250)

    def __init__(self, *arguments, bars=(), inspectors=None, **named):
        super().__init__(*arguments, **named)
        self.bars = list(bars)
        if inspectors is not None:
            self.fields["inspector"].queryset = inspectors
        for index, name in self.bars:
            self.fields[f"r{index}"] = _keypad(f"Bar {name}, force read now", "lb", "numeric")

    def readings(self) -> dict[int, float]:
        found = {index: self.cleaned_data.get(f"r{index}") for index, _ in self.bars}
        return {index: force for index, force in found.items() if force is not None}


class ReopenForm(RevisionForm):
    order_number = None
    reason = _words("The engineer's reason, where the pressure is not shown to be enough", 250)
