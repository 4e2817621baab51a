"""One finding as a row: every size a kind may need; the page shows just those of the kind chosen."""

import re
from collections.abc import Iterable
from datetime import date

from django import forms

from inspections.models import Finding
from inspections.queries.bar_reading import BarsBefore
from inspections.rules.evidence_readings import READINGS
from inspections.rules.evidence_table import evidence_table
from inspections.rules.gauge import Repeats, impossible
from inspections.rules.measured_sizes import size_faults
from inspections.vocabulary.findings import Change, Face, FindingKind, ForceMethod
from inventory.models import Bar, Document, MemberGroup, Span, Structure

from .bars import AS_READ, CHOOSE_JACK, asked_of, jack_choices
from .numbers import NumberField, WholeNumberField, number_from
from .rows import RowForm

OF_BARS = (FindingKind.BAR_FORCE, FindingKind.BAR_DEFECT)
OF_BARS_ONLY = ("bar", "force_lb", "force_method", "jack", "gauge_psi", "repeats_lb", "as_read")
MOST_REPEATS = 3
CARRIED = ("identity", "carries_on", "across_ft")
"""What this page only carries through: which finding it is, which one of before it follows, where it was tapped."""
APART = (*CARRIED, "kind", "change", "photo", "note", "as_read", "remove")


def _measure(name: str, label: str = "") -> NumberField:
    """A number whose title, unit and plausible range stand in the rules' table of readings."""
    reading = READINGS[name]
    field = WholeNumberField if reading.whole else NumberField
    return field(label=label or reading.title, unit=reading.sign or reading.unit, low=reading.least, high=reading.most)


def _chosen_row(label: str) -> forms.TypedChoiceField:
    """A row of the structure by its id; the choices are read once for the page, not once for each finding."""
    return forms.TypedChoiceField(label=label, required=False, coerce=int, empty_value=None)


class FindingForm(RowForm):
    """All measures are optional here; which of them a kind needs is asked by the rules when it is submitted."""

    word = "Finding"
    ignored_when_alone = frozenset({"span_index", "as_read", *CARRIED})

    kind = forms.ChoiceField(label="Kind of finding", required=False)
    span_index = forms.TypedChoiceField(label="Span", required=False, coerce=int, empty_value=None)
    member = _chosen_row("Member group")
    member_number = _measure("member_number")
    bar = _chosen_row("Bar")
    station_ft = _measure("station_ft")
    extent_ft = _measure("extent_ft")
    face = forms.ChoiceField(label="Face", required=False, choices=[("", "not given"), *Face.choices()])
    depth_in = _measure("depth_in")
    width_in = _measure("width_in")
    height_in = _measure("height_in")
    offset_in = _measure("offset_in")
    moisture_pct = _measure("moisture_pct")
    moisture_depth_in = _measure("moisture_depth_in")
    resistance_pct = _measure("resistance_pct")
    wave_time_us_per_ft = _measure("wave_time_us_per_ft")
    force_lb = _measure("force_lb")
    force_method = forms.ChoiceField(
        label="How the force was read", required=False, choices=[("", "not given"), *ForceMethod.choices()]
    )
    jack = _chosen_row("Jack and gauge")
    gauge_psi = _measure("gauge_psi", "Gauge pressure, the force left empty")
    repeats_lb = forms.CharField(label="Read several times, lb each", required=False, max_length=60)
    as_read = forms.BooleanField(label="As read", required=False)
    wood_temp_f = _measure("wood_temp_f")
    value_in = _measure("value_in")
    area_pct = _measure("area_pct")
    condition_state = forms.TypedChoiceField(
        label="Condition state",
        required=False,
        coerce=int,
        empty_value=None,
        choices=[("", "not given"), (1, "1 good"), (2, "2 fair"), (3, "3 poor"), (4, "4 severe")],
    )
    photo = _chosen_row("Photo")
    change = forms.ChoiceField(label="Since last time", required=False, choices=[("", "not said"), *Change.choices()])
    identity = forms.UUIDField(required=False, widget=forms.HiddenInput)
    carries_on = forms.UUIDField(required=False, widget=forms.HiddenInput)
    across_ft = forms.FloatField(required=False, widget=forms.HiddenInput)
    note = forms.CharField(label="Note", required=False, max_length=400)
    remove = forms.BooleanField(label="Remove this finding", required=False)

    def __init__(self, *arguments, places: "Places", **named):
        super().__init__(*arguments, **named)
        self.sizes = places.sizes
        self.fields["kind"].choices = places.kinds
        self.fields["span_index"].choices = places.spans
        self.places, self.asked = places, []
        # Fields whose box stands in the short form on top, because they were asked for.
        self.moved: frozenset[str] = frozenset()
        if not places.bars:
            for name in OF_BARS_ONLY:
                del self.fields[name]
        for name in ("member", "bar", "jack", "photo"):
            if name not in self.fields:
                continue
            self.fields[name].choices = getattr(places, f"{name}_choices")
        for field in self.fields.values():
            field.error_messages["invalid_choice"] = f"{field.label}: choose one of the entries of the list."
        self.fields["note"].error_messages["max_length"] = "Note: write at most 400 characters; use the notes below."
        if len(places.spans) == 2 and "span_index" not in self.initial:
            self.initial["span_index"] = places.spans[1][0]

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("kind") and "kind" not in self.errors:
            self.add_error("kind", "Choose the kind of finding, or remove the row.")
        group = self.sizes.get(cleaned.get("member"))
        if group is not None:
            faults = size_faults(cleaned, role=group.role, width_in=group.width_in, depth_in=group.depth_in)
            for name, sentence in faults.items():
                self.add_error(name, sentence)
        if cleaned.get("kind") == FindingKind.BAR_FORCE and not self.errors:
            self._judge_force(cleaned)
        return cleaned

    def clean_repeats_lb(self) -> list[float]:
        words = [word for word in re.split(r"[;\s]+|,(?!\d{3}\b)", self.cleaned_data["repeats_lb"]) if word]
        numbers = [number_from(word) for word in words]
        if None in numbers or len(numbers) > MOST_REPEATS:
            raise forms.ValidationError("Write up to three forces in lb with blanks between them: 41000 42000 41500.")
        return numbers

    def _judge_force(self, cleaned: dict) -> None:
        """A reading with a row of its own is judged as one of the table of bars."""
        bar = self.places.bar(cleaned.get("bar"))
        gauge = self.places.before.gauge(cleaned.get("jack"))
        psi, forces = cleaned.get("gauge_psi"), cleaned.get("repeats_lb") or []
        if forces:
            cleaned["force_lb"] = sum(forces) / len(forces)
        elif psi is not None and cleaned.get("force_lb") is None:
            if gauge is None:
                self.add_error("jack", CHOOSE_JACK)
                return
            cleaned["force_lb"] = gauge.force_lb(psi)
        if bar is None or cleaned.get("force_lb") is None:
            return
        read = Repeats(forces_lb=tuple(forces or [cleaned["force_lb"]]))
        if fault := impossible(read, self.places.before.known[bar.pk]):
            self.add_error("force_lb", fault)
            return
        method = cleaned.get("force_method") or ""
        self.asked = asked_of(
            read, bar=bar, before=self.places.before, method=method, in_psi=psi is not None, gauge=gauge
        )
        is_stored = (bar.pk, method, tuple(round(force) for force in read.forces_lb)) in self.places.answered
        if self.asked and not cleaned.get("as_read") and not is_stored:
            self.add_error("as_read", " ".join((*self.asked, AS_READ)))

    def values(self) -> dict:
        """The row as the action takes it: the fields of a finding by name; member, bar, jack and photo by id."""
        return {name: value for name, value in self.cleaned_data.items() if name not in ("remove", "as_read")}

    @property
    def size_fields(self) -> list:
        """Everything but kind, note and removal: what shows by kind."""
        return [self[name] for name in self.fields if name not in APART and name not in self.moved]


