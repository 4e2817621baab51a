"""What a planner types for a stressing day: the target is asked for and never filled in; the rest may stay as held."""

import re
from collections.abc import Sequence

from django import forms

from inspections.assembly.stressing_row import RowOnRecord
from inspections.rules.stressing.asked import METHOD_WORDS, MOST_PASSES, ORDER_WORDS, PURPOSES, VALUES, DayAsked, Fault
from inventory.models import Jack
from inventory.rules.calibration import calibration_on

from .decisions import PlainForm, RevisionForm
from .numbers import NumberField, WholeNumberField, number_from

SPLIT = re.compile(r"[,;\s]+")
DAY = "Planned day: write the date as year-month-day, for example 2026-05-14."
DESIGN, OWN = "design", "own"


def _radio(label: str, choices, asked: str) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        choices=choices,
        widget=forms.RadioSelect,
        error_messages={"required": asked, "invalid_choice": asked},
    )


def _line(label: str, most: int, size: int = 40) -> forms.CharField:
    return forms.CharField(
        label=label,
        required=False,
        max_length=most,
        widget=forms.TextInput(attrs={"size": size}),
        error_messages={"max_length": f"{label}: write at most {most} characters."},
    )


class PlanForm(PlainForm):
    """The fields for one row of bars. Names with a dash belong to one value of the plan or one bar of the row."""

    purpose = _radio("What is done", list(PURPOSES.items()), "Choose stressing at erection or re-tension.")
    target_choice = _radio("Force that is to stand in every bar", (), "Choose where the target force comes from.")
    target_lb = NumberField(label="Another force per bar", unit="lb", low=1, high=1_000_000)
    target_source = _line("Where it comes from", 200)
    planned_for = forms.DateField(
        label="Planned day",
        required=False,
        input_formats=["%Y-%m-%d"],
        error_messages={"invalid": DAY},
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    crew = _line("Crew", 160)
    jacks = forms.MultipleChoiceField(
        label="Jacks that pull at once",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "A jack chosen is not among the county's jacks in use: choose again."},
    )
    order = _radio("Order of the bars", list(ORDER_WORDS.items()), "Choose the order of the bars.")
    given_order = _line("Order written out, by bar number", 400)
    method = _radio("How the passes are made", list(METHOD_WORDS.items()), "Choose one pass or equal passes.")
    pass_count = WholeNumberField(label="Passes (empty: as many as it takes)", low=1, high=MOST_PASSES)
    first_pass_ratio = NumberField(label="Part of the target in the first pass, 0.1 to 1", low=0.1, high=1)
    neighbour_losses = _line("Measured losses of the neighbours, first to third", 60, 20)
    note = _line("Note for the engineer", 400)
    low_is_right = forms.BooleanField(
        label="The low forces entered here are right: those bars are slack", required=False
    )

    def __init__(self, *args, row: RowOnRecord, jacks: Sequence[Jack], **more):
        super().__init__(*args, **more)
        self.row = row
        self.fields["target_choice"].choices = self._targets()
        self.fields["jacks"].choices = [(str(jack.pk), self._jack_words(jack)) for jack in jacks]
        for value in VALUES:
            self.fields[f"value-{value.name}"] = NumberField(label=value.words, unit=value.unit)
        for bar in row.bars:
            self.fields[f"standing-{bar.number}"] = NumberField(
                label=f"Bar {bar.number}, force standing", unit="lb", low=0, high=1_000_000
            )

    def _targets(self) -> list[tuple[str, str]]:
        system, found = self.row.system, []
        if system.design_force_lb:
            source = system.design_source or "no source on record: write it below"
            found.append((DESIGN, f"The design's {system.design_force_lb:,.0f} lb ({source})"))
        return [*found, (OWN, "Another force, with where it comes from")]

    def _jack_words(self, jack: Jack) -> str:
        held = calibration_on(as_of=self.row.as_of, calibrated_on=jack.calibrated_on, months=jack.calibration_months)
        warning = "▲ " if held.warns else ""
        capacity = f", {jack.capacity_lb:,.0f} lb" if jack.capacity_lb else ""
        return f"{jack}: ram {jack.ram_area_in2:g} in2{capacity}; {warning}{held.words}"

    @property
    def value_rows(self) -> list[tuple]:
        """(field, what is on record) of each number of the plan."""
        return [(self[f"value-{value.name}"], self.row.values[value.name]) for value in VALUES]

    @property
    def bar_rows(self) -> list[tuple]:
        """(bar on record, its field)."""
        return [(bar, self[f"standing-{bar.number}"]) for bar in self.row.bars]

    def clean(self) -> dict:
        given = super().clean()
        if given.get("target_choice") == OWN and given.get("target_lb") is None and "target_lb" not in self.errors:
            self.add_error("target_lb", "Give the force of one bar in lb: a target is never filled in for you.")
        given["order_numbers"] = self._whole_numbers(given.get("given_order") or "")
        given["losses"] = self._ratios(given.get("neighbour_losses") or "")
        return given

    def _whole_numbers(self, text: str) -> tuple[int, ...]:
        words = [word for word in SPLIT.split(text.strip()) if word]
        wrong = next((word for word in words if not word.isdecimal() or len(word) > 4), None)
        if wrong is not None:
            self.add_error("given_order", f"“{wrong[:20]}” is not the number of a bar; write numbers such as 4, 5, 3.")
            return ()
        return tuple(int(word) for word in words)

    def _ratios(self, text: str) -> tuple[float, ...]:
        words = [word for word in re.split(r"[,;\s]+", text.strip()) if word]
        numbers = [number_from(word) for word in words]
        if None in numbers:
            wrong = words[numbers.index(None)][:20]
            self.add_error("neighbour_losses", f"“{wrong}” is not a number; write parts such as 0.14, 0.06, 0.03.")
            return ()
        return tuple(numbers)

    def asked(self) -> DayAsked:
        """What was asked, as the rules and the kernel take it. Only of a valid form."""
        given, system = self.cleaned_data, self.row.system
        is_design = given["target_choice"] == DESIGN
        source = given["target_source"].strip()
        if is_design and system.design_source:
            source = f"the design: {system.design_source}" + (f"; {source}" if source else "")
        values = {value.name: given[f"value-{value.name}"] for value in VALUES}
        standing = {str(bar.number): given[f"standing-{bar.number}"] for bar in self.row.bars}
        return DayAsked(
            target_lb=system.design_force_lb if is_design else given["target_lb"],
            target_source=source,
            purpose=given["purpose"],
            planned_for="" if given["planned_for"] is None else given["planned_for"].isoformat(),
            crew=given["crew"],
            note=given["note"],
            jack_ids=tuple(int(pk) for pk in given["jacks"]),
            order=given["order"],
            given_order=given["order_numbers"],
            method=given["method"],
            pass_count=given["pass_count"],
            first_pass_ratio=1.0 if given["first_pass_ratio"] is None else given["first_pass_ratio"],
            neighbour_losses_ratio=given["losses"],
            values={name: value for name, value in values.items() if value is not None},
            standing_lb={number: force for number, force in standing.items() if force is not None},
            low_is_right=given["low_is_right"],
        )

    def tell(self, faults: Sequence[Fault]) -> None:
        """Put refusals beside their fields; what was typed stays."""
        for name, sentence in faults:
            self.add_error(name if name in self.fields else None, sentence)


