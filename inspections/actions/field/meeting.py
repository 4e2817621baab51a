"""Mine and theirs of one inspection: what both began with, what differs, and both put together."""

from inspections.assembly.inspection_content import content_of
from inspections.models import Inspection, InspectionVersion, Receipt
from inspections.rules.field_clock import moment_from
from inspections.rules.meeting import Difference, differences, united
from inspections.vocabulary.elements import element_words
from inspections.vocabulary.findings import FindingKind
from inspections.vocabulary.states import ReceiptState

from .filing import Filing
from .inspection_values import comparable

NOTHING = {"inspection": {}, "findings": [], "elements": [], "channel": []}
SHOWN = ("station_ft", "depth_in", "width_in", "height_in", "moisture_pct", "force_lb", "value_in")


def theirs_of(inspection: Inspection) -> dict:
    """The inspection as it stands, with who saved it last and when."""
    content = content_of(inspection)
    last = InspectionVersion.objects.filter(inspection=inspection).select_related("by").first()
    content["inspection"] |= {"revision": inspection.revision, "state": inspection.state}
    return content | {"by": str(last.by or "") if last else "", "at": last.at.isoformat() if last else None}


def others_changed(inspection: Inspection, filing: Filing) -> bool:
    """Whether anybody saved since the device fetched it. What this device saved itself is no surprise to it, unless
    this was made before that: a file brought late, or a sending that hung on the way, must not undo what came after."""
    base = filing.record["inspection"].get("base_revision")
    later = InspectionVersion.objects.filter(inspection=inspection, revision__gt=-1 if base is None else base)
    if later.exclude(device=filing.receipt.device).exists():
        return True
    # Soundings typed at the office leave no version of the inspection.
    is_answer = bool(filing.record.get("resolves"))
    return not is_answer and (_is_overtaken(inspection, filing) or _sounded_by_another(inspection, filing))


def _sounded_by_another(inspection: Inspection, filing: Filing) -> bool:
    before = base_of(inspection, filing)
    told = differences(comparable(filing.record), content_of(inspection), before) if before is not None else []
    return any(row.part == "channel" and row.by in ("theirs", "both") for row in told)


def _is_overtaken(inspection: Inspection, filing: Filing) -> bool:
    """Whether the same device made a later record of this inspection that is filed already."""
    made_at = moment_from(filing.record.get("made_at"))
    if made_at is None:
        return False
    filed = Receipt.objects.filter(
        inspection=inspection, device=filing.receipt.device, state=ReceiptState.FILED
    ).exclude(pk=filing.receipt.pk)
    stamps = (moment_from(stamp) for stamp in filed.values_list("body__made_at", flat=True))
    return any(stamp is not None and stamp > made_at for stamp in stamps)


def how_they_differ(inspection: Inspection, filing: Filing) -> list[dict]:
    """What differs, in words for a page and a device."""
    return [
        _as_told(difference)
        for difference in differences(comparable(filing.record), content_of(inspection), base_of(inspection, filing))
    ]


def both_of(inspection: Inspection, filing: Filing) -> tuple[dict, list[str]]:
    """(the record's content with theirs put in, sentences of what gave way)."""
    return united(comparable(filing.record), content_of(inspection), base_of(inspection, filing), _in_words)


def base_of(inspection: Inspection, filing: Filing) -> dict | None:
    """What both began with: the version the device fetched, at the first of its records where this one answers it."""
    revision = filing.record["inspection"].get("base_revision")
    if (answered := (filing.record.get("resolves") or {}).get("record")) is not None:
        first = Receipt.objects.filter(identity=answered, agency=filing.receipt.agency).first()
        visit = first.body.get("inspection") if first else None
        revision = visit.get("base_revision") if isinstance(visit, dict) else None
    if not isinstance(revision, int):
        return None
    if revision == 0:
        return NOTHING | {"inspection": {"kind": inspection.kind}}
    version = InspectionVersion.objects.filter(inspection=inspection, revision__lte=revision).first()
    return version.content if version else None


def _as_told(difference: Difference) -> dict:
    """{"part", "words", "mine", "theirs", "by"} with both sides as text."""
    if difference.part == "visit":
        name, mine, theirs = difference.name, difference.mine, difference.theirs
    else:
        row = difference.mine or difference.theirs
        name = _name_of(difference.part, row)
        mine = _in_words(difference.part, difference.mine) if difference.mine else "not there"
        theirs = _in_words(difference.part, difference.theirs) if difference.theirs else "not there"
    return {
        "part": difference.part,
        "words": name,
        "mine": _text(mine),
        "theirs": _text(theirs),
        "by": difference.by,
    }


def _text(value) -> str:
    return "nothing" if value in (None, "", {}, []) else str(value)


def _name_of(part: str, row: dict) -> str:
    if part == "element":
        return element_words(row.get("number")) or f"element {row.get('number')}"
    if part == "channel":
        return f"soundings of {row.get('name') or 'a section'}"
    return FindingKind.label_of(row.get("kind"))


def _in_words(part: str, row: dict) -> str:
    """A row of findings or elements in one line, without looking anything up."""
    if part == "element":
        states = ", ".join(f"state {n}: {row.get(f'cs{n}') or 0:g}" for n in range(1, 5))
        return f"{_name_of(part, row)}, {row.get('total') or 0:g} {row.get('unit') or ''}, {states}"
    if part == "channel":
        points = ", ".join(f"{station:g} ft: {depth:g} ft" for station, depth in row.get("points") or [])
        return f"{_name_of(part, row)}, {points or 'nothing'}" + (f", {row['note']}" if row.get("note") else "")
    said = [_name_of(part, row)]
    said += [f"span {row['span_index']}"] if row.get("span_index") else []
    said += [f"member {row['member_number']}"] if row.get("member_number") else []
    for name in SHOWN:
        if isinstance(row.get(name), int | float):
            words, _, unit = name.rpartition("_")
            said.append(f"{words.replace('_', ' ')} {row[name]:g} {'%' if unit == 'pct' else unit}")
    said += [row["note"]] if row.get("note") else []
    return ", ".join(said)
