"""The log of a stressing day as it stands: entries, who wrote them, the jacks used."""

from django.db.models import QuerySet

from inspections.models import LoggedPull, StressingDay
from inspections.vocabulary.states import PullState, StressingState
from inventory.models import Bar, Jack, Person, Structure
from inventory.queries.people import people_with
from inventory.vocabulary.roles import ALLOWED, Permit


def entries_of(day: StressingDay) -> QuerySet[LoggedPull]:
    """Entries that stand, in the order they were made."""
    return day.pulls.exclude(state=PullState.TAKEN_BACK).select_related("by", "jack").order_by("id")


def all_entries_of(day: StressingDay) -> QuerySet[LoggedPull]:
    """Every entry, those taken back too, in the order they were made."""
    return day.pulls.select_related("by", "jack").order_by("id")


def bars_of_day(day: StressingDay) -> list[Bar | None]:
    """The bars in the order of the plan; None where one is no longer on record."""
    found = {bar.pk: bar for bar in Bar.objects.filter(pk__in=day.bar_ids)}
    return [found.get(pk) for pk in day.bar_ids]


def jacks_of_day(day: StressingDay) -> list[Jack | None]:
    """The jacks in the order of the plan."""
    found = {jack.pk: jack for jack in Jack.objects.filter(pk__in=day.jack_ids)}
    return [found.get(pk) for pk in day.jack_ids]


def other_days_at_work(day: StressingDay) -> list[StressingDay]:
    """Other stressing days of the same bridge on which a jack may be on a bar."""
    states = (StressingState.UNDER_WAY.value, StressingState.HELD.value)
    return list(StressingDay.objects.filter(structure=day.structure_id, state__in=states).exclude(pk=day.pk))


def people_who_inspect(structure: Structure) -> QuerySet[Person]:
    """Who may answer for readings as the inspector."""
    return people_with(structure.agency, *ALLOWED[Permit.ENTER_INSPECTION]).order_by("last_name", "username")
