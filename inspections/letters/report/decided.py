"""What was decided about it: critical findings, the posting in force, what the rating recommends."""

from datetime import date

from django.db.models import Q
from django.utils import timezone

from inspections.models import CriticalFinding, Inspection
from inspections.rules.clocks.terms import day
from inspections.rules.posting import terms_of
from inspections.vocabulary.findings import CriticalKind
from inspections.vocabulary.states import CriticalState, RecommendationState


def critical_part(inspection: Inspection, on: date) -> list[dict]:
    """Critical findings of this inspection, and those of the structure open on its day; each with who was told."""
    mine = Q(inspection=inspection)
    open_then = Q(found_at__date__lte=on) & (Q(closed_at__isnull=True) | Q(closed_at__date__gte=on))
    rows = CriticalFinding.objects.filter(structure=inspection.structure_id).filter(mine | open_then)
    rows = rows.select_related("found_by", "posting").prefetch_related("notices").order_by("found_at", "id")
    return [_critical(row) for row in rows]


def _critical(row: CriticalFinding) -> dict:
    found = timezone.localtime(row.found_at)
    fields = [
        ("found", f"{day(found.date())} {found:%H:%M}" + (f" by {row.found_by}" if row.found_by_id else "")),
        ("state", CriticalState.label_of(row.state)),
        ("told", "; ".join(_notice(notice) for notice in row.notices.all()) or "nobody yet"),
        ("restriction", row.posting.words if row.posting_id else ""),
        ("safe for now", row.safe_words),
        ("planned", _planned(row)),
        ("done", f"{row.closed_words}, {day(timezone.localdate(row.closed_at))}" if row.closed_at else ""),
    ]
    return {
        "kind": CriticalKind.label_of(row.kind),
        "words": row.words,
        "fields": [[name, value] for name, value in fields if value],
    }


def _notice(notice) -> str:
    at = timezone.localtime(notice.told_at)
    report = "status report, " if notice.is_status_report else ""
    return f"{notice.whom} ({report}{notice.get_how_display().lower()}, {day(at.date())} {at:%H:%M})"


def _planned(row: CriticalFinding) -> str:
    until = f", by {day(row.plan_until)}" if row.plan_until else ""
    return f"{row.plan_words}{until}" if row.plan_words else ""


def posting_part(inspection: Inspection, on: date) -> list[list[str]]:
    """The restriction in force on the day of the inspection, its signs, and what its rating recommends."""
    postings = inspection.structure.postings.filter(decided_on__lte=on)
    posting = postings.filter(Q(superseded_on__isnull=True) | Q(superseded_on__gt=on)).first()
    lines = [["in force on the day", f"{posting.words}, decided {day(posting.decided_on)}" if posting else "not known"]]
    now = inspection.structure.postings.filter(superseded_on__isnull=True).first()
    if now is not None and now != posting:
        lines.append(["in force since", f"{now.words}, decided {day(now.decided_on)}"])
    signs = [f"{sign} ({sign.get_state_display().lower()})" for sign in (now or posting).signs.all()] if posting else []
    lines.append(["signs", "; ".join(signs) or "none on record"])
    lines += _recommended(inspection)
    return lines


def _recommended(inspection: Inspection) -> list[list[str]]:
    rating = inspection.ratings.first()
    if rating is None:
        return [["recommended", "not rated yet"]]
    row = rating.recommendations.first()
    if row is None:
        return [["recommended", "no change of the restriction"]]
    state = RecommendationState.label_of(row.state).lower()
    words = f"{terms_of(row).words} ({state})"
    return [["recommended", words], ["because", " ".join(str(reason) for reason in row.reasons)]]
