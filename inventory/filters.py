"""One filter of structures for the list, the map, the exports and the interface.

Use: `chosen = StructureFilter(request.GET, queryset=structures_for(request.user), as_of=today)`. Where
`chosen.is_valid()` is false, `chosen.qs` is empty and `chosen.sentences` says what was not understood: a filter that
cannot be read never widens a list.
"""

from datetime import date, timedelta

import django_filters as filters
from django.db.models import Q, QuerySet
from django.utils import timezone

from inventory.models import Structure
from inventory.vocabulary.record_1995 import CODE_LISTS
from inventory.vocabulary.structures import BarStanding, ConditionClass, Restriction, Status, System

DUE = [("overdue", "Overdue"), ("30", "Within 30 days"), ("90", "Within 90 days"), ("none", "No date")]
MISSING = [("yes", "Something is missing"), ("no", "Complete")]
OWNERS = [(code.value, code.meaning[:1].upper() + code.meaning[1:]) for code in CODE_LISTS["022"].codes.values()]
SEARCHED = ("number", "road_name", "feature_crossed", "name")


class StructureFilter(filters.FilterSet):
    """Every parameter may be left out; together they narrow."""

    q = filters.CharFilter(label="Number, road, feature or name", method="with_words", max_length=100)
    system = filters.ChoiceFilter(label="System", choices=System.choices(), empty_label="Any")
    road = filters.CharFilter(label="Road", field_name="road_name", lookup_expr="icontains", max_length=80)
    status = filters.ChoiceFilter(label="Status", choices=Status.choices(), empty_label="Any")
    condition = filters.ChoiceFilter(
        label="Condition", field_name="standing__condition_class", choices=ConditionClass.choices(), empty_label="Any"
    )
    restriction = filters.ChoiceFilter(
        label="Restriction", field_name="standing__restriction", choices=Restriction.choices(), empty_label="Any"
    )
    due = filters.ChoiceFilter(label="Next due", choices=DUE, method="due_by", empty_label="Any")
    owner = filters.ChoiceFilter(label="Owner", field_name="owner_code", choices=OWNERS, empty_label="Any")
    built_from = filters.NumberFilter(label="Built from", field_name="year_built", lookup_expr="gte", min_value=1700)
    built_to = filters.NumberFilter(label="Built to", field_name="year_built", lookup_expr="lte", max_value=2200)
    bars = filters.ChoiceFilter(
        label="Bars", field_name="standing__bar_state", choices=BarStanding.choices(), empty_label="Any"
    )
    missing = filters.ChoiceFilter(label="Data", choices=MISSING, method="with_missing", empty_label="Any")
    agency = filters.NumberFilter(label="Agency", field_name="agency_id", min_value=1, max_value=2**31)

    class Meta:
        model = Structure
        fields: list[str] = []

    def __init__(self, data=None, queryset=None, *, as_of: date | None = None, **more):
        self.as_of = as_of or timezone.localdate()
        super().__init__(data, queryset, **more)

    @property
    def qs(self) -> QuerySet[Structure]:
        return super().qs if self.is_valid() else self.queryset.none()

    def is_valid(self) -> bool:
        return not self.is_bound or self.form.is_valid()

    @property
    def sentences(self) -> list[str]:
        """What was not understood, one sentence for each parameter."""
        if self.is_valid():
            return []
        fields = self.form.fields
        return [f"{fields[name].label}: {' '.join(errors)}" for name, errors in self.form.errors.items()]

    @property
    def chosen(self) -> dict[str, str]:
        """The parameters in use, by name, as they stand in the address."""
        if not self.is_bound:
            return {}
        return {name: self.data.get(name, "").strip() for name in self.filters if self.data.get(name, "").strip()}

    def with_words(self, structures: QuerySet, name: str, value: str) -> QuerySet:
        """Every word must stand in the number, the road, the feature or the name; large and small letters alike."""
        for word in value.replace("\x00", " ").split()[:8]:
            anywhere = Q()
            for field in SEARCHED:
                anywhere |= Q(**{f"{field}__icontains": word})
            structures = structures.filter(anywhere)
        return structures

    def due_by(self, structures: QuerySet, name: str, value: str) -> QuerySet:
        """Overdue: the date has passed. Within so many days: due by then, what is overdue included."""
        if value == "none":
            return structures.filter(standing__next_due_on__isnull=True)
        if value == "overdue":
            return structures.filter(standing__next_due_on__lt=self.as_of)
        return structures.filter(standing__next_due_on__lte=self.as_of + timedelta(days=int(value)))

    def with_missing(self, structures: QuerySet, name: str, value: str) -> QuerySet:
        if value == "yes":
            return structures.filter(standing__missing_count__gt=0)
        return structures.filter(standing__missing_count=0)
