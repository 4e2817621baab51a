"""The frame of every page, and the hooks by which upper rooms hang their parts on it.

An upper app registers in its `apps.ready()`; this room never looks up to see who did.
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.http import HttpRequest
from django.utils import timezone

from inventory.queries.people import agencies_of, permits_of
from inventory.vocabulary.roles import Permit


@dataclass(frozen=True, kw_only=True)
class Section:
    """A part of a structure's page. `load(request, structure)` returns the template's context, or None to hide it."""

    key: str
    order: int
    title: str
    template: str
    load: Callable
    aside: bool = False


@dataclass(frozen=True, kw_only=True)
class Door:
    """An entry of the navigation; shown to those who hold the permit. `count(person)` gives a number to show beside."""

    order: int
    label: str
    url_name: str
    permit: Permit = Permit.READ
    count: Callable | None = None


@dataclass(frozen=True, kw_only=True)
class ListLink:
    """A way to take a filtered list elsewhere; the list's own query string is added to the address."""

    order: int
    label: str
    url_name: str
    kwargs: tuple = ()


@dataclass(frozen=True, kw_only=True)
class StructureLink:
    """A button at the head of a structure's page; its address takes the structure's row id."""

    order: int
    label: str
    url_name: str
    permit: Permit


@dataclass(frozen=True, kw_only=True)
class Marks:
    """What an upper room knows of places on a structure: finding marks for the elevation, bar states by row id."""

    findings: tuple = ()
    bar_states: dict | None = None


_sections: dict[str, Section] = {}
_mark_sources: dict[str, Callable] = {}
_bar_sources: dict[str, Callable] = {}
_doors: dict[str, Door] = {}
_list_links: dict[str, ListLink] = {}
_structure_links: dict[str, StructureLink] = {}
_banners: dict[str, Callable] = {}


def add_section(section: Section) -> None:
    _sections[section.key] = section


def add_door(door: Door) -> None:
    _doors[door.url_name] = door


def add_list_link(link: ListLink) -> None:
    _list_links[link.label] = link


def add_structure_link(link: StructureLink) -> None:
    _structure_links[link.url_name] = link


def structure_links(permits) -> list[StructureLink]:
    """The buttons for someone who holds these permits."""
    links = sorted(_structure_links.values(), key=lambda link: link.order)
    return [link for link in links if link.permit in permits]


def add_mark_source(key: str, load: Callable) -> None:
    """`load(structure)` returns Marks, drawn on the elevation."""
    _mark_sources[key] = load


def marks_of(structure) -> Marks:
    """All marks the upper rooms have for a structure."""
    found = [load(structure) for load in _mark_sources.values()]
    return Marks(
        findings=tuple(mark for each in found for mark in each.findings),
        bar_states={pk: state for each in found for pk, state in (each.bar_states or {}).items()},
    )


def add_bar_source(key: str, load: Callable) -> None:
    """`load(bar)` returns sentences of what was found on a bar and is not answered, for whoever releases it."""
    _bar_sources[key] = load


def found_on(bar) -> list[str]:
    """What the upper rooms know against a bar."""
    return [sentence for load in _bar_sources.values() for sentence in load(bar)]


def add_banner(key: str, load: Callable) -> None:
    """`load(person)` returns what stands over every page for that person: dicts of words, address and is_late."""
    _banners[key] = load


def sections() -> list[Section]:
    return sorted(_sections.values(), key=lambda section: section.order)


def list_links() -> list[ListLink]:
    return sorted(_list_links.values(), key=lambda link: link.order)


def frame(request: HttpRequest) -> dict:
    """What every page's frame shows: doors, agency names, permits, the date.

    Counted once a request: a page whose sections are rendered one by one asks for it with each.
    """
    if not hasattr(request, "frame"):
        request.frame = _frame(request)
    return request.frame


def _frame(request: HttpRequest) -> dict:
    person = getattr(request, "user", None)
    if person is None or not person.is_authenticated:
        return {"doors": [], "permits": frozenset(), "today": timezone.localdate()}
    permits = permits_of(person)
    agencies = list(agencies_of(person))
    doors = [door for door in sorted(_doors.values(), key=lambda d: d.order) if door.permit in permits]
    return {
        "doors": [{"door": door, "count": door.count(person) if door.count else 0} for door in doors],
        "banners": [line for load in _banners.values() for line in load(person)],
        "permits": {permit.value for permit in permits},
        "own_agencies": agencies,
        "is_demonstration": any(agency.is_demonstration for agency in agencies),
        "today": timezone.localdate(),
    }
