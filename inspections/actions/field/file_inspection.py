"""An inspection from the field is filed as a draft, and handed in where nothing is missing.

Where another has saved since the device fetched it, nothing is written: mine and theirs meet, and a person chooses.
"""

from collections.abc import Sequence
from uuid import UUID

from django.db import transaction

from inspections.actions.channel import save_surveys
from inspections.actions.receive import keep_version, open_inspection, save_draft, submit_inspection
from inspections.assembly.last_time import unanswered
from inspections.models import Inspection
from inspections.rules.evidence_table import evidence_table
from inspections.rules.field_clock import clock_sentence, confirm_day_sentence, is_far_off
from inspections.rules.lifecycle import EDITABLE
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import InspectionState
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .filing import MEETING, REFUSED, Filed, Filing, held
from .inspection_values import finding_values, visit_values, whole_elements
from .meeting import both_of, how_they_differ, others_changed, theirs_of
from .photo_places import give_places, point_places

INCOMPLETE = "Saved as a draft: element rows without their total stand in the notes until the total is given."
DRAFT_STILL = "Saved as a draft, not handed in yet:"
OLDER_TABLE = (
    "The device used another version of the evidence table than the site: fetch the packs again when you have a signal."
)


def file_inspection(filing: Filing) -> Filed:
    """Called inside the transaction of the filing, the structure and the receipt held."""
    visit = filing.record["inspection"]
    inspection = Inspection.objects.select_for_update().filter(identity=UUID(visit["identity"])).first()
    if inspection is not None and inspection.structure_id != filing.structure.pk:
        return held(REFUSED, "This inspection is on record at another structure; nothing of it was changed.")
    if inspection is None:
        return _save(filing, _opened(filing), filing.record)
    if filing.choice == "theirs":
        return Filed(inspection=inspection, sentences=["The other's entries were kept; nothing of this was saved."])
    same = not how_they_differ(inspection, filing)
    if inspection.state not in EDITABLE:
        return _handed_in_before(inspection, filing, same)
    if filing.choice == "both":
        content, told = both_of(inspection, filing)
        return _save(filing, inspection, content, told)
    if same or filing.settles or not others_changed(inspection, filing):
        return _save(filing, inspection, filing.record)
    theirs = theirs_of(inspection)
    sentence = (
        f"{theirs['by'] or 'Somebody'} changed this inspection after you fetched it. Nothing is lost: choose yours, "
        "theirs, or both put together."
    )
    return held(MEETING, sentence, inspection=inspection, theirs=theirs, differs=how_they_differ(inspection, filing))


def _handed_in_before(inspection: Inspection, filing: Filing, same: bool) -> Filed:
    label = InspectionState.label_of(inspection.state).lower()
    if same:
        return Filed(inspection=inspection, sentences=[f"The site has this already: {label}."])
    return held(
        REFUSED,
        f"This inspection is already handed in ({label}) and can no longer be changed. What you sent is kept: ask the "
        "reviewing engineer to send the inspection back, or the office to settle it.",
        inspection=inspection,
        theirs=theirs_of(inspection),
        differs=how_they_differ(inspection, filing),
    )


def _opened(filing: Filing) -> Inspection:
    visit = filing.record["inspection"]
    return open_inspection(
        structure=filing.structure,
        kind=visit["kind"],
        by=filing.by,
        at=filing.at,
        identity=UUID(visit["identity"]),
        inspector=filing.author,
        permit=filing.permit or Permit.ENTER_INSPECTION,
    )


def _save(filing: Filing, inspection: Inspection, content: dict, told: Sequence[str] = ()) -> Filed:
    fields = visit_values(content["inspection"])
    elements, incomplete = whole_elements(content.get("elements") or [])
    told = [*told, *incomplete]
    if told:
        notes = fields["notes"] if "notes" in fields else inspection.notes
        fields["notes"] = "\n".join([notes, *(line for line in told if line not in notes)]).strip()
    permit = filing.permit or Permit.ENTER_INSPECTION
    point_places(filing.receipt, inspection)
    saved = save_draft(
        inspection=inspection,
        revision=inspection.revision,
        fields=fields,
        findings=[finding_values(row) for row in content.get("findings") or []],
        elements=elements,
        by=filing.by,
        at=filing.at,
        device=filing.receipt.device,
        permit=permit,
        asked=filing.record["inspection"].get("asked") or (),
    )
    if soundings := content.get("channel"):
        save_surveys(inspection=saved, rows=soundings, by=filing.by, at=filing.at, permit=permit)
        # The version was kept before the soundings: the next meeting needs them in it.
        keep_version(saved, device=filing.receipt.device, by=filing.by, at=filing.at)
    filed = Filed(inspection=saved, sentences=list(told))
    filed.sentences += [INCOMPLETE] if incomplete and filing.record["inspection"].get("submit") else []
    filed.sentences += _hand_in(filing, filed, is_whole=not incomplete)
    return filed


def _hand_in(filing: Filing, filed: Filed, *, is_whole: bool) -> list[str]:
    """Submit where the record asks for it and nothing stands against it; sentences where it stays a draft."""
    said = [clock_sentence(filing.error_s)] if is_far_off(filing.error_s) else []
    older = filing.record.get("table_version") not in (None, "", evidence_table()["version"])
    said += [OLDER_TABLE] if older else []
    if not filing.record["inspection"].get("submit") or not is_whole:
        return said
    on = filed.inspection.field_completed_on
    if is_far_off(filing.error_s):
        return [*said, confirm_day_sentence(on)]
    if not filing.is_own or Permit.ENTER_INSPECTION not in permits_of(filing.by, filing.structure.agency):
        return [*said, f"Kept as a draft for {filing.author} to look at and submit."]
    return said + _submitted(filing, filed)


def _submitted(filing: Filing, filed: Filed) -> list[str]:
    # The places are known before the evidence is judged: a photograph on its way counts.
    give_places(filing.receipt, filed, filing.at)
    if left := unanswered(filed.inspection):
        # The device asks of each; one left open, or found after the pack was fetched, would vanish from the rating.
        return [DRAFT_STILL, *left]
    try:
        with transaction.atomic():
            filed.inspection = submit_inspection(
                inspection=filed.inspection, revision=filed.inspection.revision, by=filing.by, at=filing.at
            )
    except Refused as refused:
        return [DRAFT_STILL, *refused.sentences]
    return []