class Places:
    """The places of one structure that a finding can name, read once for all rows of a page."""

    def __init__(self, structure: Structure, *, before: BarsBefore, as_of: date, stored: Iterable[Finding] = ()):
        self.before, self.jack_choices = before, jack_choices(before, as_of)
        self.answered = {_answer(finding) for finding in stored if finding.kind == FindingKind.BAR_FORCE}
        self.span_rows = list(Span.objects.filter(structure=structure))
        self.spans = [
            ("", "not given"),
            *((span.index, f"Span {span.index}, {span.length_ft:g} ft") for span in self.span_rows),
        ]
        self.members = MemberGroup.objects.filter(span__structure=structure).select_related("span")
        self.member_choices = [
            ("", "not of one group"),
            *((m.pk, f"Span {m.span.index}: {m.label or ''} {m}".replace("  ", " ")) for m in self.members),
        ]
        self.sizes = {group.pk: group for group in self.members}
        self.bars = before.bars
        self.bar_choices = [
            ("", "no bar"),
            *((bar.pk, f"Span {bar.system.span.index}, {bar}") for bar in self.bars),
        ]
        self.photos = Document.objects.filter(structure=structure, kind="photo")
        self.photo_choices = [("", "no photo"), *((photo.pk, photo.title) for photo in self.photos)]
        kinds = [choice for choice in FindingKind.choices() if self.bars or choice[0] not in OF_BARS]
        self.kinds = [("", "choose"), *kinds]

    def known(self) -> dict:
        """Sizes that the page's script compares with: members by id, lengths of the spans by index."""
        return {
            "members": {
                str(group.pk): {"role": group.role, "width_in": group.width_in, "depth_in": group.depth_in}
                for group in self.members
            },
            "spans": {str(span.index): span.length_ft for span in self.span_rows},
        }

    def bar(self, pk: int | None) -> Bar | None:
        return next((bar for bar in self.bars if bar.pk == pk), None)


def _answer(finding: Finding) -> tuple:
    """What a saved reading said: it was asked about then, and is not again."""
    forces = finding.repeats_lb or [finding.force_lb or 0.0]
    return finding.bar_id, finding.force_method, tuple(round(force) for force in forces)


def fields_by_kind() -> dict[str, dict]:
    """The evidence table for the page's script, with the boxes that only this page has for a bar's force."""
    table = evidence_table()
    table["kinds"][str(FindingKind.BAR_FORCE)]["shown"].append("repeats_lb")
    return table
