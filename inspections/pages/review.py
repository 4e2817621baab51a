"""The engineer's review: every finding with its photograph, mark, sizes and change; ratings, result, recommendation."""

from collections.abc import Iterable, Mapping
from datetime import date

from django.utils.safestring import mark_safe

from inspections.letters.report.findings import Numbered, grave_of, numbered
from inspections.letters.report.photos import photo_list
from inspections.letters.report.pictures import drawings_part
from inspections.models import Finding, Inspection
from inspections.queries.critical_proposals import proposals_of
from inspections.queries.inspections import authors_of, open_proposal, posting_in_force
from inspections.rules import lifecycle
from inspections.rules.asked import may_ask, visit_fields
from inspections.rules.evidence import wanted_of
from inspections.rules.evidence_readings import READINGS
from inspections.rules.posting import terms_of
from inspections.vocabulary.elements import element_words
from inspections.vocabulary.findings import FindingKind
from inventory.models import Person
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .bar_readings import reading_notes
from .carrying import rating_context
from .condition_in_time import changes_context
from .critical import demanded_context
from .findings import finding_line
from .leading import leader_note
from .posting import face_of, posting_context
from .proposals import compared_ratings

ASKED_OF_THE_VISIT = ("weather", "notes")
NOTHING_TYPED: Mapping = {}


def review_context(inspection: Inspection, reader: Person, today: date, typed: Mapping = NOTHING_TYPED) -> dict:
    """Everything the three verbs rest on. `typed` is what was sent, where the page is shown again."""
    structure = inspection.structure
    permits = permits_of(reader, structure.agency)
    findings = list(inspection.findings.select_related("inspection", "member__span", "bar__system", "jack", "photo"))
    rows = numbered(findings)
    changes = changes_context(inspection)
    rating, proposal = inspection.ratings.first(), open_proposal(structure)
    key = f"review-{inspection.pk}"
    return {
        "inspection": inspection,
        "structure": structure,
        "leader_note": leader_note(inspection),
        "whose_own": whose_own(inspection, reader),
        "items": _items(inspection, rows, changes, typed),
        "bar_lines": _bar_lines([row for row in findings if row.kind == FindingKind.BAR_FORCE]),
        "drawings": _drawings(inspection, rows),
        "of_the_whole": [photo for photo in photo_list(inspection, rows) if not photo["finding"]],
        "not_seen": [line for line in changes["changes"] if line["change"] == "gone"],
        "elements": [(element_words(row.number), row) for row in inspection.elements.all()],
        "compared": compared_ratings(inspection, as_of=today),
        "asked_before": inspection.asked,
        **(rating_context(rating) if rating else {"rating": None}),
        **demanded_context(proposals_of(inspection), permits),
        **posting_context(posting_in_force(structure), key=key),
        "proposal": proposal,
        "proposal_words": terms_of(proposal).words if proposal else "",
        "proposal_face": face_of(proposal, key=f"{key}-proposed", is_awaited=True) if proposal else "",
        "may_decide": Permit.DECIDE_POSTING in permits,
        "may_restrict": Permit.RESTRICT_NOW in permits,
        "visit_asks": _visit_asks(set(typed.getlist("ask")) if typed else set()),
        "visit_is_asked": bool(typed) and any(value.startswith(":") for value in typed.getlist("ask")),
        "words_for_all": typed.get("words-", ""),
    }


def whose_own(inspection: Inspection, reader: Person) -> dict:
    """Whether the reader entered part of it: the sentence that stops them, or the agency's named override."""
    agency, authors = inspection.structure.agency, authors_of(inspection)
    stops = lifecycle.may_review(
        reviewer=reader.pk,
        authors=authors,
        override=agency.reviewer_may_be_inspector,
        override_reason=agency.reviewer_override_reason,
    )
    own = reader.pk in authors
    return {"stops": stops, "override": agency.reviewer_override_reason if own and not stops else ""}


def _items(inspection: Inspection, rows: list[Numbered], changes: Mapping, typed: Mapping) -> list[dict]:
    """Every finding but the plain bar readings, which stand in one table."""
    photos = photo_list(inspection, rows)
    changed = {line["finding"].pk: line for line in changes["changes"] if line["change"] != "gone"}
    ticked = set(typed.getlist("ask")) if typed else set()
    return [
        {
            "number": row.number,
            "line": finding_line(row.finding),
            "grave": grave_of(row.finding),
            "photos": [photo for photo in photos if photo["finding"] == row.number],
            "change": changed.get(row.finding.pk),
            "missing": _missing(row.finding, photos, row.number),
            "identity": str(row.finding.identity or ""),
            "may_ask": _asks(row.finding, ticked),
            "is_asked": any(value.startswith(f"{row.finding.identity}:") for value in ticked)
            or bool(typed.get(f"words-{row.finding.identity}")),
            "words": typed.get(f"words-{row.finding.identity}", ""),
            "asked": [each for each in inspection.asked if each["finding"] == str(row.finding.identity)],
        }
        for row in rows
        if row.finding.kind != FindingKind.BAR_FORCE or row.is_grave
    ]


def _missing(finding: Finding, photos: list[dict], number: int) -> list[str]:
    """What the evidence table of today wants and the finding lacks."""
    columns = {field.name: field.value_from_object(finding) for field in finding._meta.concrete_fields}
    if any(photo["finding"] == number for photo in photos):
        columns["photo"] = "shown"
    return [told.words for told in wanted_of(columns)]


def _asks(finding: Finding, ticked: set[str]) -> list[dict]:
    """The boxes of one finding: value, title, whether it is ticked, whether something stands there already."""
    return [
        {
            "value": f"{finding.identity}:{field}",
            "title": READINGS[field].title,
            "is_ticked": f"{finding.identity}:{field}" in ticked,
        }
        for field in may_ask(finding.kind)
    ]


def _visit_asks(ticked: set[str]) -> list[dict]:
    """The boxes of the inspection itself: ratings and what is said of the visit."""
    return [
        {"value": f":{field}", "title": field.replace("_", " ").capitalize(), "is_ticked": f":{field}" in ticked}
        for field in visit_fields()
        if field in ASKED_OF_THE_VISIT or field.endswith("_rating")
    ]


def _bar_lines(findings: list[Finding]) -> list[dict]:
    notes = reading_notes(findings)
    return [finding_line(row, notes.get(row.pk, ())) for row in findings]


def _drawings(inspection: Inspection, rows: list[Numbered]) -> dict:
    shown = [row for row in rows if row.finding.kind != FindingKind.BAR_FORCE]
    made = drawings_part(inspection, shown)
    # Built by our own writer, which escapes every text.
    figures = [figure | {"svg": mark_safe(figure["svg"])} for figure in made["figures"]]  # noqa: S308
    return {"figures": figures, "unplaced": made["unplaced"]}


def queue_context(waiting: Iterable[Inspection], reader: Person, graves: set[int]) -> dict:
    """Inspections awaiting the reader, grave ones first, then by the day they were handed in; and the one to open next.

    `graves` are the structures at which the engineer is needed now.
    """
    queue = [
        {
            "inspection": row,
            "is_grave": row.structure_id in graves,
            "stops": whose_own(row, reader)["stops"],
        }
        for row in waiting
    ]
    queue.sort(key=lambda row: not row["is_grave"])
    following = next((row["inspection"] for row in queue if not row["stops"]), None)
    return {"queue": queue, "next_review": following}
