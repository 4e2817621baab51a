"""Forms of a vehicle of the State or the county, and of the settings by which a county rates."""

from django import forms

from inventory.models import RatingVehicle
from inventory.rules.axle_trains import read_axles, read_spacings
from inventory.rules.rating_settings import GROUPS, SETTINGS, Setting

from .entry import EntryForm

NOT_A_NUMBER = "Enter a number in digits, such as 18 or 18.5."


class VehicleForm(EntryForm):
    row_model = RatingVehicle
    axles = forms.CharField(
        label="Axle weights",
        max_length=400,
        required=False,
        help_text="Kip, front to rear, with commas: 16, 17, 17. One kip is 1,000 lb.",
    )
    spacings = forms.CharField(
        label="Spacings",
        max_length=400,
        required=False,
        help_text="Feet between them, front to rear: 15, 4. Where one varies write it as 14-30.",
    )
    gross_kip = forms.FloatField(
        label="Gross weight",
        required=False,
        help_text="As the law gives it; the axles must add up to it.",
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        error_messages={"invalid": NOT_A_NUMBER},
    )
    groups = {
        "Vehicle": ("key", "name", "vehicle_class", "sign_class"),
        "Axles": ("axles", "spacings", "gross_kip", "relieving_axles_dropped"),
        "Lane load that may take its place, if the law gives one": ("lane_klf", "lane_moment_kip", "lane_shear_kip"),
        "Where it comes from": ("source", "in_use_from", "note"),
    }
    UNITS_HERE = {"axles": "kip", "spacings": "ft", "gross_kip": "kip", "lane_klf": "kip/ft"}

    def __init__(self, *args, row: RatingVehicle | None = None, **more):
        if row is not None:
            more["initial"] = typed_values(row) | (more.get("initial") or {})
        super().__init__(*args, row=row, **more)
        for name, field in self.fields.items():
            field.unit = self.UNITS_HERE.get(name) or ("kip" if name.endswith("_kip") else "")
        for name in ("key", "name", "source"):
            self.fields[name].required = False  # the rule asks for them in words of the trade
        self.fields["vehicle_class"].error_messages["required"] = "Choose what it is rated as."
        self.fields["in_use_from"].error_messages["required"] = "Enter the day from which it is rated."
        self.fields["relieving_axles_dropped"].label = "Leave out axles that would relieve an effect"

    def clean(self) -> dict:
        """Axles and spacings as numbers beside what was typed; what cannot be read keeps its sentence at its entry."""
        given = super().clean()
        given["key"] = (given.get("key") or "").strip().upper()
        given["axles_kip"], fault = read_axles(given.get("axles") or "")
        if fault:
            self.add_error("axles", fault)
        given["spacings_ft"], fault = read_spacings(given.get("spacings") or "", len(given["axles_kip"]))
        if fault:
            self.add_error("spacings", fault)
        return given


def typed_values(row: RatingVehicle) -> dict:
    """A vehicle's axles and spacings as they are typed."""
    gaps = [f"{low:g}" if low == high else f"{low:g}-{high:g}" for low, high in row.spacings_ft]
    return {"axles": ", ".join(f"{axle:g}" for axle in row.axles_kip), "spacings": ", ".join(gaps)}


class RetireForm(forms.Form):
    use_required_attribute = False
    revision = forms.IntegerField(widget=forms.HiddenInput)
    reason = forms.CharField(label="Why it is retired", required=False, max_length=200)


class SettingsForm(forms.Form):
    """Every setting of the table; `choices` are (key, words) of the standard vehicles."""

    use_required_attribute = False

    def __init__(self, *args, choices: list[tuple[str, str]], **more):
        super().__init__(*args, **more)
        for setting in SETTINGS.values():
            self.fields[setting.name] = _setting_field(setting)
        self.fields["pressure_reason"] = forms.CharField(
            label="Reason for a lower pressure", required=False, max_length=300
        )
        self.fields["standard_vehicles"] = forms.MultipleChoiceField(
            label="Standard vehicles rated",
            choices=choices,
            required=False,
            widget=forms.CheckboxSelectMultiple,
            error_messages={"invalid_choice": "Choose among the vehicles listed."},
        )
        self.fields["reason"] = forms.CharField(label="Reason for the change", required=False, max_length=300)
        self.fields["revision"] = forms.IntegerField(widget=forms.HiddenInput, min_value=0)

    def rows(self) -> list[tuple[str, list[tuple[Setting, forms.BoundField]]]]:
        """Headings with (setting, field)."""
        return [(heading, [(setting, self[setting.name]) for setting in group]) for heading, group in GROUPS]

    def values(self) -> dict:
        """What the action takes."""
        return {name: value for name, value in self.cleaned_data.items() if name not in ("reason", "revision")}

    def refuse(self, refusal) -> None:
        for name, sentence in refusal.faults.items():
            self.add_error(name if name in self.fields else None, sentence)


def _setting_field(setting: Setting) -> forms.Field:
    if setting.kind == "choice":
        wrong = f"{setting.label}: choose one of the values listed."
        errors = {"required": wrong, "invalid_choice": wrong}
        return forms.ChoiceField(label=setting.label, choices=setting.choices, error_messages=errors)
    if setting.kind == "yesno":
        return forms.BooleanField(label=setting.label, required=False)
    return forms.FloatField(
        label=setting.label,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "size": 7, "autocomplete": "off"}),
        error_messages={"invalid": NOT_A_NUMBER},
    )
