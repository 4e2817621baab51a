"""All bars of a span in one quick table: last force beside the new one."""

from django import forms

from inspections.rules.evidence import READINGS
from inspections.vocabulary.findings import FindingKind, ForceMethod
from inventory.models import Bar

from .numbers import NumberField
from .rows import RowForm


class BarReadingForm(RowForm):
    """One bar's new reading; a row without a force and without a method is no reading."""

    word = "Bar"
    ignored_when_alone = frozenset({"force_method"})
    force_lb = NumberField(label="New force", unit="lb", low=0, high=READINGS["force_lb"].most)
    force_method = forms.ChoiceField(label="Method", required=False, choices=[("", "not read"), *ForceMethod.choices()])
    wood_temp_f = NumberField(label="Wood temperature", unit="°F", low=-60, high=160)

    def __init__(self, *arguments, bar: Bar, last: object | None = None, **named):
        super().__init__(*arguments, **named)
        self.bar, self.last = bar, last
        self.fields["force_method"].error_messages["invalid_choice"] = "Method: choose one of the entries of the list."

    @property
    def is_blank(self) -> bool:
        if not self.is_bound:
            return super().is_blank
        method = self.data.get(self.add_prefix("force_method"), "")
        return super().is_blank and method != ForceMethod.HAND_LOOSE

    def clean(self):
        cleaned = super().clean()
        force, method = cleaned.get("force_lb"), cleaned.get("force_method")
        if method == ForceMethod.HAND_LOOSE and force is None and "force_lb" not in self.errors:
            # Loose to the hand is a reading: no force at all.
            cleaned["force_lb"] = 0.0
        elif force is None and "force_lb" not in self.errors:
            self.add_error("force_lb", "Give the force in lb, or clear the row.")
        if force is not None and not method and "force_method" not in self.errors:
            self.add_error("force_method", "Say how the force was read: lift-off, load cell, lock-off or by hand.")
        return cleaned

    def values(self) -> dict:
        span = self.bar.system.span
        return {
            "kind": FindingKind.BAR_FORCE.value,
            "span_index": span.index,
            "bar": self.bar,
            "station_ft": self.bar.station_ft,
            **self.cleaned_data,
        }


class BarTable:
    """The bars of one structure with their new readings; prefixes carry the bar's own row number."""

    def __init__(self, bars: list[Bar], *, data=None, stored: dict[int, dict] | None = None, last: dict | None = None):
        stored, last = stored or {}, last or {}
        self.forms = [
            BarReadingForm(
                data,
                prefix=f"b-{bar.pk}",
                bar=bar,
                last=last.get(bar.pk),
                initial=stored.get(bar.pk, {}),
            )
            for bar in bars
        ]

    def by_span(self) -> list[tuple[object, list[BarReadingForm]]]:
        spans: dict = {}
        for form in self.forms:
            spans.setdefault(form.bar.system.span, []).append(form)
        return list(spans.items())

    def is_valid(self) -> bool:
        valid = [form.is_valid() for form in self.forms if not form.is_blank]
        return all(valid)

    def values(self) -> list[dict]:
        return [form.values() for form in self.forms if not form.is_blank]

    def problems(self) -> list[tuple[str, str]]:
        return [
            (form[name].id_for_label, f"Span {form.bar.system.span.index}, {form.bar}. {sentence}")
            for form in self.forms
            if form.is_bound and not form.is_blank
            for name, told in form.errors.items()
            for sentence in told
        ]
