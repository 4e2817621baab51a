"""Form of a jack with its gauge."""

from django import forms

from inventory.models import Jack

from .entry import EntryForm


class JackForm(EntryForm):
    row_model = Jack
    groups = {
        "Jack": ("name", "serial", "ram_area_in2", "efficiency", "capacity_lb"),
        "Gauge": ("gauge_serial", "gauge_division_psi", "gauge_most_psi"),
        "Calibration of the two together": ("calibrated_on", "calibration_months", "calibrated_by"),
        "Note": ("note",),
    }
    told = {
        "ram_area_in2": "Effective area, from the maker's plate or the calibration sheet.",
        "efficiency": "From the calibration; 0.95 to 1.0 is usual, 0.90 the least. Never guessed.",
        "gauge_division_psi": "Pressures on a sheet are rounded to it.",
        "gauge_most_psi": "The last figure on its face.",
        "calibrated_on": "Left open, every reading with it is marked as not calibrated.",
        "calibration_months": "As the sheet or the State's manual says; 12 is usual.",
    }

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        for name, words in self.told.items():
            self.fields[name].help_text = words
        for field in self.fields.values():
            field.required = False  # the rule asks for what is needed in words of the trade
        self.fields["calibrated_on"].error_messages["invalid"] = "Write the date as year-month-day."
        self.fields["gauge_division_psi"].unit = self.fields["gauge_most_psi"].unit = "psi"
        self.fields["calibration_months"].unit = "months"


class RetireJackForm(forms.Form):
    use_required_attribute = False
    revision = forms.IntegerField(widget=forms.HiddenInput)
    reason = forms.CharField(label="Why it is retired", required=False, max_length=200)
