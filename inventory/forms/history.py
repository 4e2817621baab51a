"""Forms of what was done: surfacing, treatment, work, railing, supports."""

from django import forms

from inventory.models import Railing, SubstructureUnit, SurfacingLayer, Treatment, Work

from .entry import EntryForm


class SurfacingForm(EntryForm):
    row_model = SurfacingLayer
    groups = {"Layer": ("material", "thickness_in", "unit_weight_pcf", "was_measured", "laid_on", "note")}


class RemovalForm(EntryForm):
    row_model = SurfacingLayer
    removed_on = forms.DateField(label="Removed on", widget=forms.DateInput(attrs={"type": "date"}))
    groups = {"Removal": ("removed_on",)}


class TreatmentForm(EntryForm):
    row_model = Treatment
    groups = {"Treatment": ("part", "kind", "preservative", "retention_pcf", "treated_on", "note")}


class WorkForm(EntryForm):
    row_model = Work
    groups = {"Work": ("kind", "done_on", "summary", "crew")}


class RailingForm(EntryForm):
    row_model = Railing
    groups = {"Railing": ("side", "kind", "weight_plf", "test_level", "standard")}


class SupportForm(EntryForm):
    row_model = SubstructureUnit
    groups = {"Support": ("label", "kind", "material", "pile_count", "foundation_known")}