def typed_again(asked: DayAsked, *, design_force_lb: float | None) -> dict:
    """A plan asked for before, as the form's first values; the target is chosen anew by whoever plans."""
    values = {f"value-{name}": value for name, value in asked.values.items()}
    standing = {f"standing-{number}": force for number, force in asked.standing_lb.items()}
    own = {} if asked.target_lb == design_force_lb else {"target_lb": asked.target_lb}
    return {
        "purpose": asked.purpose,
        "target_source": asked.target_source if own else "",
        "planned_for": asked.planned_for or None,
        "crew": asked.crew,
        "note": asked.note,
        "low_is_right": asked.low_is_right,
        "jacks": [str(pk) for pk in asked.jack_ids],
        "order": asked.order,
        "given_order": ", ".join(str(number) for number in asked.given_order),
        "method": asked.method,
        "pass_count": asked.pass_count,
        "first_pass_ratio": asked.first_pass_ratio,
        "neighbour_losses": ", ".join(f"{ratio:g}" for ratio in asked.neighbour_losses_ratio),
        **own,
        **values,
        **standing,
    }


class ReleaseForm(RevisionForm):
    """The engineer's word on a sheet."""

    order_number = None
    note = forms.CharField(
        label="Release note (printed on the sheet; the reason where a calibration has expired)",
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"max_length": "Release note: write at most 400 characters."},
    )


class WithdrawDayForm(RevisionForm):
    order_number = None
    reason = forms.CharField(
        label="Reason for withdrawing",
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={
            "required": "Say why the day is withdrawn: the reason is kept with it.",
            "max_length": "Reason: write at most 400 characters.",
        },
    )
