"""One filter each of reminders and of forecasts of bar force, for list, printed list and CSV.

Where it is not valid, `qs` is empty and `sentences` says what was not understood: a filter that cannot be read never
widens a list.
"""

from datetime import date, timedelta

import django_filters as filters
from django import forms
from django.db.models import Q, QuerySet

from inspections.models import BarForecast, Reminder
from inspections.queries.reminders import ACTIVE, assignable_people, is_late
from inspections.vocabulary.states import ReminderKind, ReminderState
from inventory.models import Person

STATES = [("all", "All, closed too"), *ReminderState.choices()]
ORDERS = (
    ("due_on", "due"),
    ("structure__number", "structure"),
    ("kind", "kind"),
    ("assigned_to__username", "person"),
)
SEARCHED = ("structure__number", "structure__name", "structure__road_name", "structure__feature_crossed", "reason")


STANDS = [
    ("overdue", "Re-tension overdue"),
    ("year", "Re-tension within a year"),
    ("posting", "Posting would change within a year"),
    ("no_date", "No date in ten years"),
    ("refused", "No forecast"),
]
FORECAST_ORDERS = (
    ("structure__number", "structure"),
    ("lower_psi_today", "pressure"),
    ("chance_below_need_ratio", "chance"),
    ("need_reached_early_on", "need"),
    ("posting_horizon_on", "posting"),
    ("recommended_on", "date"),
)


def _with_words(rows: QuerySet, value: str, fields: tuple[str, ...]) -> QuerySet:
    """Every word must stand in one of the fields."""
    for word in value.replace("\x00", " ").split()[:8]:
        anywhere = Q()
        for field in fields:
            anywhere |= Q(**{f"{field}__icontains": word})
        rows = rows.filter(anywhere)
    return rows


class _Told(filters.FilterSet):
    """What was not understood, in sentences, and what is chosen; a filter that cannot be read shows nothing."""

    @property
    def qs(self) -> QuerySet:
        return super().qs if self.form.is_valid() else self.queryset.none()

    @property
    def sentences(self) -> list[str]:
        """What was not understood, one sentence for each parameter."""
        fields = self.form.fields
        return [f"{fields[name].label}: {' '.join(errors)}" for name, errors in self.form.errors.items()]

    @property
    def chosen(self) -> dict[str, str]:
        """The parameters in use, by name, as they stand in the address (the order apart)."""
        given = {name: str(self.data.get(name, "")).strip() for name in self.filters if name != "sort"}
        return {name: value for name, value in given.items() if value}


class ForecastFilter(_Told):
    """Forecasts of bar force; every parameter may be left out, together they narrow."""

    q = filters.CharFilter(label="Structure or words", method="with_words", max_length=100)
    stands = filters.ChoiceFilter(label="Stands", choices=STANDS, method="as_it_stands", empty_label="All")
    due_before = filters.DateFilter(
        label="Re-tension before",
        field_name="recommended_on",
        lookup_expr="lt",
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": "write the date as year-month-day, for example 2026-05-14."},
    )
    chance = filters.NumberFilter(
        label="Chance below the need, at least %", method="with_chance", min_value=0, max_value=100
    )
    sort = filters.OrderingFilter(label="Order", fields=FORECAST_ORDERS, widget=forms.HiddenInput)

    class Meta:
        model = BarForecast
        fields: list[str] = []

    def __init__(self, data=None, queryset=None, *, as_of: date, **more):
        self.as_of = as_of
        super().__init__(data if data is not None else {}, queryset, **more)

    def with_words(self, rows: QuerySet, name: str, value: str) -> QuerySet:
        fields = ("structure__number", "structure__name", "structure__road_name", "structure__feature_crossed")
        return _with_words(rows, value, (*fields, "recommended_why"))

    def as_it_stands(self, rows: QuerySet, name: str, value: str) -> QuerySet:
        year = self.as_of + timedelta(days=365)
        return {
            "overdue": rows.filter(recommended_on__lt=self.as_of),
            "year": rows.filter(recommended_on__lte=year),
            "posting": rows.filter(posting_horizon_on__lte=year),
            "no_date": rows.filter(recommended_on__isnull=True, problem=""),
            "refused": rows.exclude(problem=""),
        }[value]

    def with_chance(self, rows: QuerySet, name: str, value) -> QuerySet:
        return rows.filter(chance_below_need_ratio__gte=float(value) / 100.0)


class ReminderFilter(_Told):
    """Every parameter may be left out; together they narrow. Without `state`, what is still owed."""

    q = filters.CharFilter(label="Structure or words", method="with_words", max_length=100)
    kind = filters.ChoiceFilter(label="What", choices=ReminderKind.choices(), empty_label="Anything")
    state = filters.ChoiceFilter(label="State", choices=STATES, method="in_state", empty_label="Still owed")
    due_before = filters.DateFilter(
        label="Due before",
        field_name="due_on",
        lookup_expr="lt",
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": "write the date as year-month-day, for example 2026-05-14."},
    )
    road = filters.CharFilter(
        label="Road", field_name="structure__road_name", lookup_expr="icontains", max_length=80, strip=True
    )
    person = filters.ChoiceFilter(label="Assigned to", method="with_person", empty_label="Anyone")
    late = filters.BooleanFilter(label="Late only", method="only_late", widget=forms.CheckboxInput)
    sort = filters.OrderingFilter(label="Order", fields=ORDERS, widget=forms.HiddenInput)

    class Meta:
        model = Reminder
        fields: list[str] = []

    def __init__(self, data=None, queryset=None, *, person: Person, as_of: date, **more):
        self.person, self.as_of = person, as_of
        super().__init__(data if data is not None else {}, queryset, **more)
        people = [(str(one.pk), str(one)) for one in assignable_people(person)]
        self.filters["person"].extra["choices"] = [("me", "Me"), ("nobody", "Nobody"), *people]

    @property
    def qs(self) -> QuerySet[Reminder]:
        found = super().qs
        if not self.form.is_valid():
            return found
        return found if self.form.cleaned_data.get("state") else found.filter(state__in=ACTIVE)

    def with_words(self, reminders: QuerySet, name: str, value: str) -> QuerySet:
        """Every word must stand in the structure's number, name, road or feature, or in the reason."""
        return _with_words(reminders, value, SEARCHED)

    def in_state(self, reminders: QuerySet, name: str, value: str) -> QuerySet:
        return reminders if value == "all" else reminders.filter(state=value)

    def with_person(self, reminders: QuerySet, name: str, value: str) -> QuerySet:
        if value == "nobody":
            return reminders.filter(assigned_to=None)
        return reminders.filter(assigned_to=self.person.pk if value == "me" else int(value))

    def only_late(self, reminders: QuerySet, name: str, value: bool) -> QuerySet:
        return reminders.filter(is_late(self.as_of)) if value else reminders
