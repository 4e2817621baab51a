"""The load somebody asks about: a vehicle on record, or axles typed for this once."""

from django import forms

from inspections.reckoning.crossing import ALONE, AMONG_TRAFFIC
from inventory.models import RatingVehicle
from inventory.rules.axle_trains import read_axles, read_spacings, train_faults

from .decisions import PlainForm
from .numbers import NumberField

CIRCUMSTANCES = ((AMONG_TRAFFIC, "Among other traffic"), (ALONE, "Alone on the span, escorted"))


class CrossingForm(PlainForm):
    """`vehicles` are the agency's own in use; one chosen leaves the typed axles unread."""

    vehicle = forms.ChoiceField(
        label="Vehicle on record",
        required=False,
        error_messages={"invalid_choice": "Choose one of the vehicles listed, or type the axles."},
    )
    axles = forms.CharField(label="Axle weights, kip, front to rear", required=False, max_length=400)
    spacings = forms.CharField(label="Spacings between them, ft", required=False, max_length=400)
    gross_kip = NumberField(label="Gross weight, kip (a check)", unit="kip", low=0.1, high=4000)
    circumstance = forms.ChoiceField(
        label="How it crosses",
        choices=CIRCUMSTANCES,
        widget=forms.RadioSelect,
        error_messages=dict.fromkeys(("required", "invalid_choice"), "Say whether other traffic is on the span."),
    )

    def __init__(self, *args, vehicles: list[RatingVehicle], **more):
        super().__init__(*args, **more)
        self.known = {str(row.pk): row for row in vehicles}
        choices = [(key, f"{row}, {row.gross_kip / 2:g} tons") for key, row in self.known.items()]
        self.fields["vehicle"].choices = [("", "Axles typed below"), *choices]

    def clean(self) -> dict:
        given = super().clean()
        if self.known.get(given.get("vehicle") or ""):
            return given
        axles, fault = read_axles(given.get("axles") or "")
        if fault:
            self.add_error("axles", fault)
        gaps, gap_fault = read_spacings(given.get("spacings") or "", len(axles))
        if gap_fault:
            self.add_error("spacings", gap_fault)
        if not fault and not gap_fault:
            values = {"axles_kip": axles, "spacings_ft": gaps, "gross_kip": given.get("gross_kip")}
            for name, sentence in train_faults(values).items():
                self.add_error(name if name in self.fields else None, sentence)
        return given | {"axles_kip": axles, "spacings_ft": gaps}

    def train_values(self) -> dict:
        """The load as the rule for vehicles takes it."""
        given = self.cleaned_data
        row = self.known.get(given["vehicle"])
        if row is not None:
            return dict(row.__dict__)
        return {
            "key": "LOAD",
            "name": "Load as typed",
            "vehicle_class": "permit",
            "axles_kip": given["axles_kip"],
            "spacings_ft": given["spacings_ft"],
            "source": "typed for this question",
        }
