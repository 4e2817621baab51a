"""All bars of a span in one quick table: last force beside the new one, typed as lb or as pressure on a gauge."""

from datetime import date

from django import forms

from inspections.queries.bar_reading import BarsBefore
from inspections.rules.evidence import READINGS
from inspections.rules.gauge import Gauge, Repeats, beyond_gauge, impossible, questions
from inspections.vocabulary.findings import FindingKind, ForceMethod
from inventory.models import Bar, Jack

from .numbers import NumberField
from .rows import RowForm

AS_READ = "Correct it, or tick “as read” beside it."
CHOOSE_JACK = "Choose the jack whose gauge showed the pressure, or type the force in lb."


def jack_choices(before: BarsBefore, as_of: date) -> list[tuple[object, str]]:
    """The agency's jacks with their calibration in words, for a list to choose from."""
    return [("", "not given"), *((jack.pk, _jack_words(jack, before, as_of)) for jack in before.jacks)]


def _jack_words(jack: Jack, before: BarsBefore, as_of: date) -> str:
    """A jack out of calibration says so first, where a narrow list does not cut it off."""
    calibration = before.calibration(jack, as_of)
    size = f"{jack.ram_area_in2:g} in²"
    told = f"▲ {calibration.words}, {size}" if calibration.warns else f"{size}, {calibration.words}"
    return f"{jack.name}{', retired' if jack.retired_on else ''}: {told}"


def asked_of(
    read: Repeats, *, bar: Bar, before: BarsBefore, method: str, in_psi: bool, gauge: Gauge | None
) -> list[str]:
    """What must be asked of a reading before it is kept: the rule's questions, and a jack on a bar set aside."""
    known = before.known.get(bar.pk)
    if known is None:
        return []
    asked = questions(
        read,
        known,
        method=method,
        in_psi=in_psi,
        jack=gauge,
        jacks=before.gauges(),
        repeat_within_pct=before.policy.repeat_within_pct,
    )
    if bar.pk in before.aside and method in (ForceMethod.LIFT_OFF, ForceMethod.LOCK_OFF):
        asked.append(
            f"This bar is set aside ({before.aside[bar.pk]}) and this method puts a jack on it: only the engineer "
            "releases it."
        )
    return asked


class ReadingField(NumberField):
    """A force in lb or a pressure in psi, as the row says; its limits are those of the bar and of the gauge."""

    def to_python(self, value):
        number = super().to_python(value)
        if number is not None and number < 0:
            raise forms.ValidationError(f"{self.label}: {number:g} is below zero, and a bar only pulls; read it again.")
        if number is not None and number > READINGS["force_lb"].most:
            most = READINGS["force_lb"].most
            raise forms.ValidationError(f"{self.label}: {number:,.0f} is beyond any bar or gauge ({most:,.0f}).")
        return number


