"""What an import must know of the register, read in few queries; and what waits for a person."""

from collections.abc import Collection
from typing import NamedTuple

from django.db.models import Q, QuerySet

from inventory.models import Agency, FederalRecord, HeldChange, Person, Posting, Structure

from .people import agencies_of


class Known(NamedTuple):
    """What tells whether a line is about a structure and whether it says anything new."""

    pk: int
    number: str
    state_code: str
    agency_id: int
    digest: str | None


def structures_numbered(states: Collection[str], numbers: Collection[str], ids: Collection[int] = ()) -> list[Known]:
    """Structures of all agencies with these numbers, or these ids: a number is one bridge in the whole State."""
    wanted = Q(number__in=numbers, state_code__in={*states, ""})
    if ids:
        wanted |= Q(pk__in=ids)
    found = Structure.objects.filter(wanted).order_by()
    values = found.values_list(
        "pk", "number", "state_code", "agency_id", "agency__state_code", "federal_record__digest"
    )
    return [Known(pk, number, state or home, agency, digest) for pk, number, state, agency, home, digest in values]


def structures_with_records(ids: Collection[int], *, lock: bool = False) -> dict[int, Structure]:
    """The structures with all that an import compares; locked where it is going to write."""
    found = Structure.objects.filter(pk__in=ids).select_related("agency", "standing", "federal_record")
    return (found.select_for_update(of=("self",)) if lock else found).in_bulk()


def has_structures(state_code: str) -> bool:
    """Whether the register holds any structure of a State, or of no State."""
    return Structure.objects.filter(state_code__in=(state_code, "")).exists()


def numbers_in_state(state_code: str) -> list[tuple[int, str]]:
    """Id and number of every structure of a State."""
    return list(Structure.objects.filter(state_code=state_code).order_by().values_list("pk", "number"))


def bare_numbers(state_code: str) -> list[tuple[int, str]]:
    """Id and number of the structures whose number came from a copy that may have lost zeros."""
    records = FederalRecord.objects.filter(structure__state_code=state_code, given__number_is_bare=True)
    return list(records.values_list("structure_id", "structure__number"))


def ids_by_number(states: Collection[str], numbers: Collection[str]) -> dict[tuple[int, str], int]:
    """Ids of structures by agency and number; by State, because that is how the index leads to a number."""
    found = Structure.objects.filter(state_code__in=states, number__in=numbers).order_by()
    return {(agency, number): pk for pk, agency, number in found.values_list("pk", "agency_id", "number")}


def postings_in_force(ids: Collection[int]) -> dict[int, Posting]:
    """The standing posting of each structure that has one."""
    found = Posting.objects.filter(structure_id__in=ids, superseded_on__isnull=True)
    return {posting.structure_id: posting for posting in found}


def agencies_by_place() -> dict[tuple[str, str], Agency]:
    """Agency by State and county code; a real one before a demonstration, the older before the newer."""
    found: dict[tuple[str, str], Agency] = {}
    for agency in Agency.objects.exclude(state_code="").order_by("is_demonstration", "pk"):
        found.setdefault((agency.state_code, agency.county_code), agency)
    return found


def open_holds(ids: Collection[int]) -> dict[tuple[int, str], HeldChange]:
    """Undecided holds by structure and field."""
    found = HeldChange.objects.filter(structure_id__in=ids, decision="")
    return {(hold.structure_id, hold.field): hold for hold in found}


def held_changes_for(person: Person) -> QuerySet[HeldChange]:
    """Undecided holds in the person's agencies."""
    found = HeldChange.objects.filter(decision="", structure__agency__in=agencies_of(person))
    return found.select_related("structure", "structure__agency", "source")
