"""What a planner types: a day, its leader and team; the boxes by which stops are grouped."""

from django import forms

from inspections.actions.field_days import DayWanted
from inspections.rules.field_days import NEAR_MI, NEAR_MI_MOST, PER_DAY, PER_DAY_MOST
from inventory.forms.entry import NOT_A_NUMBER, plain_digits
from inventory.models import Person

DATE_ASKED = "Write the date as year-month-day, for example 2026-05-14."
NEW = "new"


class PlanForm(forms.Form):
    """Problems as sentences, each with the place it belongs to."""

    use_required_attribute = False

    def problems(self) -> list[tuple[str, str]]:
        told = []
        for name, sentences in self.errors.items():
            anchor = self[name].id_for_label if name in self.fields else ""
            told += [(anchor, sentence) for sentence in sentences]
        return told


class DayForm(PlanForm):
    """A field day. `people` are those who may lead a team of the agency."""

    on = forms.DateField(
        label="Day",
        required=False,
        input_formats=["%Y-%m-%d"],
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": DATE_ASKED},
    )
    leader = forms.ModelChoiceField(
        label="Team leader",
        queryset=Person.objects.none(),
        required=False,
        empty_label="Not named yet",
        error_messages={"invalid_choice": "Choose one of the people listed."},
    )
    team = forms.CharField(label="Others on the team", required=False, max_length=160)
    note = forms.CharField(label="Note", required=False, max_length=300)
    override_reason = forms.CharField(
        label="Why this leader may lead all the same",
        required=False,
        max_length=300,
        help_text="Only where the registry says no. It is kept with your name.",
    )

    def __init__(self, *args, people, **more):
        super().__init__(*args, **more)
        self.fields["leader"].queryset = people

    def clean(self):
        values = super().clean()
        if self.needs_day() and not values.get("on") and "on" not in self.errors:
            self.add_error("on", f"Give the day. {DATE_ASKED}")
        return values

    def needs_day(self) -> bool:
        return True

    def wanted(self) -> DayWanted:
        """What was typed, for the actions."""
        names = ("on", "leader", "team", "note", "override_reason")
        return DayWanted(**{name: self.cleaned_data.get(name) or ("" if name != "leader" else None) for name in names})


class ChangeDayForm(DayForm):
    revision = forms.IntegerField(widget=forms.HiddenInput, min_value=0)


class PutForm(DayForm):
    """Onto one of the days to come, or onto a new one."""

    day = forms.ChoiceField(
        label="Put on", required=False, error_messages={"invalid_choice": "Choose one of the days listed."}
    )

    field_order = ("day", "on", "leader", "team", "note", "override_reason")

    def __init__(self, *args, days, **more):
        super().__init__(*args, **more)
        self.fields["day"].choices = [(NEW, "A new day, as below"), *days]
        self.fields["on"].label = "New day"

    def needs_day(self) -> bool:
        return self.cleaned_data.get("day") in (NEW, "", None)


class GroupForm(PlanForm):
    """How near is near: structures in a day, and how far the next may lie."""

    per_day = forms.IntegerField(
        label="Structures in a day", required=False, min_value=1, max_value=PER_DAY_MOST, initial=PER_DAY,
        error_messages={
            "invalid": NOT_A_NUMBER,
            "min_value": f"Structures in a day: from 1 to {PER_DAY_MOST}.",
            "max_value": f"Structures in a day: from 1 to {PER_DAY_MOST}.",
        },
    )  # fmt: skip
    near_mi = forms.FloatField(
        label="The next at most", required=False, min_value=0.1, max_value=NEAR_MI_MOST, initial=NEAR_MI,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
        error_messages={
            "invalid": NOT_A_NUMBER,
            "min_value": f"The next at most: from 0.1 to {NEAR_MI_MOST:g} miles.",
            "max_value": f"The next at most: from 0.1 to {NEAR_MI_MOST:g} miles.",
        },
    )  # fmt: skip

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        for field in self.fields.values():
            plain_digits(field)
        self.fields["near_mi"].unit = "mi away"

    def chosen(self) -> tuple[int, float]:
        """The numbers typed, or the usual ones where nothing that can be read was typed."""
        values = self.cleaned_data if self.is_bound and self.is_valid() else {}
        return values.get("per_day") or PER_DAY, values.get("near_mi") or NEAR_MI
