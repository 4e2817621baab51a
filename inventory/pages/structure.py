"""What this room hangs on a structure's page: identity, drawings, members, bars, histories, record, events."""

from dataclasses import dataclass

from django.http import HttpRequest

from inventory.actions.receive_photo import MAY_ADD
from inventory.drawings.elevation import elevation
from inventory.drawings.from_rows import shape_of
from inventory.drawings.section import cross_section
from inventory.models import FederalRecord, Structure
from inventory.queries.completeness import missing_of
from inventory.queries.people import permits_of
from inventory.reckoning.member_values import standing_values
from inventory.vocabulary.record_1995 import CODE_LISTS
from inventory.vocabulary.record_1995.columns import COLUMNS
from inventory.vocabulary.structures import DeckKind

from . import Section, add_section, marks_of, structure_links

SHOWN_EVENTS = 30


@dataclass(frozen=True)
class RecordLine:
    """One item of the federal record for the page."""

    item: str
    name: str
    raw: str
    meaning: str


def load_title(request: HttpRequest, structure: Structure) -> dict:
    owner = CODE_LISTS["022"].meaning(structure.owner_code) or structure.owner_code
    posting = structure.postings.filter(superseded_on__isnull=True).first()
    return {
        "standing": getattr(structure, "standing", None),
        "owner": owner,
        "posting": posting,
        "links": structure_links(permits_of(request.user, structure.agency)),
    }


def load_elevation(request: HttpRequest, structure: Structure) -> dict:
    marks = marks_of(structure)
    return {"drawing": elevation(shape_of(structure, bar_states=marks.bar_states), marks=marks.findings)}


def load_section(request: HttpRequest, structure: Structure) -> dict:
    """One cross-section; another for each further span that is built otherwise."""
    shape = shape_of(structure)
    drawings, seen = [], set()
    for span in shape.spans:
        built = (span.system, span.members, span.deck_thickness_in, span.stressing and span.stressing.stressed_depth_in)
        if built not in seen:
            seen.add(built)
            drawings.append((span.index, cross_section(shape, span_index=span.index)))
    return {"drawings": drawings or [(1, cross_section(shape))], "is_one": len(drawings) < 2}


def load_members(request: HttpRequest, structure: Structure) -> dict:
    shape_of(structure)  # reads spans and members once for the whole page
    spans = []
    for span in structure.spans.all():
        sizes = [
            (member, f"{member.width_in:g} x {member.depth_in:g}", list(standing_values(member).items()))
            for member in span.members.all()
        ]
        spans.append((span, DeckKind.label_of(span.deck_kind), sizes))
    return {"spans": spans, "railings": structure.railings.all(), "supports": structure.substructure.all()}


def load_bars(request: HttpRequest, structure: Structure) -> dict | None:
    shape_of(structure)
    systems = [span.stressing for span in structure.spans.all() if getattr(span, "stressing", None)]
    return {"systems": systems} if systems else None


def load_surfacing(request: HttpRequest, structure: Structure) -> dict:
    layers = list(structure.surfacing.all())
    return {
        "standing_layers": [layer for layer in reversed(layers) if layer.removed_on is None],
        "removed_layers": [layer for layer in reversed(layers) if layer.removed_on is not None],
        "dead_psf": sum(x.thickness_in / 12 * x.unit_weight_pcf for x in layers if x.removed_on is None),
    }


def load_treatment(request: HttpRequest, structure: Structure) -> dict:
    return {"treatments": structure.treatments.all()}


def load_works(request: HttpRequest, structure: Structure) -> dict:
    return {"works": structure.works.select_related("by")}


def load_postings(request: HttpRequest, structure: Structure) -> dict:
    return {"postings": structure.postings.select_related("adopted_by").prefetch_related("signs__confirmed_by")}


def load_record(request: HttpRequest, structure: Structure) -> dict | None:
    record = FederalRecord.objects.filter(structure=structure).select_related("source").first()
    return {"record": record, "lines": record_lines(record)} if record else None


def record_lines(record: FederalRecord) -> list[RecordLine]:
    """The raw items by item number, with the meaning of coded ones."""
    named = {column.item: column.name.rsplit("_", 1)[0].replace("_", " ").capitalize() for column in COLUMNS}
    lines = []
    for item, raw in sorted(record.items.items()):
        codes = CODE_LISTS.get(item)
        meaning = codes.meaning(str(raw).strip()) if codes else ""
        lines.append(RecordLine(item.lstrip("0"), codes.title if codes else named.get(item, ""), str(raw), meaning))
    return lines


def load_missing(request: HttpRequest, structure: Structure) -> dict:
    return {"sentences": missing_of(structure)}


def load_photos(request: HttpRequest, structure: Structure) -> dict:
    may_add = bool(permits_of(request.user, structure.agency) & set(MAY_ADD))
    return {"photos": structure.documents.filter(kind="photo").exclude(served=""), "may_add": may_add}


def load_events(request: HttpRequest, structure: Structure) -> dict:
    return {"events": structure.events.select_related("by")[:SHOWN_EVENTS]}


def hang_sections() -> None:
    """Called once when the site starts. Upper rooms put theirs between by their order numbers."""
    for key, order, title, load, aside in (
        ("identity", 5, "Title block", load_title, True),
        ("elevation", 10, "Elevation, looking across the road", load_elevation, False),
        ("section", 20, "Cross-section, looking ahead", load_section, False),
        ("missing", 25, "Missing before it can be rated", load_missing, True),
        ("members", 60, "Members and design values", load_members, False),
        ("bars", 62, "Bars", load_bars, False),
        ("surfacing", 64, "Surfacing", load_surfacing, True),
        ("treatment", 66, "Treatment", load_treatment, False),
        ("works", 68, "Works", load_works, False),
        ("postings", 70, "Postings and signs", load_postings, False),
        ("photos", 72, "Photographs", load_photos, True),
        ("record", 80, "Federal record", load_record, False),
        ("events", 90, "Who did what", load_events, True),
    ):
        template = f"inventory/sections/{key}.html"
        add_section(Section(key=key, order=order, title=title, template=template, load=load, aside=aside))
