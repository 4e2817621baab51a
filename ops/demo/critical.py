"""Whom the county calls, one critical finding still open and one closed; photographs of the newest inspection."""

import uuid
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from inspections.actions import critical
from inspections.models import CriticalFinding, Inspection, InspectionPhoto
from inventory.actions.contacts import add_contact
from inventory.actions.receive_photo import receive_photo
from inventory.models import Agency, Document, Person, Posting, Structure

from .painted import painted

CONTACTS = (
    ("sheriff", "Larkmoor County dispatch", "555-0111", "day and night"),
    ("engineer", "Edda Vantage, county bridge engineer", "555-0142", "day and night"),
    ("supervisor", "Perrin Quillan, road supervisor", "555-0143", "after hours through dispatch"),
    ("state", "State bridge office, duty officer", "555-0199 ext 4", ""),
    ("utility", "Larkmoor Rural Power", "555-0170", "lines over or on a bridge"),
)
NAMESPACE = uuid.UUID("3b0c3f0a-6c58-4a1e-8d7e-2f4f0f6f5a10")
VIEWS = (
    ("span", "Looking upstream, both abutments dry"),
    ("deck", "Deck at midspan, a crack in the surfacing along the joint"),
)


@dataclass(frozen=True)
class Scene:
    """Where and with whom the demonstration's findings happen."""

    people: dict[str, Person]
    today: date
    seed: int

    def at(self, day: date, hour: int) -> datetime:
        return timezone.make_aware(datetime.combine(day, time(hour)))

    def photo(self, structure: Structure, scene: str, title: str, by: str, at: datetime) -> Document:
        data = painted(scene, self.seed + structure.pk % 7)
        day = timezone.localdate(at)
        return receive_photo(structure=structure, data=data, title=title, by=self.people[by], at=at, taken_on=day)


def enter_contacts(agency: Agency, people: dict[str, Person], at: datetime) -> None:
    for role, name, phone, note in CONTACTS:
        values = {"role": role, "name": name, "phone": phone, "note": note}
        add_contact(agency=agency, values=values, by=people["supervisor"], at=at)


def critical_findings(made, people: dict[str, Person], today: date, seed: int) -> None:
    """The story of the closed bridge ends with its finding closed; one found yesterday is open."""
    scene = Scene(people, today, seed)
    shut = next(item.structure for item in made if item.plan.story == "closed")
    _closed(scene, shut)
    fresh = next(item.structure for item in made if item.plan.spans == 3)
    _open(scene, fresh)
    reviewed = next(item.structure for item in made if item.plan.story == "awaiting_review")
    _photographed(scene, reviewed)


def _closed(scene: Scene, structure: Structure) -> None:
    posting = Posting.objects.filter(structure=structure, source="immediate").first()
    on = posting.decided_on
    found = scene.at(on, 13)
    finding = critical.report_critical(
        structure=structure,
        identity=uuid.uuid5(NAMESPACE, f"{structure.number} closed"),
        kind="closure",
        words="A stringer broken through at midspan and the next one rotten; the bridge was closed.",
        found_at=found,
        by=scene.people["t.oakes"],
        at=scene.at(on, 14),
        notices=[
            {"whom": CONTACTS[0][1], "role": "sheriff", "how": "call", "told_at": found + timedelta(minutes=5)},
            {"whom": CONTACTS[1][1], "role": "engineer", "how": "call", "told_at": found + timedelta(minutes=9)},
        ],
    )
    CriticalFinding.objects.filter(pk=finding.pk).update(posting=posting)
    by, told_at = scene.people["supervisor"], scene.at(on, 16)
    notice = {
        "whom": CONTACTS[3][1],
        "role": "state",
        "how": "call",
        "told_at": told_at,
        "note": "Written report owed.",
    }
    critical.tell_of_critical(finding=finding, notice=notice, by=by, at=told_at)
    finding = critical.make_safe(
        finding=finding, revision=0, words="Barricades and lights at both ends.", by=by, at=scene.at(on, 17)
    )
    until = on + timedelta(days=14)
    critical.plan_critical(
        finding=finding, revision=1, words="Set barriers for good; replacement in the programme of works.", until=until,
        by=scene.people["engineer"], at=scene.at(on + timedelta(days=1), 9),
    )  # fmt: skip
    done_at = scene.at(on + timedelta(days=1), 15)
    photo = scene.photo(structure, "barrier", "Concrete barriers and signs, west end", "j.brandt", done_at)
    critical.close_critical(
        finding=finding, revision=2, words="Closed to all traffic; barriers and signs set at both ends.", photo=photo,
        by=scene.people["engineer"], at=scene.at(on + timedelta(days=1), 16),
    )  # fmt: skip


def _open(scene: Scene, structure: Structure) -> None:
    yesterday = scene.today - timedelta(days=1)
    found = scene.at(yesterday, 16)
    photo = scene.photo(structure, "gap", "Pile 2 of bent 1, clear of its cap", "m.sorrel", found)
    critical.report_critical(
        structure=structure,
        identity=uuid.uuid5(NAMESPACE, f"{structure.number} open"),
        kind="threat",
        words="Pile 2 of bent 1 stands 2 in clear of its cap; the scour hole reaches under it.",
        found_at=found,
        by=scene.people["m.sorrel"],
        at=found + timedelta(minutes=12),
        photo=photo,
        notices=[
            {"whom": CONTACTS[0][1], "role": "sheriff", "how": "call", "told_at": found + timedelta(minutes=4)},
            {"whom": CONTACTS[2][1], "role": "supervisor", "how": "call", "told_at": found + timedelta(minutes=7)},
        ],
    )


def _photographed(scene: Scene, structure: Structure) -> None:
    inspection = Inspection.objects.filter(structure=structure, state="rated").first()
    if inspection is None:
        return
    at = scene.at(inspection.field_completed_on, 11)
    for order, (kind, caption) in enumerate(VIEWS):
        photo = scene.photo(structure, kind, caption, "t.oakes", at)
        InspectionPhoto.objects.create(inspection=inspection, document=photo, caption=caption, order=order)
