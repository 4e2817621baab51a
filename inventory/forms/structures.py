"""Forms of a structure, its spans, members and bars."""

import re

from django import forms

from inventory.models import MemberGroup, Span, StressingSystem, Structure
from inventory.vocabulary.record_1995 import CODE_LISTS
from inventory.vocabulary.structures import DeckKind

from .entry import EntryForm, not_vast


def coded(item: str) -> forms.ChoiceField:
    """A choice from a code list of the 1995 record; a code the list does not know stays selectable through the row."""
    choices = [
        ("", "Not given"),
        *((code.value, f"{code.value} {code.meaning}") for code in CODE_LISTS[item].codes.values()),
    ]
    return forms.ChoiceField(choices=choices, required=False, label=CODE_LISTS[item].title)


class StructureForm(EntryForm):
    row_model = Structure
    owner_code = coded("022")
    maintenance_code = coded("021")
    groups = {
        "Identity": ("number", "name", "road_name", "route_number", "feature_crossed", "location"),
        "Kind and state": ("system", "status", "owner_code", "maintenance_code"),
        "Years": ("year_built", "installed_on", "year_reconstructed"),
        "Place": ("lat_deg", "lon_deg", "bearing_deg", "over_water"),
        "Size": (
            "length_ft",
            "max_span_ft",
            "span_count",
            "roadway_width_ft",
            "deck_width_ft",
            "lanes",
            "skew_deg",
            "is_bridge_length",
        ),
        "Traffic and law": ("adt", "adt_year", "truck_pct", "adtt", "detour_mi", "is_nhs", "interval_months"),
        "Notes": ("notes",),
    }

    def clean_notes(self) -> str:
        # Browsers send line ends of their own; unchanged notes must compare as unchanged.
        return self.cleaned_data["notes"].replace("\r\n", "\n")


class SpanForm(EntryForm):
    row_model = Span
    deck_kind = forms.ChoiceField(choices=[("", "Not recorded"), *DeckKind.choices()], required=False, label="Deck")
    groups = {
        "Span": (
            "index",
            "length_ft",
            "system",
            "continuous_with_next",
            "held_down",
            "lanes_loaded",
            "skew_deg",
            "camber_in",
        ),
        "Deck": (
            "deck_kind",
            "deck_thickness_in",
            "surface_finish",
            "butt_jointed",
            "joint_every",
            "interconnected",
            "wet_service",
        ),
        "Rating": ("distribution",),
    }

    def __init__(self, *args, may_choose: bool = False, **more):
        """``may_choose``: the person is the engineer, who says how wheel loads are shared."""
        if not may_choose:
            self.groups = {head: names for head, names in self.groups.items() if head != "Rating"}
        super().__init__(*args, **more)
        self.fields["length_ft"].help_text = "Up to 200 ft is rated here; a longer span goes to the engineer."
        if may_choose:
            self.fields["distribution"].required = False

    def clean_distribution(self) -> str:
        """An entry left out, as by a page opened before, changes nothing."""
        return self.cleaned_data["distribution"] or self.initial.get("distribution") or "rules"


class MemberForm(EntryForm):
    row_model = MemberGroup
    groups = {
        "Which members": ("role", "label", "count", "spacing_ft", "first_offset_ft"),
        "Size": ("width_in", "depth_in", "is_dressed", "bearing_length_in", "unbraced_ft"),
        "Transverse deck": ("support_width_in", "on_steel", "runs_over_supports"),
        "Pile cap": ("at_end",),
        "Material": ("product", "species", "grade", "size_class", "incised", "grade_assumed_by"),
        "Reference design values, where not from the published table": (
            "fb_psi",
            "fv_psi",
            "fc_perp_psi",
            "e_psi",
            "value_source",
        ),
    }
    told = {
        "support_width_in": "Of the stringer's top or flange. Left open, the stringers' own width is taken.",
        "runs_over_supports": "Of a deck over stringers; not known counts as simple spans.",
        "at_end": "For a cap: its count is that of the piles, its spacing theirs, its bearing length that on one pile.",
    }

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        for name, words in self.told.items():
            self.fields[name].help_text = words


class BarsForm(EntryForm):
    row_model = StressingSystem
    bar_count = forms.IntegerField(
        label="Number of bars", help_text="Set out from the first bar at the spacing.", validators=[not_vast]
    )
    first_station_ft = forms.FloatField(
        label="First bar from the first bearing", widget=forms.NumberInput(attrs={"step": "any"})
    )
    level = forms.ChoiceField(choices=[("mid", "Mid-depth"), ("top", "Top"), ("bottom", "Bottom")], label="Level")
    unusable = forms.CharField(
        label="Bars not usable", required=False, max_length=200, help_text="Their numbers, such as 4, 9. Never jacked."
    )
    groups = {
        "Bars": ("bar_count", "first_station_ft", "spacing_in", "level", "unusable"),
        "Steel": ("bar_diameter_in", "bar_area_in2", "bar_grade", "fpu_ksi"),
        "Wood and plates": (
            "stressed_depth_in",
            "edge_species",
            "plate_width_in",
            "plate_height_in",
            "plate_thickness_in",
            "nut_plate_in",
            "plate_yield_ksi",
            "channel_height_in",
            "channel_length_in",
        ),
        "Design": ("design_force_lb", "design_source", "needed_pressure_psi"),
    }

    def clean_unusable(self) -> frozenset[int]:
        words = [word for word in re.split(r"[,\s]+", self.cleaned_data["unusable"]) if word]
        if not all(word.isascii() and word.isdigit() and len(word) <= 4 for word in words):
            raise forms.ValidationError("Write the numbers of the bars with commas between them, such as 4, 9.")
        return frozenset(int(word) for word in words)