class BarReadingForm(RowForm):
    """One bar's new reading, read up to three times; a row without a force and without a method is no reading."""

    word = "Bar"
    ignored_when_alone = frozenset({"force_method", "typed_in", "jack", "as_read"})
    force_lb = ReadingField(label="New reading")
    read_2 = ReadingField(label="Second reading")
    read_3 = ReadingField(label="Third reading")
    typed_in = forms.ChoiceField(label="Typed in", required=False, choices=[("", "lb"), ("psi", "psi on the gauge")])
    jack = forms.TypedChoiceField(label="Jack and gauge", required=False, coerce=int, empty_value=None)
    force_method = forms.ChoiceField(label="Method", required=False, choices=[("", "not read"), *ForceMethod.choices()])
    wood_temp_f = NumberField(label="Wood temperature", unit="°F", low=-60, high=160)
    moisture_pct = NumberField(
        label="Wood moisture", unit="%", low=READINGS["moisture_pct"].least, high=READINGS["moisture_pct"].most
    )
    as_read = forms.BooleanField(label="As read", required=False)

    def __init__(
        self, *arguments, bar: Bar, before: BarsBefore, jacks: list[tuple], stored: dict | None = None, **named
    ):
        self.stored = stored or {}
        super().__init__(*arguments, initial=_typed(self.stored), **named)
        self.bar, self.before = bar, before
        self.last = before.last.get(bar.pk)
        self.aside = before.aside.get(bar.pk, "")
        self.is_suggested = bar.pk in before.suggested
        self.asked: list[str] = []
        self.fields["jack"].choices = jacks
        self.fields["jack"].error_messages["invalid_choice"] = "Jack and gauge: choose one of the list."
        for name, label in (("force_method", "Method"), ("typed_in", "Typed in")):
            self.fields[name].error_messages["invalid_choice"] = f"{label}: choose one of the entries of the list."

    @property
    def is_blank(self) -> bool:
        if not self.is_bound:
            return super().is_blank
        method = self.data.get(self.add_prefix("force_method"), "")
        return super().is_blank and method != ForceMethod.HAND_LOOSE

    @property
    def is_lock_off(self) -> bool:
        return self["force_method"].value() == ForceMethod.LOCK_OFF

    def clean(self):
        cleaned = super().clean()
        method = cleaned.get("force_method")
        typed = [cleaned[name] for name in ("force_lb", "read_2", "read_3") if cleaned.get(name) is not None]
        if method == ForceMethod.HAND_LOOSE and not typed and "force_lb" not in self.errors:
            # Loose to the hand is a reading: no force at all.
            typed = [0.0]
        elif not typed and "force_lb" not in self.errors:
            self.add_error("force_lb", "Give the force in lb, or clear the row.")
        if typed and not method and "force_method" not in self.errors:
            self.add_error("force_method", "Say how the force was read: lift-off, load cell, lock-off or by hand.")
        if not self.errors:
            self._judge(typed, method, cleaned)
        return cleaned

    def _judge(self, typed: list[float], method: str, cleaned: dict) -> None:
        """Pressures become forces; what cannot be is refused, what is unlikely is asked about."""
        in_psi = cleaned.get("typed_in") == "psi" and method != ForceMethod.HAND_LOOSE
        gauge = self.before.gauge(cleaned.get("jack"))
        if in_psi and gauge is None:
            self.add_error("jack", CHOOSE_JACK)
            return
        if in_psi and method == ForceMethod.LOAD_CELL:
            self.add_error("typed_in", "A load cell shows lb, not the pressure of a gauge: choose one of the two.")
            return
        if in_psi and (fault := beyond_gauge(typed, gauge)):
            self.add_error("force_lb", fault)
            return
        read = Repeats(forces_lb=tuple(gauge.force_lb(psi) for psi in typed) if in_psi else tuple(typed))
        known = self.before.known.get(self.bar.pk)
        if known is not None and (fault := impossible(read, known)):
            self.add_error("force_lb", _in_both(fault, typed, in_psi))
            return
        self.asked = asked_of(read, bar=self.bar, before=self.before, method=method, in_psi=in_psi, gauge=gauge)
        if self.asked and not cleaned.get("as_read") and not self._is_stored(read, method):
            self.add_error("as_read", " ".join((*self.asked, AS_READ)))
            return
        cleaned["read"] = read
        cleaned["gauge_psi"] = sum(typed) / len(typed) if in_psi else None

    def _is_stored(self, read: Repeats, method: str) -> bool:
        """Saved so before in this inspection: what was answered once is not asked again."""
        forces = self.stored.get("repeats_lb") or [self.stored.get("force_lb")]
        same = len(forces) == len(read.forces_lb) and self.stored.get("force_method") == method
        return same and all(
            old is not None and abs(old - new) <= 0.5 for old, new in zip(forces, read.forces_lb, strict=True)
        )

    def values(self) -> dict:
        span, given = self.bar.system.span, self.cleaned_data
        read = given["read"]
        return {
            "identity": self.stored.get("identity"),
            "kind": FindingKind.BAR_FORCE.value,
            "span_index": span.index,
            "bar": self.bar,
            "station_ft": self.bar.station_ft,
            "force_lb": read.mean_lb,
            "force_method": given["force_method"],
            "jack": given["jack"],
            "gauge_psi": given["gauge_psi"],
            "repeats_lb": list(read.forces_lb) if len(read.forces_lb) > 1 else [],
            "wood_temp_f": given["wood_temp_f"],
            "moisture_pct": given["moisture_pct"],
        }


def _in_both(sentence: str, typed: list[float], in_psi: bool) -> str:
    return f"{max(typed):,.0f} psi is too much here: {sentence}" if in_psi else sentence


def _typed(stored: dict) -> dict:
    """A stored reading as it was typed: pressures again where it came from a gauge."""
    if not stored:
        return {}
    forces, psi = stored.get("repeats_lb") or [stored.get("force_lb")], stored.get("gauge_psi")
    typed = dict(stored)
    if psi is not None and stored.get("force_lb"):
        forces = [force * psi / stored["force_lb"] for force in forces]
        typed["typed_in"] = "psi"
    return typed | dict(zip(("force_lb", "read_2", "read_3"), forces, strict=False))


class BarTable:
    """The bars of one structure with their new readings; prefixes carry the bar's own row number."""

    def __init__(self, before: BarsBefore, *, as_of: date, data=None, stored: dict[int, dict] | None = None):
        self.before, self.as_of = before, as_of
        stored, jacks = stored or {}, jack_choices(before, as_of)
        self.forms = [
            BarReadingForm(
                data, prefix=f"b-{bar.pk}", bar=bar, before=before, jacks=jacks, stored=stored.get(bar.pk, {})
            )
            for bar in before.bars
        ]

    def by_span(self) -> list[dict]:
        """Span, its rows, and the sample the county's policy asks for, a sentence for each level."""
        spans: dict = {}
        for form in self.forms:
            spans.setdefault(form.bar.system, []).append(form)
        return [{"span": s.span, "forms": rows, "samples": self._sample_words(s)} for s, rows in spans.items()]

    def _sample_words(self, system) -> list[str]:
        samples = self.before.samples.get(system.pk, {})
        if len(samples) == 1:
            return [sample.words for sample in samples.values()]
        return [f"{level.capitalize()} bars: {sample.words}" for level, sample in samples.items()]

    def out_of_calibration(self) -> list[str]:
        """Jacks offered that are not in calibration, each with the words."""
        found = [(jack, self.before.calibration(jack, self.as_of)) for jack in self.before.jacks]
        return [f"{jack}: {calibration.words}" for jack, calibration in found if calibration.warns]

    def pounds_per_psi(self) -> dict[str, float]:
        """Jack id to lb for each psi, for the page's script."""
        return {str(jack.pk): jack.ram_area_in2 * jack.efficiency for jack in self.before.jacks}

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
